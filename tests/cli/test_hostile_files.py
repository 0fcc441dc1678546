"""Files that are meant to harm: an answer or a refusal, exactly one object on stdout, never a fault."""

import json
import os
import tracemalloc
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.gate.file_bytes import file_bytes
from turnrow.yard.wrongs import Refused

LOAD = "[[load]]\nt = 40\nmoisture_pct = 60\nash_pct_dry = 20\n"
STAGE = "[[stage]]\nash_pct_dry = 30\nmoisture_pct = 40\n"
BAD = {
    "4300 digits and more": LOAD.replace("40", "9" * 5000, 1).encode(),
    "an integer no float holds": LOAD.replace("40", "9" * 400, 1).encode(),
    "a float that overflows": LOAD.replace("40", "1e400", 1).encode(),
    "not a number": LOAD.replace("40", "nan", 1).encode(),
    "endless": LOAD.replace("40", "-inf", 1).encode(),
    "below nothing": LOAD.replace("40", "-4", 1).encode(),
    "next to nothing": LOAD.replace("40", "1e-320", 1).encode(),
    "ash that divides into the stars": (LOAD + STAGE.replace("30", "1e-310")).encode(),
    "a truth for a number": LOAD.replace("40", "true", 1).encode(),
    "nothing at all": b"",
    "zeros": b"\0" * 64,
    "sixteen bits": LOAD.encode("utf-16"),
    "another alphabet": (LOAD + 'name = "caf\xe9"\n').encode("latin-1"),
    "three thousand brackets": b"load = " + b"[" * 3000 + b"]" * 3000,
    "two thousand tables": b"load = " + b"{b=" * 2000 + b"1" + b"}" * 2000,
    "a key of five thousand": b".".join([b"load"] * 5000) + b" = 1",
    "a key twice": LOAD.encode() + b"t = 5\n",
    "sixty thousand loads": LOAD.encode() * 60_000,
    "loads that are numbers": b"load = [1, 2]\n",
    "a screen as a list": LOAD.encode() + b"[[screen]]\nfines_pct = 80\n",
    "all water": LOAD.replace("60", "99.99999999999999999999").encode(),
}


def typed(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


@pytest.mark.parametrize("what", BAD)
def test_a_bad_chain_file_is_refused(tmp_path: Path, what: str) -> None:
    file = tmp_path / "chain.toml"
    file.write_bytes(BAD[what])
    done = typed("chain", str(file), "--json")
    assert done.exit_code == 2 and done.stdout.count("\n") == 1
    assert all(one["where"] and one["do"] for one in json.loads(done.stdout)["refusals"])


@pytest.mark.parametrize("command", ["use", "blend", "heat", "pad", "pond"])
@pytest.mark.parametrize(
    "what", [*list(BAD)[:3], "zeros", "three thousand brackets", "a key of five thousand"]
)
def test_other_readers_of_such_files_refuse_them_too(tmp_path: Path, command: str, what: str) -> None:
    file = tmp_path / "file.toml"
    file.write_bytes(BAD[what])
    assert typed(command, str(file), "--json").exit_code == 2


@pytest.mark.parametrize("mark", [b"\xef\xbb\xbf", b"# " + b"x" * 10_000_000 + b"\n"])
def test_a_mark_or_a_line_of_ten_megabytes_is_no_harm(tmp_path: Path, mark: bytes) -> None:
    file = tmp_path / "chain.toml"
    file.write_bytes(mark + (LOAD + STAGE).replace("\n", "\r\n").encode())
    done = typed("chain", str(file), "--json")
    assert done.exit_code == 0
    lost = json.loads(done.stdout)["steps"][1]["dm_loss_pct"]
    assert lost == pytest.approx(100 / 3, abs=1e-3)  # 1 - 20/30


@pytest.mark.parametrize(
    "command", ["chain", "use", "blend", "heat", "outlook", "pad", "pond", "prove", "take"]
)
def test_an_example_with_json_is_one_object_and_runs(command: str) -> None:
    done = typed(command, "--example", "--json")
    assert done.exit_code == 0 and set(json.loads(done.stdout)) == {"example"}


@pytest.mark.parametrize(
    "words",
    [
        ["take", "FILE"],
        ["heat", "FILE"],
        ["outlook", "FILE"],
        ["prove", "FILE", "--rule", "AU-AS4454-PASTEUR"],
    ],
)
def test_a_file_of_two_thousand_million_bytes_is_refused_before_it_is_read(
    tmp_path: Path, words: list[str]
) -> None:
    file = tmp_path / "log.csv"
    file.touch()
    os.truncate(file, 2_100_000_000)  # takes no room on the disk
    tracemalloc.start()
    try:
        done = typed(*(str(file) if word == "FILE" else word for word in words), "--json")
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert done.exit_code == 2 and most < 60_000_000
    assert any("2,100,000,000 bytes" in one["got"] for one in json.loads(done.stdout)["refusals"])


def test_of_a_device_no_more_is_read_than_a_file_may_have() -> None:
    with pytest.raises(Refused) as caught:
        file_bytes(Path("/dev/zero"), "FILE")
    assert "bytes" in caught.value.refusals[0].got

"""What a chain file may say, and every refusal at once with what to do."""

import pytest

from turnrow.cli.chain import EXAMPLE
from turnrow.gate.chain_file import ChainFile, read_chain
from turnrow.yard.wrongs import Refused

LOAD = '[[load]]\nname = "a"\nt = 40\nmoisture_pct = 60\n'


def read(text: str) -> ChainFile:
    return read_chain(text.encode(), "a.toml", 400)


def refused(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as wrong:
        read(text)
    return [(one.where.removeprefix("a.toml, "), one.do) for one in wrong.value.refusals]


def test_the_example_is_read() -> None:
    found = read(EXAMPLE)
    assert [one.name for one in found.stages] == ["turned", "cured"]
    assert found.loads[1].wet == pytest.approx(16.5)
    assert found.screen is not None and found.screen.share == pytest.approx(0.8)


def test_every_refusal_at_once() -> None:
    said = refused(
        "reference_moisture_pct = 100\nlaod = 1\n"
        '[[load]]\nname = "a"\nmoisture_pct = 60\n[[load]]\nm3 = 3\nt = 2\n[[stage]]\nmoisture_pct = 40\n'
        "[screen]\nfines_pct = 80\nfines_t = 3\n"
    )
    places = [place for place, _ in said]
    assert {"reference_moisture_pct", "laod", "load 1, t", "load 2, m3", "load 2, moisture_pct"} <= set(
        places
    )
    assert {"stage 1, t", "[screen], fines_pct"} <= set(places)


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        ("", "load", "under its own [[load]]"),
        (LOAD.replace("t = 40", "t = 18500"), "load 1, t", "Likely 18500 kg, not t."),
        (LOAD.replace("t = 40", "m3 = 40"), "load 1, bulk_density_kg_m3", "a volume is no mass"),
        (LOAD + "[[stage]]\nmoisture_pct = 45\nt = 21000\n", "stage 1, t", "Likely it is in kg, not t."),
        (
            LOAD + "[[stage]]\nmoisture_pct = 45\nt = 21\ndm_loss_pct = 4\n",
            "stage 1, dm_loss_pct",
            "leave one out",
        ),
        (
            LOAD + "[[stage]]\nmoisture_pct = 45\nash_pct_dry = 30\n",
            "stage 1",
            "Write ash_pct_dry of every load",
        ),
        (LOAD + LOAD, "load", "a name of its own"),
        (LOAD.replace("60", '"60"'), "load 1, moisture_pct", "plain number"),
    ],
)
def test_what_is_refused_and_what_to_do(text: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(text)
    assert where == place and do in what and not more


def test_no_toml_and_no_text() -> None:
    assert "turnrow chain --example" in refused("load = [")[0][1]
    with pytest.raises(Refused, match="UTF-8"):
        read_chain(b"\xff\xfe", "a.toml", 400)

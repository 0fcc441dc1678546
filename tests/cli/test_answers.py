"""How every command answers: exit codes, all refusals at once, one JSON object and nothing else."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from turnrow.cli import speak
from turnrow.cli.door import app as door
from turnrow.cli.door import main
from turnrow.yard.wrongs import DamagedJournal, Refusal, Refused

BOTH = (
    Refusal("row 2, column value", "'warm'", "Write a number."),
    Refusal("row 9, column unit", "'R'", "Use C, F or K."),
)


def small(fault: Exception | None) -> typer.Typer:
    """An app with one command that answers, or meets `fault`."""
    app = typer.Typer()

    @app.command()
    def ask(as_json: speak.Json = False) -> None:
        with speak.answering(as_json):
            if fault is not None:
                raise fault
            if as_json:
                speak.answer({"hot_days": 3, "row": "Réihe 7"})
            else:
                speak.say("3 hot days")

    return app


def test_an_answer_is_exit_0_and_one_json_object() -> None:
    asked = CliRunner().invoke(small(None), ["--json"])
    assert asked.exit_code == 0
    assert json.loads(asked.stdout) == {"hot_days": 3, "row": "Réihe 7"}
    assert asked.stdout.count("\n") == 1


def test_refused_input_is_exit_2_with_every_refusal() -> None:
    asked = CliRunner().invoke(small(Refused(BOTH)), ["--json"])
    assert asked.exit_code == 2
    said = json.loads(asked.stdout)["refusals"]
    assert [one["where"] for one in said] == ["row 2, column value", "row 9, column unit"]
    assert all(set(one) == {"where", "got", "do"} for one in said)


def test_refusals_are_for_people_too_and_leave_stdout_empty() -> None:
    asked = CliRunner().invoke(small(Refused(BOTH)), [])
    assert asked.exit_code == 2
    assert asked.stdout == ""
    assert asked.stderr.count("refused  ") == 2
    assert "Use C, F or K." in asked.stderr


@pytest.mark.parametrize("words", [[], ["--json"]])
def test_a_damaged_journal_is_exit_1_and_names_the_line(words: list[str]) -> None:
    asked = CliRunner().invoke(small(DamagedJournal(412, "seal does not match")), words)
    assert asked.exit_code == 1
    assert "line 412" in asked.stderr
    if words:
        assert json.loads(asked.stdout) == {"damaged": {"line": 412, "what": "seal does not match"}}


def test_a_fault_of_ours_is_exit_1() -> None:
    asked = CliRunner().invoke(small(ValueError("height -1 m, want above 0")), [])
    assert asked.exit_code == 1


@pytest.mark.parametrize("words", [["no-such-command"], ["--no-such-option"]])
def test_a_word_the_door_does_not_know_is_exit_2(words: list[str]) -> None:
    assert CliRunner().invoke(door, words).exit_code == 2


@pytest.mark.parametrize(
    "words", [["no-such-command"], ["row"], ["strike", "twelve"], ["today", "--no-such"]]
)
def test_a_word_the_door_does_not_know_is_one_json_object_too(words, monkeypatch, capsys) -> None:
    monkeypatch.setattr("sys.argv", ["turnrow", *words, "--json"])
    with pytest.raises(SystemExit) as ended:
        main()
    said = capsys.readouterr()
    assert ended.value.code == 2
    assert said.out.count("\n") == 1
    (refusal,) = json.loads(said.out)["refusals"]
    assert refusal["where"] == "command line"
    assert refusal["do"]


def test_an_answer_through_the_door_is_told_once(monkeypatch, capsys) -> None:
    monkeypatch.setattr("sys.argv", ["turnrow", "prove", "--rule", "none", "--json"])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 2
    assert capsys.readouterr().out.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_an_answer_that_cannot_be_written_is_a_fault_without_a_traceback(tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        words = [sys.executable, "-m", "turnrow", "prove", "--list"]
        done = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 1
    assert "fault  No space left on device" in done.stderr
    assert "Traceback" not in done.stderr

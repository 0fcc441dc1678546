"""What `make test` does before and after the tests: install what is missing, and say what passed."""

import subprocess
from typing import Any

import pytest

from tools import test as check


class Machine:
    """A machine on which some programs are missing; remembers what was run on it."""

    def __init__(self, here: set[str], user: int, codes: dict[str, int]) -> None:
        self.here = here
        self.user = user
        self.codes = codes
        self.ran: list[tuple[list[str], dict[str, Any]]] = []

    def which(self, program: str) -> str | None:
        return f"bin/{program}" if program in self.here else None

    def run(self, words: list[str], **given: Any) -> subprocess.CompletedProcess[str]:
        self.ran.append((words, given))
        code = next((code for word, code in self.codes.items() if word in words), 0)
        return subprocess.CompletedProcess(words, code, "", "no such package")


def on(monkeypatch: pytest.MonkeyPatch, machine: Machine) -> Machine:
    monkeypatch.setattr(check.shutil, "which", machine.which)
    monkeypatch.setattr(check.os, "geteuid", lambda: machine.user)
    monkeypatch.setattr(check.subprocess, "run", machine.run)
    monkeypatch.setattr(check.Path, "exists", lambda path: True)
    return machine


def test_root_on_debian_gets_the_browser_without_a_question(monkeypatch: pytest.MonkeyPatch) -> None:
    machine = on(monkeypatch, Machine({"apt-get"}, 0, {}))
    check.install_missing()
    (update, _), (install, given) = machine.ran
    assert update[-1] == "update"
    assert install[-2:] == ["chromium", "poppler-utils"]
    assert "--yes" in install
    assert given["env"]["DEBIAN_FRONTEND"] == "noninteractive"
    assert given["stdin"] is subprocess.DEVNULL


def test_nothing_is_installed_where_nothing_is_missing_or_it_is_not_ours_to(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    full = on(monkeypatch, Machine({"apt-get", *check.WANTED}, 0, {}))
    check.install_missing()
    assert (full.ran, capsys.readouterr().out) == ([], "")
    guest = on(monkeypatch, Machine({"apt-get"}, 1000, {}))
    check.install_missing()
    assert guest.ran == []
    assert "chromium" in capsys.readouterr().out


def test_an_install_that_fails_is_shown(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    on(monkeypatch, Machine({"apt-get"}, 0, {"install": 100}))
    check.install_missing()
    assert "no such package" in capsys.readouterr().err


def test_one_failed_check_fails_the_whole_and_the_others_still_run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    machine = on(monkeypatch, Machine({"apt-get", *check.WANTED}, 0, {"mypy": 1}))
    assert check.main() == 1
    assert len(machine.ran) == len(check.checks())
    assert "FAILED: mypy" in capsys.readouterr().out.splitlines()[-1]


def test_when_all_pass_the_last_line_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    on(monkeypatch, Machine({"apt-get", *check.WANTED}, 0, {}))
    assert check.main() == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith("passed: ")
    assert all(name in last for name in check.checks())

"""Every file of changes/ says something, and shortly."""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

from typer.testing import CliRunner

import turnrow
from tools.changelog import HEAD, entry, newer, oldest_first, with_entry
from turnrow.cli.door import app


def change_faults(texts: dict[str, str]) -> list[str]:
    """Change files that are empty, not Markdown, or longer than a user will read."""
    found = []
    for name, text in texts.items():
        if not name.startswith("changes/") or name == "changes/README.md":
            continue
        if not name.endswith(".md"):
            found.append(f"{name}: want a .md file")
        if len(text.split()) < 4:
            found.append(f"{name}: says nothing")
        if len(text.split()) > 120:
            found.append(f"{name}: {len(text.split())} words, a sentence or two will do")
    return found


def test_every_change_says_something(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = change_faults(texts)
    assert not faults, said(faults)


def test_the_law_of_changes_bites() -> None:
    assert change_faults({"changes/a.md": "Rows can be merged now."}) == []
    assert len(change_faults({"changes/a.md": "\n"})) == 1
    assert len(change_faults({"changes/a.md": "word " * 121})) == 1
    assert len(change_faults({"changes/a.txt": "Rows can be merged now."})) == 1


def test_a_version_gathers_its_changes_on_top() -> None:
    first = with_entry("", entry("0.1.0", date(2026, 3, 1), ["Rows can\nbe merged now.\n"]))
    both = with_entry(first, entry("0.2.0", date(2026, 4, 1), ["Lots too."]))
    assert (
        both
        == f"{HEAD}\n## 0.2.0 – 2026-04-01\n- Lots too.\n\n## 0.1.0 – 2026-03-01\n- Rows can be merged now.\n"
    )


def test_versions_are_ordered_as_numbers() -> None:
    assert newer("0.10.0", "0.9.9") and not newer("0.9.0", "0.10.0") and not newer("1.0.0", "1.0.0")


def test_every_change_would_be_gathered(root: Path) -> None:
    assert {path.name for path in oldest_first(root)} == {
        path.name for path in (root / "changes").glob("*.md") if path.name != "README.md"
    }


def test_the_version_told_is_the_newest_gathered(root: Path) -> None:
    said = CliRunner().invoke(app, ["--version"])
    assert (said.exit_code, said.stdout) == (0, f"turnrow {turnrow.__version__}\n")
    page = root / "CHANGELOG.md"
    gathered = re.findall(r"^## (\S+)", page.read_text("utf-8"), re.MULTILINE) if page.exists() else ["0.1.0"]
    assert gathered[0] == turnrow.__version__

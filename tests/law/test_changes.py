"""Every file of changes/ says something, and shortly."""

from collections.abc import Callable


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

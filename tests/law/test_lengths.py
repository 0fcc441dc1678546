"""No source, test, template, style or script file is longer than 400 lines."""

from collections.abc import Callable

LONGEST = 400
COUNTED = (".py", ".html", ".jinja", ".css", ".js", ".typ")
NOT_OURS = ("/vendor/",)


def faults_of(texts: dict[str, str]) -> list[str]:
    return [
        f"{name}: {lines} lines, at most {LONGEST}"
        for name, text in texts.items()
        if name.endswith(COUNTED)
        and not any(part in name for part in NOT_OURS)
        and (lines := len(text.splitlines())) > LONGEST
    ]


def test_files_are_short(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = faults_of(texts)
    assert not faults, said(faults)


def test_the_law_of_length_bites() -> None:
    assert faults_of({"a.py": "x\n" * 401, "b.css": "x\n" * 400, "web/vendor/c.js": "x\n" * 999}) == [
        "a.py: 401 lines, at most 400"
    ]

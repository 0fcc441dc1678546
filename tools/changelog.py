"""Gathers changes/ into CHANGELOG.md under a version, oldest first, and takes the files away.

    python tools/changelog.py 0.2.0 2026-12-01

The version is then also the package's own, in src/turnrow/__init__.py.
"""

import re
import subprocess
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
HEAD = "# Changelog\nWhat changed for those who use `turnrow`, newest version first.\n"
VERSION = re.compile(r"\d+\.\d+\.\d+")
OWN = re.compile(r'^__version__ = "(.*)"$', re.MULTILINE)


def entry(version: str, day: date, changes: Sequence[str]) -> str:
    """One version's part, a point a change."""
    points = "".join(f"- {' '.join(text.split())}\n" for text in changes)
    return f"\n## {version} – {day.isoformat()}\n{points}"


def with_entry(page: str, part: str) -> str:
    """The page with a new version on top; `page` may be empty."""
    return HEAD + part + page.removeprefix(HEAD)


def oldest_first(root: Path) -> list[Path]:
    """The files of changes/ in the order in which they were committed."""
    words = ["git", "log", "--reverse", "--diff-filter=A", "--name-only", "--format=", "--", "changes"]
    done = subprocess.run(words, cwd=root, capture_output=True, text=True, check=True)
    order = {name: place for place, name in enumerate(done.stdout.split("\n"))}
    found = [path for path in (root / "changes").glob("*.md") if path.name != "README.md"]
    return sorted(found, key=lambda path: (order.get(f"changes/{path.name}", len(order)), path.name))


def newer(version: str, than: str) -> bool:
    return [int(part) for part in version.split(".")] > [int(part) for part in than.split(".")]


def main(words: Sequence[str]) -> int:
    package, page = ROOT / "src" / "turnrow" / "__init__.py", ROOT / "CHANGELOG.md"
    own = OWN.search(package.read_text("utf-8"))
    files = oldest_first(ROOT)
    if len(words) != 2 or not VERSION.fullmatch(words[0]):
        print("Give the version and its day: python tools/changelog.py 0.2.0 2026-12-01", file=sys.stderr)
        return 2
    if own is None or not newer(words[0], own[1]) or not files:
        print(f"Give a version above {own[1] if own else '?'}, with something in changes/.", file=sys.stderr)
        return 2
    part = entry(words[0], date.fromisoformat(words[1]), [path.read_text("utf-8") for path in files])
    page.write_text(with_entry(page.read_text("utf-8") if page.exists() else HEAD, part), "utf-8")
    package.write_text(OWN.sub(f'__version__ = "{words[0]}"', package.read_text("utf-8")), "utf-8")
    for path in files:
        path.unlink()
    print(f"{len(files)} changes gathered under {words[0]}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

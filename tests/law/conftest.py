"""What the laws look at: the project's own files, and small trees that break a law."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NOT_OURS = {
    ".git",
    ".venv",
    ".demo",
    ".mypy_cache",
    ".ruff_cache",
    ".pytest_cache",
    ".hypothesis",
    "__pycache__",
}


def _tracked() -> list[str]:
    """What git keeps; in a copy without git, every file outside the tools' own folders."""
    try:
        done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True)
        names = [name for name in done.stdout.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        names = []
    if not names:
        every = (path.relative_to(ROOT) for path in ROOT.rglob("*") if path.is_file())
        names = [p.as_posix() for p in every if not NOT_OURS & set(p.parts)]
    return sorted(name for name in names if (ROOT / name).is_file())


def _texts(names: list[str]) -> dict[str, str]:
    found = {}
    for name in names:
        data = (ROOT / name).read_bytes()
        if b"\0" not in data[:8000]:
            found[name] = data.decode("utf-8", errors="replace")
    return found


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def texts() -> dict[str, str]:
    """Every tracked text file: name below the root -> its text."""
    return _texts(_tracked())


@pytest.fixture(scope="session")
def sources() -> dict[str, str]:
    """Every module under src/turnrow, tracked or not yet: "room/file.py" -> its text."""
    base = ROOT / "src" / "turnrow"
    return {path.relative_to(base).as_posix(): path.read_text("utf-8") for path in sorted(base.rglob("*.py"))}


@pytest.fixture(scope="session")
def docs(root: Path) -> str:
    """All of docs/ as one text."""
    return "\n".join(path.read_text("utf-8") for path in sorted((root / "docs").rglob("*.md")))


@pytest.fixture
def said() -> Callable[[list[str]], str]:
    """Faults as the text of a failed check, one a line."""
    return lambda faults: "\n" + "\n".join(faults)

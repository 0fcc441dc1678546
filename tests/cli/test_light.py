"""Asking a command for help loads nothing heavy, so that it answers at once."""

import json
import subprocess
import sys

import pytest
import typer.main

from turnrow.cli.door import app

# not pydantic: typer loads it by itself to read a command's options
HEAVY = ("numpy", "polars", "fastapi", "starlette", "uvicorn", "jinja2", "typst", "sqlite3", "fastexcel")
HEAVY += ("segno", "highspy", "python_multipart", "asyncio", "numba", "llvmlite", "scipy")
LOOK = """
import contextlib, io, json, sys
from turnrow.cli.door import app
out = io.StringIO()
try:
    with contextlib.redirect_stdout(out):
        app(sys.argv[1:])
except SystemExit as end:
    code = end.code
print(json.dumps([code, out.getvalue(), sorted(sys.modules)]))
"""
COMMANDS = sorted(typer.main.get_group(app).commands)


def look(words: list[str]) -> tuple[int, str, list[str]]:
    done = subprocess.run([sys.executable, "-c", LOOK, *words], capture_output=True, text=True, check=True)
    code, shown, modules = json.loads(done.stdout)
    return int(code or 0), shown, modules


def heavy(modules: list[str]) -> list[str]:
    return sorted({name.split(".")[0] for name in modules} & set(HEAVY))


@pytest.mark.parametrize("words", [["--help"], *([name, "--help"] for name in COMMANDS)], ids=" ".join)
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    code, shown, modules = look(words)
    assert code == 0
    assert "--help" in shown
    assert heavy(modules) == []


def test_a_heavy_import_would_be_noticed() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import turnrow.yard.readings, sys; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "numpy" in heavy(done.stdout.split())


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_says_in_one_sentence_what_it_does(name: str) -> None:
    """The list of commands shows the first paragraph; a line broken in it would be broken there too."""
    said = (typer.main.get_group(app).commands[name].help or "").split("\n\n")[0]
    assert said.endswith(".") and said.count(". ") == 0 and "\n" not in said


def test_the_door_names_every_command_it_has() -> None:
    shown = look(["--help"])[1]
    assert COMMANDS
    assert all(name in shown for name in COMMANDS)

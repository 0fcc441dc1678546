"""What the tools and benches import of the project is there: they are run by hand, and seldom."""

import ast
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]
FILES = sorted([*(PROJECT / "tools").glob("*.py"), *(PROJECT / "bench").glob("*.py")])


def _there(module: str, name: str) -> bool:
    return hasattr(import_module(module), name) or find_spec(f"{module}.{name}") is not None


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_every_name_a_tool_imports_of_the_project_is_there(file: Path) -> None:
    asked = [
        (str(node.module), one.name)
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "turnrow"
        for one in node.names
    ]
    assert [f"{module}.{name}" for module, name in asked if not _there(module, name)] == []

"""What the tools and benches import of the project is there: they are run by hand, and seldom."""

import ast
from importlib import import_module
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]
FILES = sorted([*(PROJECT / "tools").glob("*.py"), *(PROJECT / "bench").glob("*.py")])


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_every_name_a_tool_imports_of_the_project_is_there(file: Path) -> None:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "turnrow":
            module = import_module(str(node.module))
            for one in node.names:
                if not hasattr(module, one.name):
                    import_module(f"{node.module}.{one.name}")

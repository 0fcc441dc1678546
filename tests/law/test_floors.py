"""Imports only go down, and rooms of one floor never import one another."""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

FLOORS: tuple[tuple[str, ...], ...] = (
    ("yard",),
    ("handbook",),
    ("blend", "heap", "sanitation", "quality", "lots", "pad", "worms", "fungal", "sales"),
    ("schedule",),
    ("gate", "journal", "records"),
    ("foreman",),
    ("web", "demo", "api"),
    ("cli",),
)
FLOOR = {room: number for number, rooms in enumerate(FLOORS, start=1) for room in rooms}
ONLY_IN = {  # a library -> the rooms that may import it
    "sqlite3": {"journal"},
    "fastapi": {"web"},
    "starlette": {"web"},
    "uvicorn": {"web", "cli"},
    "jinja2": {"web"},
    "typst": {"records"},
    "fastexcel": {"gate"},
    "highspy": {"blend", "schedule"},
    "typer": {"cli"},
    "rich": {"cli"},
}


def room_of(name: str) -> str:
    """The room a file "room/file.py" stands in; of those at the top, the package itself belongs to api, the
    others, which open the door, to cli."""
    parts = name.split("/")
    return parts[0] if len(parts) > 1 else "api" if name == "__init__.py" else "cli"


def imports(name: str, text: str) -> Iterator[tuple[int, str]]:
    """(line, dotted name) of every import: at the top, inside functions, for typing only, by string."""
    package = ["turnrow", *name.split("/")[:-1]]
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from ((node.lineno, f"{stem}.{alias.name}") for alias in node.names)
        elif isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            called = ast.unparse(node.func).rsplit(".", 1)[-1]
            if called in {"import_module", "__import__"} and isinstance(node.args[0].value, str):
                yield node.lineno, node.args[0].value


def floor_faults(sources: dict[str, str]) -> list[str]:
    """Imports that go up, or sideways, or to or from a room that is on no floor."""
    faults = []
    for name, text in sources.items():
        room = room_of(name)
        if room not in FLOOR:
            faults.append(f"{name}: room {room} stands on no floor")
            continue
        for line, target in imports(name, text):
            parts = target.split(".")
            other = parts[1] if len(parts) > 1 and parts[0] == "turnrow" else ""
            if not other or other == room or other.startswith("__"):
                continue
            if other not in FLOOR:
                faults.append(f"{name}:{line}: imports {target}, a room on no floor")
            elif FLOOR[other] > FLOOR[room]:
                faults.append(f"{name}:{line}: imports {target}, a floor above {room}")
            elif FLOOR[other] == FLOOR[room]:
                faults.append(f"{name}:{line}: imports {target}, a sibling of {room}")
    return faults


def library_faults(sources: dict[str, str]) -> list[str]:
    """Libraries imported outside the rooms that may."""
    return [
        f"{name}:{line}: imports {target}, kept to {', '.join(sorted(ONLY_IN[target.split('.')[0]]))}"
        for name, text in sources.items()
        for line, target in imports(name, text)
        if room_of(name) not in ONLY_IN.get(target.split(".")[0], {room_of(name)})
    ]


def floors_said(house: str) -> dict[str, int]:
    """The floors as docs/house.md draws them: " 7  web | demo    what they do"."""
    drawn = re.findall(r"^ ?(\d)  ([a-z]+(?: \| [a-z]+)*)(?: {2,}|$)", house, flags=re.MULTILINE)
    return {room: int(number) for number, rooms in drawn for room in rooms.split(" | ")}


def test_imports_only_go_down(sources: dict[str, str], said: Callable[[list[str]], str]) -> None:
    assert len(sources) > 20
    faults = floor_faults(sources)
    assert not faults, said(faults)


def test_each_library_keeps_to_its_room(sources: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = library_faults(sources)
    assert not faults, said(faults)


def test_the_house_draws_the_same_floors(root: Path) -> None:
    assert floors_said((root / "docs" / "house.md").read_text("utf-8")) == FLOOR


@pytest.mark.parametrize(
    ("name", "text", "word"),
    [
        ("yard/a.py", "from turnrow.journal.book import Book", "a floor above"),
        ("gate/a.py", "import turnrow.journal.book", "a sibling"),
        ("gate/a.py", "from turnrow import journal", "a sibling"),
        ("gate/a.py", "def f():\n    from turnrow.foreman import desk", "a floor above"),
        ("gate/a.py", "if TYPE_CHECKING:\n    from turnrow.web.app import App", "a floor above"),
        ("gate/a.py", "from ..journal import book", "a sibling"),
        ("gate/deep/a.py", "from ...journal import book", "a sibling"),
        ("gate/a.py", "importlib.import_module('turnrow.records.press')", "a sibling"),
        ("web/a.py", "from turnrow.demo.season import build", "a sibling"),
        ("__init__.py", "from turnrow.cli.door import main", "a floor above"),
        ("barn/a.py", "", "on no floor"),
        ("cli/a.py", "from turnrow.barn import b", "on no floor"),
    ],
)
def test_the_law_of_floors_bites(name: str, text: str, word: str) -> None:
    faults = floor_faults({name: text})
    assert len(faults) == 1
    assert word in faults[0]


def test_going_down_and_staying_in_the_room_is_free() -> None:
    tree = {
        "cli/a.py": "from turnrow.web.app import app\nfrom . import speak\nfrom turnrow import __version__",
        "schedule/a.py": "from turnrow.sanitation.judge import judge\nfrom turnrow.yard import days",
        "__main__.py": "from turnrow.cli.door import main",
    }
    assert floor_faults(tree) == []


def test_the_law_of_libraries_bites() -> None:
    assert library_faults({"web/a.py": "import sqlite3"}) == ["web/a.py:1: imports sqlite3, kept to journal"]
    assert library_faults({"journal/a.py": "import sqlite3"}) == []


def test_a_house_drawn_otherwise_is_noticed() -> None:
    assert floors_said(" 2  handbook   tables\n 1  yard | shed   nouns\n") == {
        "handbook": 2,
        "yard": 1,
        "shed": 1,
    }

"""The pure rooms see no clock, no file, no network, no database and no global state."""

import ast
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


PURE = _words("yard handbook blend heap sanitation quality lots pad worms fungal sales schedule records")
OWN_DATA = frozenset({"handbook", "records"})  # may read their package's data through importlib.resources
NO_IMPORT = _words(
    "time os socket sqlite3 random subprocess requests httpx urllib http ssl pathlib glob shutil tempfile "
    "logging sys asyncio threading multiprocessing concurrent secrets uuid signal select ftplib smtplib "
    "fastapi starlette uvicorn rich typer"
)
NO_CALL = _words("open print input exec eval globals breakpoint __import__")
NO_CLOCK = _words("now today utcnow localtime time_ns monotonic perf_counter")
NO_FILE = _words(
    "write_text write_bytes mkdir rmdir unlink touch rename fromfile tofile memmap loadtxt savetxt "
    "genfromtxt savez scan_csv scan_parquet scan_ndjson read_csv read_parquet read_excel read_database "
    "sink_csv sink_parquet"
)
NUMPY_FILES = _words("np.load np.save numpy.load numpy.save")
READS = _words("read_text read_bytes open iterdir glob rglob exists is_file is_dir stat")
CHANGES = _words("append extend insert add update setdefault pop popitem clear remove discard sort")


def import_faults(tree: ast.AST, room: str) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names = [node.module]
        for name in names:
            top = name.split(".")[0]
            if top in NO_IMPORT:
                yield node.lineno, f"imports {name}"
            if top in {"importlib", "pkgutil"} and (room not in OWN_DATA or name == "pkgutil"):
                yield node.lineno, f"imports {name}"


def call_faults(tree: ast.AST, room: str) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = ast.unparse(node.func)
        last = called.rsplit(".", 1)[-1]
        if isinstance(node.func, ast.Name) and called in NO_CALL:
            yield node.lineno, f"calls {called}"
        elif isinstance(node.func, ast.Attribute):
            if last in NO_CLOCK:
                yield node.lineno, f"reads a clock: {called}"
            elif last in NO_FILE or called in NUMPY_FILES or (last in READS and room not in OWN_DATA):
                yield node.lineno, f"touches a file: {called}"
            elif (
                ".random." in f".{called}" and last != "default_rng" and called.startswith(("np.", "numpy."))
            ):
                yield node.lineno, f"draws from a shared generator: {called}"
        if last == "default_rng" and not node.args and not node.keywords:
            yield node.lineno, "a generator without a seed"


def state_faults(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """`global`, and names of the module that something in a function changes."""
    held = set()
    for node in tree.body:
        targets = (
            node.targets
            if isinstance(node, ast.Assign)
            else [node.target]
            if isinstance(node, ast.AnnAssign)
            else []
        )
        held |= {target.id for target in targets if isinstance(target, ast.Name)}
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        for node in ast.walk(function):
            if isinstance(node, ast.Global):
                yield node.lineno, f"global {', '.join(node.names)}"
        own = _own_names(function)
        for node in ast.walk(function):
            name = _changed(node)
            if name in held and name not in own:
                yield getattr(node, "lineno", 0), f"changes the module's own {name}"


def _own_names(function: ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda) -> set[str]:
    stored = {n.id for n in ast.walk(function) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}
    return stored | {n.arg for n in ast.walk(function) if isinstance(n, ast.arg)}


def _changed(node: ast.AST) -> str:
    """The bare name whose contents `node` changes, else nothing."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CHANGES:
        return _bare(node.func.value)
    if isinstance(node, ast.Subscript | ast.Attribute) and isinstance(node.ctx, ast.Store | ast.Del):
        return _bare(node.value)
    return ""


def _bare(node: ast.AST) -> str:
    return node.id if isinstance(node, ast.Name) else ""


def faults_of(sources: dict[str, str]) -> list[str]:
    found = []
    for name, text in sources.items():
        room = name.split("/")[0]
        if room in PURE:
            tree = ast.parse(text)
            each = [*import_faults(tree, room), *call_faults(tree, room), *state_faults(tree)]
            found += [f"{name}:{line}: {what}" for line, what in sorted(set(each))]
    return found


def test_pure_rooms_are_pure(sources: dict[str, str], said: Callable[[list[str]], str]) -> None:
    assert any(name.startswith("yard/") for name in sources)
    faults = faults_of(sources)
    assert not faults, said(faults)


def test_the_house_names_the_same_pure_rooms(root: Path) -> None:
    house = (root / "docs" / "house.md").read_text("utf-8")
    line = next(line for line in house.splitlines() if line.startswith("Pure rooms: "))
    assert set(line.removeprefix("Pure rooms: ").split(".")[0].replace(",", "").split()) == PURE


@pytest.mark.parametrize(
    "text",
    [
        "import time",
        "from os import path",
        "import urllib.request",
        "from pathlib import Path",
        "import importlib.resources",
        "def f():\n    import random",
        "d = datetime.now()",
        "d = date.today()",
        "d = dt.datetime.utcnow()",
        "x = open('a')",
        "print('a')",
        "x = where.read_text()",
        "np.random.shuffle(x)",
        "rng = np.random.default_rng()",
        "x = np.load('a')",
        "x = polars.scan_csv('a')",
        "N = 0\ndef f():\n    global N\n    N = 1",
        "SEEN = []\ndef f(x):\n    SEEN.append(x)",
        "SEEN: dict[str, int] = {}\ndef f(x):\n    SEEN[x] = 1",
        "SEEN = {}\ndef f(x):\n    del SEEN[x]",
    ],
)
def test_the_law_of_purity_bites(text: str) -> None:
    assert len(faults_of({"sanitation/a.py": text})) == 1


@pytest.mark.parametrize(
    "text",
    [
        "from datetime import datetime\ndef f(now: datetime) -> int:\n    return now.day",
        "TABLE = {'a': 1}\ndef f(x):\n    return TABLE[x]",
        "SEEN = []\ndef f(x):\n    SEEN = []\n    SEEN.append(x)\n    return SEEN",
        "rng = np.random.default_rng(7)",
    ],
)
def test_the_law_of_purity_lets_pure_code_be(text: str) -> None:
    assert faults_of({"sanitation/a.py": text}) == []


def test_only_handbook_and_records_read_their_own_data() -> None:
    text = "from importlib.resources import files\nx = files('turnrow.handbook').joinpath('a').read_text()"
    assert faults_of({"handbook/a.py": text}) == []
    assert len(faults_of({"yard/a.py": text})) == 2
    assert faults_of({"gate/a.py": "import time"}) == []

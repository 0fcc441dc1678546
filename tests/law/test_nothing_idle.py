"""Every public function and method of the project is used by a line of it, and not by tests alone.

Seen by name: a method, or what a template shows, is excused by anything else of the same name. What the
package itself gives to notebooks is used by them, with its methods.
"""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

Made = ast.FunctionDef | ast.AsyncFunctionDef
ALLOWED = {
    "demo/truth/rows.py synthetic_rows": "invented rows of known truth, to hold the heap's model to (bench)",
    "demo/truth/told.py told": "what the yard knows of those rows (bench)",
    "demo/truth/told.py planned": "the turns it means to make (tools)",
    "heap/reference.py rates": "the model once more in plain numpy, which the compiled one is held against",
    "heap/reference.py march": "the same",
    "heap/stoichiometry.py oxygen_per_kg": "from formulas; the handbook's oxygen is held against it",
    "heap/stoichiometry.py water_per_kg": "the same for the water made",
    "heap/stoichiometry.py ash_loss": "a heap's losses by its ash alone, to hold the balances against",
    "heap/trial.py losses": "losses of published trials, to hold their own statements against",
    "lots/ledger.py closes": "the law of double entry, which tests hold every move to",
    "lots/ledger.py ledger": "the whole fold, which the kept ledger is held against (tests, bench)",
    "records/press.py pages": "papers as pictures, which tests look at",
    "sanitation/judge.py judge_many": "every rule on one record, to time against one by one (bench)",
    "web/app.py Static.get_response": "called by Starlette",
}


def _public(tree: ast.Module) -> Iterator[tuple[str, Made]]:
    """(name of its class or "", function) of every public function and method at the top of a module."""
    for node in tree.body:
        if isinstance(node, Made) and not node.name.startswith("_"):
            yield "", node
        elif isinstance(node, ast.ClassDef):
            for part in node.body:
                if isinstance(part, Made) and not part.name.startswith("_"):
                    yield node.name, part


def _handed_over(node: Made) -> bool:
    """Whether a decorator hands it to a framework, which calls it: a route of the pages."""
    return any(isinstance(one, ast.Call) and "." in ast.unparse(one.func) for one in node.decorator_list)


def _outside(tree: ast.Module, own: Made | None = None) -> Iterator[ast.AST]:
    """The nodes of a module, those of one function left out."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        if node is not own:
            yield node
            waiting += ast.iter_child_nodes(node)


def _imports(tree: ast.Module) -> set[str]:
    """Dotted names that a module imports: "blend.water", "blend.water.water_to_add"."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{one.name}" for one in node.names}
        elif isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
    return {name.removeprefix("turnrow.") for name in found}


def _mentions(nodes: Iterator[ast.AST]) -> set[str]:
    """Names taken from something: x.name, and "name" as a text, which getattr or a table may hold."""
    found = set()
    for node in nodes:
        if isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
            found.add(node.value)
    return found


def idle(sources: dict[str, str], templates: str = "") -> list[str]:
    """ "room/file.py name" of what no line of `sources` uses; a template's line counts, its own body not."""
    trees = {name: ast.parse(text) for name, text in sources.items()}
    imports = {name: _imports(tree) for name, tree in trees.items()}
    mentions = {name: _mentions(ast.walk(tree)) for name, tree in trees.items()}
    given = {one.rpartition(".")[2] for one in imports.get("__init__.py", ())}
    shown, called = (set(re.findall(rf"\.([A-Za-z_]\w*){end}", templates)) for end in ("", r"\("))
    found = []
    for name, tree in trees.items():
        module = name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        for of, node in _public(tree):
            own = node.name
            if (
                _handed_over(node)
                or own in (shown if of else called)
                or (name.startswith("api/") and of in given)
            ):
                continue
            here = _mentions(_outside(tree, node))
            others = [one for one in trees if one != name]
            if of:
                used = own in here or any(own in mentions[one] for one in others)
            else:
                bare = (one.id for one in _outside(tree, node) if isinstance(one, ast.Name))
                used = own in bare or any(
                    f"{module}.{own}" in imports[one] or (module in imports[one] and own in mentions[one])
                    for one in others
                )
            if not used:
                found.append(f"{name} {f'{of}.' if of else ''}{own}")
    return found


def test_nothing_is_there_for_tests_alone(
    root: Path, sources: dict[str, str], said: Callable[[list[str]], str]
) -> None:
    kinds = (".html", ".typ", ".jinja")
    every = (root / "src").rglob("*")
    templates = "\n".join(path.read_text("utf-8") for path in every if path.suffix in kinds)
    found = idle(sources, templates)
    assert len(sources) > 100
    faults = [f"{one}: used by no line of src" for one in found if one not in ALLOWED]
    assert not faults, said(faults)
    assert not (gone := set(ALLOWED) - set(found)), f"used or gone, so no longer to be allowed: {gone}"


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("def f(): pass", "f"),
        ("def f(): return f()", "f"),
        ("class A:\n    def f(self): return self.f()", "A.f"),
        ("class A:\n    @property\n    def f(self): return 1", "A.f"),
    ],
)
def test_the_law_bites(text: str, what: str) -> None:
    assert idle({"blend/a.py": text, "blend/b.py": "def _g(): pass"}) == [f"blend/a.py {what}"]


@pytest.mark.parametrize(
    "other",
    [
        "from turnrow.blend.a import f",
        "from turnrow.blend import a\nx = a.f",
        "import turnrow.blend.a\nx = turnrow.blend.a.f",
    ],
)
def test_a_use_elsewhere_is_one(other: str) -> None:
    assert idle({"blend/a.py": "def f(): pass", "blend/b.py": other}) == []
    assert idle({"blend/a.py": "def f(): pass", "blend/b.py": "x = other.f"}) == ["blend/a.py f"]


def test_templates_tables_routes_and_what_notebooks_import_count() -> None:
    method = "class A:\n    def f(self): pass"
    assert idle({"api/a.py": method, "__init__.py": "from turnrow.api.a import A"}) == []
    assert idle({"web/a.py": method}, "{{ one.f }}") == []
    assert idle({"web/a.py": "def f(): pass"}, "{{ say.f(one) }}") == []
    assert idle({"web/a.py": "def f(): pass"}, "{{ one.f }}") == ["web/a.py f"]
    assert idle({"web/a.py": method, "web/b.py": "KEYS = ('f',)"}) == []
    assert idle({"web/a.py": "@router.get('/')\ndef f(): pass"}) == []

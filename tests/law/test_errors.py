"""No bare `except`, no error swallowed."""

import ast
from collections.abc import Callable

import pytest

WIDE = {"Exception", "BaseException"}


def _named(handler: ast.ExceptHandler) -> set[str]:
    if handler.type is None:
        return {""}
    each = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type]
    return {ast.unparse(one).rsplit(".", 1)[-1] for one in each}


def _does_nothing(body: list[ast.stmt]) -> bool:
    return all(
        isinstance(s, ast.Pass | ast.Continue)
        or (isinstance(s, ast.Expr) and isinstance(s.value, ast.Constant))
        for s in body
    )


def faults_of(files: dict[str, str]) -> list[str]:
    """Bare handlers; wide ones that do not raise again; suppress(Exception)."""
    found = []
    for name, text in files.items():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.ExceptHandler):
                named = _named(node)
                raises = any(isinstance(inner, ast.Raise) for inner in ast.walk(node))
                if "" in named:
                    found.append(f"{name}:{node.lineno}: bare except")
                elif named & WIDE and (_does_nothing(node.body) or not raises):
                    found.append(
                        f"{name}:{node.lineno}: catches {', '.join(sorted(named))} and does not raise again"
                    )
            elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("suppress"):
                wide = WIDE & {ast.unparse(a) for a in node.args}
                found += [f"{name}:{node.lineno}: suppresses {w}" for w in wide]
    return found


def test_no_error_is_swallowed(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = faults_of({name: text for name, text in texts.items() if name.endswith(".py")})
    assert not faults, said(faults)


@pytest.mark.parametrize(
    "text",
    [
        "try:\n    f()\nexcept:\n    raise",
        "try:\n    f()\nexcept Exception:\n    pass",
        "try:\n    f()\nexcept (ValueError, Exception) as e:\n    print(e)",
        "with contextlib.suppress(Exception):\n    f()",
    ],
)
def test_the_law_of_errors_bites(text: str) -> None:
    assert len(faults_of({"a.py": text})) == 1


def test_a_named_error_and_a_wide_one_that_raises_again_are_free() -> None:
    assert faults_of({"a.py": "try:\n    f()\nexcept KeyError:\n    x = 1"}) == []
    assert faults_of({"a.py": "try:\n    f()\nexcept BaseException:\n    undo()\n    raise"}) == []

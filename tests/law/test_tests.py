"""Every test checks something, and none checks how long a thing took."""

import ast
import re
from collections.abc import Callable

CHECKS = re.compile(r"\b(raises|fail|expect|assert\w*|warns)\b")
TIMED = re.compile(r"\b(perf_counter|process_time|elapsed\w*|took\w*|duration_s)\b")


def checks(node: ast.AST) -> bool:
    """Whether something under `node` can fail on purpose."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Assert):
            return True
        if isinstance(inner, ast.Call) and CHECKS.search(ast.unparse(inner.func)):
            return True
    return False


def called(node: ast.AST) -> set[str]:
    return {
        ast.unparse(inner.func).rsplit(".", 1)[-1] for inner in ast.walk(node) if isinstance(inner, ast.Call)
    }


def faults_of(texts: dict[str, str]) -> list[str]:
    found = []
    for name, text in texts.items():
        if not re.fullmatch(r"tests/(?:\w+/)*test_\w+\.py", name):
            continue
        each = [n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
        checking = {n.name for n in each if checks(n)}
        for test in (n for n in each if n.name.startswith("test_")):
            if test.name not in checking and not called(test) & checking:
                found.append(f"{name}:{test.lineno}: {test.name} checks nothing")
            for inner in ast.walk(test):
                if isinstance(inner, ast.Assert) and TIMED.search(ast.unparse(inner.test)):
                    found.append(f"{name}:{inner.lineno}: {test.name} checks a time; that belongs in bench/")
    return found


def test_every_test_checks_something(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = faults_of(texts)
    assert not faults, said(faults)


TIMING = "def test_a():\n    assert perf_counter() - began < 1"


def test_the_law_of_tests_bites() -> None:
    name = "tests/yard/test_a.py"
    assert len(faults_of({name: "def test_a():\n    f()"})) == 1
    assert len(faults_of({name: TIMING})) == 1
    assert faults_of({name: "def test_a():\n    with pytest.raises(ValueError):\n        f()"}) == []
    assert faults_of({name: "def same(x):\n    assert x\ndef test_a():\n    same(1)"}) == []

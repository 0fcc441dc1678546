"""Every literature test names its source, how it is known, what it checks and how closely."""

import ast
import re
from collections.abc import Callable

from tools.docs import each_test, first_paragraph, tags

CLOSE = re.compile(r"\b(approx|isclose|allclose|assert_allclose)\b")
SAYS = {"READ", "MEMORY", "CALC"}


def literature_faults(texts: dict[str, str]) -> list[str]:
    """Literature tests that do not say their source, how it is known, what they check, how closely."""
    found = []
    for name, text in texts.items():
        if not re.fullmatch(r"tests/literature/test_\w+\.py", name):
            continue
        tree = ast.parse(text)
        marks = tags(ast.get_docstring(tree) or "")
        if not any(marks.get("Source", [])):
            found.append(f"{name}: its docstring has no line 'Source: ...'")
        for test in each_test(tree):
            own = ast.get_docstring(test) or ""
            said = tags(own)
            known = said.get("Known") or marks.get("Known") or [""]
            code = "\n".join(ast.unparse(part) for part in test.body[1:])
            if known[0].split(" ")[0].rstrip(",;.") not in SAYS:
                found.append(f"{name}:{test.lineno}: {test.name}: no 'Known: READ, MEMORY or CALC'")
            if not first_paragraph(own) or re.match(r"(Source|Known|Tolerance):", own.strip()):
                found.append(f"{name}:{test.lineno}: {test.name}: its docstring does not say what is checked")
            if CLOSE.search(code) and not said.get("Tolerance"):
                found.append(
                    f"{name}:{test.lineno}: {test.name}: compares closely and has no 'Tolerance: ...'"
                )
    return found


def test_every_literature_test_names_its_source(
    texts: dict[str, str], said: Callable[[list[str]], str]
) -> None:
    assert any(name.startswith("tests/literature/test_") for name in texts), "no literature tests"
    faults = literature_faults(texts)
    assert not faults, said(faults)


GOOD = """\"\"\"T.

Source: cornell1996, p. 3
Known: READ
\"\"\"
def test_a() -> None:
    \"\"\"What.\"\"\"
    assert f() == 1
"""


def test_the_law_of_literature_bites() -> None:
    name = "tests/literature/test_a.py"
    assert literature_faults({name: GOOD}) == []
    assert len(literature_faults({name: GOOD.replace("Source:", "From:")})) == 1
    assert len(literature_faults({name: GOOD.replace("READ", "GUESS")})) == 1
    assert len(literature_faults({name: GOOD.replace("What.", "")})) == 1
    assert len(literature_faults({name: GOOD.replace("== 1", "== approx(1)")})) == 1
    close = GOOD.replace("== 1", "== approx(1)").replace("What.", "What.\n\n    Tolerance: 1 %\n    ")
    assert literature_faults({name: close}) == []

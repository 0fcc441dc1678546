"""The lot paper answers each clause of a list or says that nothing is recorded.

Clauses: 40 CFR 503.17(a) and 503.32(a) (heat, germs, metals, who certifies), 7 CFR 205.203(c)(2) (131 to
170 °F, 15 days, five turns), from MEMORY; chain of custody of samples: common practice, no source.
"""

from datetime import date
from pathlib import Path

import pytest

from turnrow.demo.season import build
from turnrow.foreman.desk import Desk
from turnrow.foreman.lot_papers import lot_paper
from turnrow.journal.book import Book
from turnrow.records.lot_papers import lot_sheet
from turnrow.records.plain_sheet import Part


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> tuple[Part, ...]:
    where: Path = tmp_path_factory.mktemp("demo") / "farm.journal"
    with Book.create(str(where)) as book:
        build(book, end=date(2026, 8, 1))
        return lot_sheet(lot_paper(Desk(book), "L1")).parts


@pytest.mark.parametrize(
    ("title", "word"),
    [
        ("How hot it was", "days proven hot, turned"),
        ("How hot it was", "by way of row R4: proven hot"),
        ("Samples", "from "),
        ("Samples", "ooled"),
        ("Released", "by Manager"),
        ("Which lab, by which method, accredited", "accredited: ISO 17025"),
        ("Who wrote, and were they trained", "trained in"),
        ("What was cleaned between raw and finished", "cleaned after raw manure"),
        ("What is not shown here", "Kept for"),
    ],
)
def test_each_clause_is_answered_with_its_line_or_said_not_to_be(
    parts: tuple[Part, ...], title: str, word: str
) -> None:
    facts = [fact for part in parts if part.title == title for fact in (*part.facts, *part.after)]
    assert any(word in fact.text for fact in facts), [fact.text for fact in facts]
    if title != "What is not shown here":
        assert all(fact.lines for fact in facts)


@pytest.mark.parametrize(
    ("asked", "word"), [("vector attraction", "14 days above 40 °C"), ("certification", "Certified by")]
)
def test_vectors_and_certification_stand_with_their_lines(
    parts: tuple[Part, ...], asked: str, word: str
) -> None:
    """40 CFR 503.33(b)(5) and 503.17(a)(1)(ii)."""
    table = next(part.table for part in parts if part.title == "May it leave")
    assert table is not None
    (row,) = [row for row in table.rows if row[2] == asked]
    assert word in row[3] and row[0] and row[1] == "shown"


def test_every_metal_of_503_stands_against_its_limit_with_unit_and_basis(parts: tuple[Part, ...]) -> None:
    """40 CFR 503.13 Table 1, mg/kg dry: As 75, Cd 85, Cu 4300, Pb 840, Hg 57, Ni 420, Se 100, Zn 7500."""
    table = next(part.table for part in parts if part.title == "May it leave")
    assert table is not None
    said = {row[2]: row for row in table.rows if "503.13 Table 1" in row[4]}
    ceilings = {"As": 75, "Cd": 85, "Cu": 4300, "Pb": 840, "Hg": 57, "Ni": 420, "Se": 100, "Zn": 7500}
    for metal, most in ceilings.items():
        assert f"at most {most} mg/kg dry" in said[metal][3] and said[metal][0]

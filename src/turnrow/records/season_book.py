"""The season book: one year of the yard on paper, every figure beside its lines. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from turnrow.handbook.keeping import Keeping
from turnrow.records import said
from turnrow.records.plain_sheet import Fact, Part, PlainSheet, Table, plain_sheet
from turnrow.records.row_paper import HeadSeal
from turnrow.records.verdict import STATES, beside_words, few_lines
from turnrow.sanitation.standing import Said
from turnrow.yard.entries import Line, YardLaidOut

CAUTION = (
    "This book shows what the diary holds. It is no permit and no release; local law, certifiers and "
    "licensed people come first."
)

KNOWN = (
    "READ beside a rule: its text was read. MEMORY: recalled, and still to be checked against the text, so "
    "lay the text itself beside this book. OWN: the yard's own choice."
)


@dataclass(frozen=True)
class RowOfYear:
    """A row that stood in the year: when it was built, its turns, and its standing at the year's end.

    known  how the rule is known: READ, MEMORY or OWN; empty where there is no rule
    """

    row: str
    built: str
    turns: int
    hot_days: int
    hottest: str
    verdict: str
    rule: str
    lines: tuple[int, ...]
    beside: tuple[Said, ...] = ()  # what stands beside its verdict wherever it goes
    known: str = ""


@dataclass(frozen=True)
class LotOfYear:
    lot: str
    made: str
    came_to: str
    left_as: str
    went: str
    lines: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class SeasonBook:
    """All the book says, gathered by whoever holds the diary.

    loads     (material, how much, loads, lines); water: (where, how much, lines)
    told      complaints and incidents, each a line to be said
    struck    how many lines of the year were struck
    keeping   the duty that binds longest, of the rules in use
    """

    yard: YardLaidOut
    head: HeadSeal
    zone: ZoneInfo
    edition: str
    year: int
    loads: tuple[tuple[str, str, int, tuple[int, ...]], ...]
    refused: tuple[Line, ...]
    rows: tuple[RowOfYear, ...]
    lots: tuple[LotOfYear, ...]
    sold: tuple[tuple[str, str, int, tuple[int, ...]], ...]  # product, how much, loads, lines
    back: tuple[Line, ...]  # what came back, not taken off what left
    tested: tuple[Line, ...]
    told: tuple[Line, ...]
    checks: tuple[Line, ...]
    water: tuple[tuple[str, str, tuple[int, ...]], ...]
    open: tuple[str, ...]
    lines: int
    struck: int
    keeping: tuple[Keeping, ...]


def season_sheet(book: SeasonBook) -> PlainSheet:
    """The year as a paper."""
    return plain_sheet(
        book.yard,
        book.head,
        book.zone,
        title=f"Season book {book.year}",
        lead=(
            f"{book.lines} lines of the diary happened in {book.year}; {book.struck} of them were struck, "
            f"and stay readable. Handbook edition {book.edition}."
        ),
        parts=(
            Part("What came in", (), _loads(book.loads), after=_lines(book.refused, book.zone)),
            Part(
                "Rows",
                () if book.rows else (Fact("No row stood."),),
                _rows(book.rows),
                after=tuple(
                    Fact(f"Row {one.row}: {words}") for one in book.rows for words in beside_words(one.beside)
                ),
            ),
            Part("Water given", () if book.water else (Fact("None is on record."),), _water(book.water)),
            Part("Lots", () if book.lots else (Fact("None was made."),), _lots(book.lots)),
            Part(
                "What left",
                () if book.sold else (Fact("Nothing left."),),
                _sold(book.sold),
                after=_lines(book.back, book.zone),
            ),
            Part("Samples and results", _lines(book.tested, book.zone) or (Fact("None is on record."),)),
            Part("Complaints and incidents", _lines(book.told, book.zone) or (Fact("None is on record."),)),
            Part("Probes checked", _lines(book.checks, book.zone) or (Fact("None is on record."),)),
            Part("What does not close", tuple(map(Fact, book.open)) or (Fact("Nothing that is known."),)),
            Part("How long this is kept", _kept(book)),
        ),
        caution=CAUTION,
        sign="Kept by",
    )


def _loads(loads: Sequence[tuple[str, str, int, tuple[int, ...]]]) -> Table | None:
    rows = tuple((few_lines(lines), what, str(count), much) for what, much, count, lines in loads)
    return Table(("lines", "material", "loads", "how much"), rows, (2, 0.6, 1.4), (2, 3)) if rows else None


def _sold(sold: Sequence[tuple[str, str, int, tuple[int, ...]]]) -> Table | None:
    rows = tuple((few_lines(lines), what, str(count), much) for what, much, count, lines in sold)
    return Table(("lines", "product", "loads", "how much"), rows, (2, 0.6, 1.4), (2, 3)) if rows else None


def _rows(rows: Sequence[RowOfYear]) -> Table | None:
    head = ("lines", "row", "built", "turns", "hot days", "hottest", "stands", "rule")
    made = tuple(
        (few_lines(one.lines), one.row, one.built, str(one.turns), str(one.hot_days), one.hottest,
         STATES.get(one.verdict, one.verdict), f"{one.rule} ({one.known})" if one.known else one.rule)
        for one in rows
    )  # fmt: skip
    return Table(head, made, (0.7, 1.2, 0.6, 0.8, 1, 1.6, 2), (3, 4, 5)) if made else None


def _lots(lots: Sequence[LotOfYear]) -> Table | None:
    head = ("lines", "lot", "made", "came to", "released", "went to")
    made = tuple(
        (few_lines(one.lines), one.lot, one.made, one.came_to, one.left_as, one.went) for one in lots
    )
    return Table(head, made, (1, 1.2, 1, 1.6, 2.4), (3,)) if made else None


def _water(water: Sequence[tuple[str, str, tuple[int, ...]]]) -> Table | None:
    rows = tuple((few_lines(lines), where, much) for where, much, lines in water)
    return Table(("lines", "row", "how much"), rows, (1, 1), (2,)) if rows else None


def _lines(lines: Sequence[Line], zone: ZoneInfo) -> tuple[Fact, ...]:
    return tuple(
        Fact(f"{said.happened(line.entry, zone)}: {said.saying(line.entry.what)}.", str(line.number))
        for line in lines
    )


def _kept(book: SeasonBook) -> tuple[Fact, ...]:
    def sentence(one: Keeping) -> str:
        return f"{one.text} asks for {one.years} years ({one.known}): through {book.year + one.years}."

    return (*(Fact(sentence(one)) for one in book.keeping), Fact(KNOWN))

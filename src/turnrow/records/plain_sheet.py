"""A paper of facts and tables, each beside its lines: what a bill, a ticket and a lot's paper are."""

from zoneinfo import ZoneInfo

from msgspec import Struct

from turnrow.records.row_paper import HeadSeal
from turnrow.records.seal import head_short, head_text, seal_code
from turnrow.yard.entries import YardLaidOut


class Fact(Struct, frozen=True):
    """A sentence and the lines it rests on; `strong` ones are set larger, `urgent` ones white on black."""

    text: str
    lines: str = ""
    strong: bool = False
    urgent: bool = False


class Table(Struct, frozen=True):
    """Rows under a head; the first column holds line numbers and stands in the margin.

    wide   a share of the width for each column after the first
    right  columns set to the right, counted from 0 (the margin's)
    total  a last row, set apart; empty: none
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: tuple[float, ...]
    right: tuple[int, ...] = ()
    total: tuple[str, ...] = ()


class Part(Struct, frozen=True):
    """A heading with what stands under it, in this order; `picture` is SVG, told by `words`."""

    title: str
    facts: tuple[Fact, ...] = ()
    table: Table | None = None
    picture: str = ""
    words: str = ""
    after: tuple[Fact, ...] = ()


class PlainSheet(Struct, frozen=True):
    """`sign`: whose hand it wants, "Received by"; empty: nobody's. `to`: lines of an address."""

    title: str
    yard: str
    place: str
    invented: bool
    heading: str
    lead: str
    to: tuple[str, ...]
    parts: tuple[Part, ...]
    caution: str
    sign: str
    seal: str
    seal_short: str
    qr: str
    made: str


def plain_sheet(
    yard: YardLaidOut,
    head: HeadSeal,
    zone: ZoneInfo,
    *,
    title: str,
    parts: tuple[Part, ...],
    heading: str = "",
    lead: str = "",
    to: tuple[str, ...] = (),
    caution: str = "",
    sign: str = "",
) -> PlainSheet:
    """The sheet with its frame: yard, line number and seal of the head, and the date of its line."""
    return PlainSheet(
        title=title,
        yard=yard.name or "A yard without a name",
        place=yard.place,
        invented=yard.invented,
        heading=heading or title,
        lead=lead,
        to=to,
        parts=parts,
        caution=caution,
        sign=sign,
        seal=head_text(head),
        seal_short=head_short(head),
        qr=seal_code(head),
        made=head.written.astimezone(zone).isoformat(),
    )

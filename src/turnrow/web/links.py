"""Addresses of pages, and the margin's references to lines; any row name makes a safe address."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from turnrow.yard import goods
from turnrow.yard.entries import What

SHOWN = 3  # line numbers in the margin before they are counted instead
RANGES_MOST = 40  # ranges in one address


def row_url(name: str) -> str:
    """The row's page. "." and ".." would be eaten by a browser as folders, so they go in the query."""
    return f"/rows?{urlencode({'name': name})}" if name in (".", "..") else f"/rows/{quote(name, safe='')}"


def walk_url(name: str) -> str:
    """The walk over a row's stations; "." and ".." as in `row_url`."""
    return f"/walk?{urlencode({'row': name})}" if name in (".", "..") else f"/walk/{quote(name, safe='')}"


def write_url(slug: str, **known: str) -> str:
    """An entry form with what is already known filled in."""
    query = urlencode({name: value for name, value in known.items() if value})
    return f"/write/{slug}" + (f"?{query}" if query else "")


def shows(what: What) -> str:
    """The page on which an entry of the trade shows once it is kept; "" for the others."""
    if isinstance(what, goods.Ordered | goods.LoadOut | goods.LoadBack | goods.Invoiced | goods.ProductNamed):
        return "/stock"
    if isinstance(what, goods.LotMade | goods.Weighed | goods.Released | goods.LabResult | goods.GrowthTest):
        return f"/lots/{quote(what.lot, safe='')}" if what.lot else ""
    return ""


def paper_of(what: What) -> tuple[str, str] | None:
    """The paper of an entry, its name and address; None where it has none of its own."""
    if isinstance(what, goods.LoadOut):
        return f"Ticket {what.ticket}", f"/papers/ticket.pdf?{urlencode({'name': what.ticket})}"
    if isinstance(what, goods.Invoiced):
        return f"Invoice {what.invoice}", f"/papers/invoice.pdf?{urlencode({'name': what.invoice})}"
    return None


@dataclass(frozen=True)
class Cited:
    """Lines a fact rests on, for the margin: one address, what is shown, what is read aloud."""

    href: str
    shown: tuple[str, ...]
    label: str


def cite(lines: Iterable[int], row: str = "") -> Cited | None:
    """The margin's reference to `lines`; None without any."""
    numbers = sorted({line for line in lines if line > 0})
    if not numbers:
        return None
    if len(numbers) == 1:
        return Cited(f"/lines/{numbers[0]}", (str(numbers[0]),), f"line {numbers[0]}")
    spans = ranges(numbers)
    query = {"only": ",".join(_span(*span) for span in spans)}
    if len(spans) > RANGES_MOST:
        query = {"only": _span(numbers[0], numbers[-1]), **({"row": row} if row else {})}
    href = f"/lines?{urlencode(query, safe=',-')}"
    if len(numbers) <= SHOWN:
        shown = tuple(str(number) for number in reversed(numbers))
        return Cited(href, shown, f"lines {', '.join(reversed(shown))}")
    whole = len(spans) == 1
    shown = (f"{numbers[0]}–", str(numbers[-1])) if whole else (str(numbers[-1]), f"and {len(numbers) - 1}")
    told = (
        f"lines {numbers[0]} to {numbers[-1]}" if whole else f"{len(numbers)} lines, the newest {numbers[-1]}"
    )
    return Cited(href, shown, told)


def ranges(numbers: Iterable[int]) -> list[tuple[int, int]]:
    """Sorted `numbers` as unbroken spans."""
    spans: list[tuple[int, int]] = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1] = (spans[-1][0], number)
        else:
            spans.append((number, number))
    return spans


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"


def spans_of(text: str) -> list[tuple[int, int]]:
    """The spans of an address's `only`; ValueError when it is not numbers and ranges."""
    spans = []
    for piece in text.split(",")[: RANGES_MOST + 1]:
        first, dash, last = piece.partition("-")
        if not (
            first.isdecimal() and len(first) < 10 and (not dash or (last.isdecimal() and len(last) < 10))
        ):
            raise ValueError(f"lines {piece[:20]!r}, want numbers and ranges such as 398,401-412")
        spans.append((int(first), int(last) if dash else int(first)))
    return spans

"""Orders, prices and bills as the diary holds them now; of a product the newest price; else the last line."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from types import MappingProxyType

from turnrow.sales.price import Priced, convert, priced
from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Line
from turnrow.yard.history import Event, by_then
from turnrow.yard.numbers import MICRO

NONE: Mapping[str, Fraction] = MappingProxyType({})
FOR_EVER = 2**62


@dataclass(frozen=True)
class OpenOrder:
    """An order and how much of it went out; `left` in the order's own unit, None where units do not meet."""

    line: int
    order: goods.Ordered
    out: tuple[int, ...]  # lines of its loads
    left: Fraction | None
    why: str = ""  # what is missing to say how much is left

    @property
    def done(self) -> bool:
        return self.left is not None and self.left <= 0


@dataclass(frozen=True)
class BilledLine:
    """One ticket of a bill; `priced` None with `why` where its price cannot be said."""

    line: int
    out: goods.LoadOut
    day: date
    back: Fraction  # share of it that came back
    priced: Priced | None
    why: str = ""


@dataclass(frozen=True)
class Credit:
    """What a return written after its load's invoice gives back; the invoice stays as it was.

    number  its own, by the line of the return, so that no later line changes it
    share   of the load that came back by it; `cents` None with `why` where its price cannot be said
    """

    number: str
    invoice: str
    line: int
    back: goods.LoadBack
    out: goods.LoadOut
    share: Fraction
    cents: int | None
    currency: str
    why: str = ""


@dataclass(frozen=True)
class Bill:
    """An invoice reckoned, as it stood when it was written; `cents` by currency. No tax is reckoned.

    credits  for what came back after it, oldest first
    """

    line: int
    invoice: goods.Invoiced
    lines: tuple[BilledLine, ...]
    cents: dict[str, int]
    credits: tuple[Credit, ...] = ()

    @property
    def left(self) -> dict[str, int]:
        """What is still owed by it, by currency: its sums less its credits."""
        found = dict(self.cents)
        for one in self.credits:
            if one.cents is not None:
                found[one.currency] = found.get(one.currency, 0) - one.cents
        return found

    @property
    def whole(self) -> bool:
        return all(one.priced for one in self.lines)


def products(diary: Diary) -> dict[str, tuple[Line, goods.ProductNamed]]:
    """The price list: products still sold, by name, each as it was named last in time."""
    found = {what.product: (event.line, what) for event, what in diary.all_events(goods.ProductNamed)}
    return {name: pair for name, pair in found.items() if not pair[1].ended}


def customers(diary: Diary) -> dict[str, tuple[Line, goods.CustomerNamed]]:
    """Buyers, by name, those who stopped too."""
    return {what.customer: (line, what) for line, what in diary.all(goods.CustomerNamed)}


def orders(diary: Diary, density: dict[str, Fraction]) -> tuple[OpenOrder, ...]:
    """Every order that stands, oldest first.

    density  kg/m3 by lot, where it is known
    """
    last: dict[str, tuple[Line, goods.Ordered]] = {}
    for line, what in diary.all(goods.Ordered):
        last[what.order] = (line, what)
    outs: dict[str, list[tuple[Line, goods.LoadOut]]] = {}
    for line, out in diary.all(goods.LoadOut):
        if out.order:
            outs.setdefault(out.order, []).append((line, out))
    back = came_back(diary, density)
    found = []
    for line, order in last.values():
        if order.called_off:
            continue
        listed = products(diary).get(order.product)
        gone, why = Fraction(0), ""
        for _, out in outs.get(order.order, []):
            try:
                whole = (
                    Amount(out.bags * MICRO, "bag") if order.amount.unit == "bag" and out.bags else out.amount
                )
                size = convert(
                    whole,
                    order.amount.unit,
                    density=density.get(out.lot),
                    bag=listed[1].bag if listed else None,
                )
                gone += size * (1 - _known(back.get(out.ticket, Fraction(0))))
            except ValueError as wrong:
                why = f"Load {out.ticket}: {wrong}."
        left = None if why else Fraction(order.amount.value, MICRO) - gone
        lines = tuple(one.number for one, _ in outs.get(order.order, []))
        found.append(OpenOrder(line.number, order, lines, left, why))
    return tuple(found)


def came_back(
    diary: Diary,
    density: Mapping[str, Fraction],
    then: Mapping[str, Fraction] = NONE,
    upto: int = FOR_EVER,
) -> dict[str, Fraction | str]:
    """By ticket, the share of a load that came back, or why it cannot be said.

    density  kg/m3 by lot, where it is known: a load may go out by weight and come back by the bucket
    then     the same by ticket, which goes before it
    upto     the last line read
    """
    outs = {what.ticket: what for _, what in diary.all(goods.LoadOut)}
    found: dict[str, Fraction | str] = {}
    for line, back in diary.all(goods.LoadBack):
        if line.number > upto:
            break
        out, before = outs.get(back.ticket), found.get(back.ticket, Fraction(0))
        if out is None or not out.amount.value or isinstance(before, str):
            continue
        try:
            size = convert(back.amount, out.amount.unit, density=then.get(back.ticket, density.get(out.lot)))
            found[back.ticket] = min(Fraction(1), before + size / Fraction(out.amount.value, MICRO))
        except ValueError as wrong:
            found[back.ticket] = f"what came back is not known, {wrong}"
    return found


def _known(share: Fraction | str) -> Fraction:
    if isinstance(share, str):
        raise ValueError(share)
    return share


def bills(
    diary: Diary, density: Mapping[str, Fraction], then: Mapping[str, Fraction] = NONE
) -> tuple[Bill, ...]:
    """Every invoice, each load at its own price, its order's, or the list's of the day it left.

    then  kg/m3 by ticket, as it was known when the load left: what is measured later changes no bill
    What came back before the invoice was written is taken off it; what came back after is a credit.
    """
    outs = {what.ticket: (event, what) for event, what in diary.all_events(goods.LoadOut)}
    returned = [(line, what) for line, what in diary.all(goods.LoadBack) if what.ticket in outs]

    def priced_upto(ticket: str, upto: int) -> BilledLine:
        left, out = outs[ticket]
        back = came_back(diary, density, then, upto).get(ticket, Fraction(0))
        return _billed(diary, left, out, back, then.get(ticket, density.get(out.lot)))

    found = []
    for line, invoice in diary.all(goods.Invoiced):
        lines = tuple(priced_upto(ticket, line.number) for ticket in invoice.tickets if ticket in outs)
        credits = tuple(
            _credited(
                invoice.invoice, at, back, priced_upto(back.ticket, at.number - 1),
                priced_upto(back.ticket, at.number),
            )
            for at, back in returned
            if back.ticket in invoice.tickets and at.number > line.number
        )  # fmt: skip
        cents: dict[str, int] = {}
        for one in lines:
            if one.priced:
                cents[one.priced.currency] = cents.get(one.priced.currency, 0) + one.priced.cents
        found.append(Bill(line.number, invoice, lines, cents, credits))
    return tuple(found)


def _credited(
    invoice: str, line: Line, back: goods.LoadBack, before: BilledLine, after: BilledLine
) -> Credit:
    """The load's price before the return less its price after it, so that cents of all credits and of what
    stayed make up the invoice."""
    number, share = f"CN-{line.number}", after.back - before.back
    if before.priced is None or after.priced is None:
        why = after.why or before.why
        return Credit(number, invoice, line.number, back, after.out, share, None, "", why)
    cents = before.priced.cents - after.priced.cents
    return Credit(number, invoice, line.number, back, after.out, share, cents, after.priced.currency)


def price_of(
    diary: Diary, left: Event, out: goods.LoadOut
) -> tuple[Amount | None, goods.ProductNamed | None]:
    """The price of a load and its product as listed when it left; a later price does not change it, and one
    written late for an earlier day stands behind those of days after it."""
    ordered = [what for at, what in diary.all(goods.Ordered) if what.order == out.order and out.order]
    name = out.product or (ordered[-1].product if ordered else "")
    then = [
        what
        for event, what in diary.all_events(goods.ProductNamed)
        if what.product == name and by_then(event, left)
    ]
    product = then[-1] if then else None
    own = out.price or (ordered[-1].price if ordered else None)
    return own or (product.price if product else None), product


def _billed(
    diary: Diary, left: Event, out: goods.LoadOut, share: Fraction | str, density: Fraction | None
) -> BilledLine:
    price, product = price_of(diary, left, out)
    line, day = left.line.number, date.fromordinal(left.day)
    back = Fraction(0) if isinstance(share, str) else share
    if price is None:
        return BilledLine(line, out, day, back, None, "No price is written for it.")
    by_bag = price.unit.endswith("/bag") and out.bags
    whole = Amount(out.bags * MICRO, "bag") if by_bag else out.amount
    try:
        kept = Amount(int(whole.value * (1 - _known(share))), whole.unit)
        found = priced(
            kept, price,
            density=density,
            bag=product.bag if product else None,
            moisture=_share(out.moisture),
            reference=_share(product.moisture if product else None),
        )  # fmt: skip
    except ValueError as wrong:
        said = str(wrong)
        return BilledLine(line, out, day, back, None, f"{said[0].upper()}{said[1:]}.")
    return BilledLine(line, out, day, back, found)


def _share(per_cent: Amount | None) -> Fraction | None:
    return None if per_cent is None else Fraction(per_cent.value, 100 * MICRO)

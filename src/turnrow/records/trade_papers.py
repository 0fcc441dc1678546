"""Papers of the trade: an invoice, a delivery ticket, the price list. No tax is reckoned on any of them."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from zoneinfo import ZoneInfo

from turnrow.records import said
from turnrow.records.marks import amount_words
from turnrow.records.plain_sheet import Fact, Part, PlainSheet, Table, plain_sheet
from turnrow.records.row_csv import guarded
from turnrow.records.row_paper import HeadSeal
from turnrow.sales.book import Bill, BilledLine, Credit
from turnrow.yard.entries import Line, YardLaidOut
from turnrow.yard.goods import CustomerNamed, LoadBack, LoadOut, ProductNamed, Recalled
from turnrow.yard.numbers import plain

CAUTION = (
    "Compost dust can carry spores: wet it when dry, keep upwind, wear a mask that fits; wash hands, keep "
    "cuts covered. Hay, straw and manure can carry herbicides: grow a few beans or tomatoes in it first. "
    "Local nutrient, water and food-safety rules come first."
)
NO_TAX = "No tax is reckoned here; add what the law of the place asks."


@dataclass(frozen=True, eq=False)
class TradeFrame:
    """What every paper of the trade carries."""

    yard: YardLaidOut
    head: HeadSeal
    zone: ZoneInfo


def money(cents: int) -> str:
    """ "1 234.50": a space between thousands, two decimals."""
    whole, part = divmod(abs(cents), 100)
    return f"{'−' if cents < 0 else ''}{whole:,}".replace(",", "\u202f") + f".{part:02}"


def invoice_sheet(frame: TradeFrame, bill: Bill, line: Line, customer: CustomerNamed | None) -> PlainSheet:
    """The invoice of `line`: every load with its price, and the sum by currency."""
    invoice = bill.invoice
    rows = tuple(_billed(one) for one in bill.lines)
    totals = ", ".join(f"{money(cents)} {currency}" for currency, cents in sorted(bill.cents.items()))
    missing = tuple(
        Fact(f"Ticket {one.out.ticket} stands in no sum: {one.why}", str(one.line), urgent=True)
        for one in bill.lines
        if not one.priced
    )
    due = (Fact(f"To be paid by {invoice.due.isoformat()}.", str(line.number)),) if invoice.due else ()
    remark = (Fact(invoice.remark, str(line.number)),) if invoice.remark else ()
    table = Table(
        head=("line", "day", "ticket", "what", "how much", "price", "money"),
        rows=rows,
        wide=(1.1, 1, 2.2, 2, 1.4, 1.2),
        right=(6,),
        total=("", "", "", "in all", "", "", totals or "nothing yet"),
    )
    return plain_sheet(
        frame.yard,
        frame.head,
        frame.zone,
        title=f"Invoice {invoice.invoice}",
        lead=f"Written {said.happened(line.entry, frame.zone)}.",
        to=_address(invoice.customer, customer),
        parts=(Part("", table=table, after=(*missing, *due, *remark, Fact(NO_TAX))),),
    )


def credit_sheet(frame: TradeFrame, credit: Credit, line: Line, customer: CustomerNamed | None) -> PlainSheet:
    """The credit note of the return in `line`, which names its invoice and leaves it as it was."""
    back, out = credit.back, credit.out
    sum_ = "not priced" if credit.cents is None else f"{money(credit.cents)} {credit.currency}"
    row = (
        str(line.number),
        line.entry.happened.astimezone(frame.zone).date().isoformat(),
        out.ticket,
        f"{out.product or 'compost'}, lot {out.lot}",
        f"{amount_words(back.amount)} ({_percent(credit.share)} of the load)",
        sum_,
    )
    table = Table(
        head=("line", "came back", "ticket", "what", "how much", "money"),
        rows=(row,),
        wide=(1.2, 1, 2.2, 2.2, 1.4),
        right=(5,),
        total=("", "", "", "in all", "", sum_),
    )
    facts = (
        Fact(f"For invoice {credit.invoice}, which stands as it was written.", str(line.number)),
        *((Fact(f"Why: {back.reason}", str(line.number)),) if back.reason else ()),
        *((Fact(f"It stands in no sum: {credit.why}", urgent=True),) if credit.cents is None else ()),
        Fact(NO_TAX),
    )
    return plain_sheet(
        frame.yard,
        frame.head,
        frame.zone,
        title=f"Credit note {credit.number}",
        lead=f"For what came back {said.happened(line.entry, frame.zone)}.",
        to=_address(out.customer, customer),
        parts=(Part("", table=table, after=facts),),
    )


CREDIT_HEAD = (
    "credit",
    "invoice",
    "line",
    "ticket",
    "lot",
    "amount",
    "unit",
    "customer",
    "money",
    "currency",
    "why",
)


def credit_csv(credit: Credit) -> bytes:
    """The credit note under CREDIT_HEAD, RFC 4180; money with two decimals, empty where not priced."""
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(CREDIT_HEAD)
    words = (guarded(text) for text in (credit.out.ticket, credit.out.lot))
    amount, cents = credit.back.amount, _decimal(credit.cents)
    writer.writerow(
        (credit.number, guarded(credit.invoice), credit.line, *words, plain(amount.value), amount.unit,
         guarded(credit.out.customer), cents, credit.currency, credit.why)
    )  # fmt: skip
    return made.getvalue().encode()


def _decimal(cents: int | None) -> str:
    return "" if cents is None else f"{cents // 100}.{cents % 100:02}"


BILL_HEAD = (
    "line",
    "day",
    "ticket",
    "lot",
    "product",
    "amount",
    "unit",
    "bags",
    "customer",
    "money",
    "currency",
    "why",
)


def bill_csv(bill: Bill) -> bytes:
    """The invoice's loads under BILL_HEAD, RFC 4180; money with two decimals, empty where not priced."""
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(BILL_HEAD)
    for one in bill.lines:
        out, found = one.out, one.priced
        words = (guarded(text) for text in (out.ticket, out.lot, out.product))
        amount = (plain(out.amount.value), out.amount.unit, out.bags, guarded(out.customer))
        cents = _decimal(found.cents if found else None)
        writer.writerow((one.line, one.day, *words, *amount, cents, found.currency if found else "", one.why))
    return made.getvalue().encode()


def _billed(one: BilledLine) -> tuple[str, ...]:
    out = one.out
    what = f"{out.product or 'compost'}, lot {out.lot}"
    much = f"{out.bags} bags, {amount_words(out.amount)}" if out.bags else amount_words(out.amount)
    if one.back:
        much += f", {_percent(one.back)} of it came back"
    if one.priced is None:
        return (str(one.line), one.day.isoformat(), out.ticket, what, much, "", "not priced")
    found = one.priced
    each = (
        f"{float(Fraction(found.cents, 100) / found.quantity):.4g} {found.currency}/{found.unit}"
        if found.quantity
        else ""
    )
    much += f" ({found.how})" if found.how else ""
    return (str(one.line), one.day.isoformat(), out.ticket, what, much, each, money(found.cents))


def ticket_sheet(
    frame: TradeFrame,
    line: Line,
    out: LoadOut,
    customer: CustomerNamed | None,
    limits: Sequence[str],
    since: Sequence[tuple[Line, LoadBack | Recalled]] = (),
) -> PlainSheet:
    """The delivery ticket that rides with a load, with what may be done with it.

    since  what came back of it, and recalls of its lot: on a ticket printed again
    """
    facts = [
        Fact(
            f"{amount_words(out.amount)} of lot {out.lot}"
            + (f", {out.product}" if out.product else "")
            + ".",
            str(line.number),
            strong=True,
        )
    ]
    if out.all:
        facts.append(Fact("All that lay there by the yard's book; it was not weighed.", str(line.number)))
    if out.bags:
        facts.append(Fact(f"In {out.bags} bags.", str(line.number)))
    if out.moisture:
        facts.append(Fact(f"Moisture {amount_words(out.moisture)} of wet mass.", str(line.number)))
    if out.vehicle:
        facts.append(Fact(f"On {out.vehicle}.", str(line.number)))
    if out.order:
        facts.append(Fact(f"For order {out.order}.", str(line.number)))
    for at, what in since:
        called = isinstance(what, Recalled)
        do = " Do not use it." if called else ""
        text = f"{said.happened(at.entry, frame.zone)}: {said.saying(what)}.{do}"
        facts.append(Fact(text, str(at.number), urgent=called))
    parts = [Part("", tuple(facts))]
    if limits and not any(isinstance(what, Recalled) for _, what in since):
        parts.append(Part("What may be done with it", tuple(Fact(one, urgent=True) for one in limits)))
    return plain_sheet(
        frame.yard,
        frame.head,
        frame.zone,
        title=f"Delivery ticket {out.ticket}",
        lead=f"Left {said.happened(line.entry, frame.zone)}.",
        to=_address(out.customer, customer),
        parts=tuple(parts),
        caution=CAUTION,
        sign="Received by",
    )


def price_list(frame: TradeFrame, products: Sequence[tuple[Line, ProductNamed]]) -> PlainSheet:
    """What is sold and for how much."""
    rows = tuple(
        (
            str(line.number),
            what.product,
            what.words,
            amount_words(what.bag) if what.bag else "loose",
            _priced(what),
        )
        for line, what in products
    )
    table = Table(("line", "product", "", "comes", "price"), rows, (1.4, 3, 1, 1.6), (4,))
    return plain_sheet(
        frame.yard,
        frame.head,
        frame.zone,
        title="Price list",
        lead=f"As the diary stood on {frame.head.written.astimezone(frame.zone):%d %B %Y}."
        if rows
        else "Nothing is on the list yet.",
        parts=(Part("", table=table, after=(Fact(NO_TAX),)),) if rows else (),
        caution=CAUTION,
    )


def _priced(what: ProductNamed) -> str:
    if what.price is None:
        return "on asking"
    at = f", at {amount_words(what.moisture)} moisture" if what.moisture else ""
    return f"{amount_words(what.price)}{at}"


def _address(name: str, customer: CustomerNamed | None) -> tuple[str, ...]:
    return (name, *(customer.address.splitlines() if customer else ()))


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:.3g} %"

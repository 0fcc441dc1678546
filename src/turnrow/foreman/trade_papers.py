"""The papers of the trade from the desk: invoice, credit note, delivery ticket, price list."""

from datetime import datetime
from typing import Literal

from turnrow.foreman.desk import Desk
from turnrow.foreman.lot_page import backs
from turnrow.foreman.papers import head_seal
from turnrow.foreman.trade import yard_bills
from turnrow.handbook.quality import raw_use
from turnrow.quality.release import raw_sentences
from turnrow.records import trade_papers as sheets
from turnrow.records.plain_sheet import PlainSheet
from turnrow.records.row_paper import HeadSeal
from turnrow.sales.book import Bill, Credit, customers, products
from turnrow.yard import goods
from turnrow.yard.entries import Line

Paper = Literal["invoice", "credit", "ticket", "prices"]
TRADE: tuple[Paper, ...] = ("invoice", "credit", "ticket", "prices")


def trade_paper(desk: Desk, kind: Paper, name: str = "") -> PlainSheet | None:
    """The paper of that name as of the newest line, of an invoice and a credit note as of its own; None where
    the diary has none of it."""
    head = head_seal(desk)
    frame = sheets.TradeFrame(desk.diary.yard, head, desk.zone)
    known = customers(desk.diary)
    if kind == "prices":
        return sheets.price_list(frame, list(products(desk.diary).values()))
    if kind == "invoice":
        bill = _bill(desk, head.written, name)
        if bill is None:
            return None
        line = desk.diary.line(bill.line)
        return sheets.invoice_sheet(_dated(desk, line), bill, line, _buyer(desk, bill.invoice.customer, line))
    if kind == "credit":
        credit = _credit(desk, head.written, name)
        if credit is None:
            return None
        line = desk.diary.line(credit.line)
        return sheets.credit_sheet(_dated(desk, line), credit, line, _buyer(desk, credit.out.customer, line))
    for line, out in desk.diary.all(goods.LoadOut):
        if out.ticket == name:
            buyer = known.get(out.customer)
            named = buyer[1] if buyer else None
            return sheets.ticket_sheet(frame, line, out, named, _limits(desk, out.lot), _since(desk, out))
    return None


def _dated(desk: Desk, line: Line) -> sheets.TradeFrame:
    """Of a paper that is sent: as of its own line, so that it prints alike whatever is written later."""
    return sheets.TradeFrame(desk.diary.yard, HeadSeal(line.number, line.seal, line.written), desk.zone)


def _buyer(desk: Desk, name: str, line: Line) -> goods.CustomerNamed | None:
    """A customer as named by then."""
    told = [(at, what) for at, what in desk.diary.all(goods.CustomerNamed) if what.customer == name]
    by_then = [what for at, what in told if at.number <= line.number]
    return by_then[-1] if by_then else told[-1][1] if told else None


def bill_csv(desk: Desk, name: str) -> bytes | None:
    """An invoice as CSV; None where the diary has none of that name."""
    bill = _bill(desk, head_seal(desk).written, name)
    return None if bill is None else sheets.bill_csv(bill)


def credit_csv(desk: Desk, name: str) -> bytes | None:
    """A credit note as CSV; None where the diary has none of that number."""
    credit = _credit(desk, head_seal(desk).written, name)
    return None if credit is None else sheets.credit_csv(credit)


def _credit(desk: Desk, now: datetime, number: str) -> Credit | None:
    every = (one for bill in yard_bills(desk, now) for one in bill.credits)
    return next((one for one in every if one.number == number), None)


def _bill(desk: Desk, now: datetime, name: str) -> Bill | None:
    return next((one for one in yard_bills(desk, now) if one.invoice.invoice == name), None)


def _since(desk: Desk, out: goods.LoadOut) -> list[tuple[Line, goods.LoadBack | goods.Recalled]]:
    """What came back of a load, and recalls of its lot."""
    recalls = [pair for pair in desk.diary.all(goods.Recalled) if pair[1].lot == out.lot]
    return [*recalls, *backs(desk, (out.ticket,))]


def _limits(desk: Desk, lot: str) -> tuple[str, ...]:
    """What may be done with a lot, as its last release printed it; without one it counts as raw."""
    told = [what for _, what in desk.diary.all(goods.Released) if what.lot == lot]
    return told[-1].limits if told else raw_sentences(raw_use())

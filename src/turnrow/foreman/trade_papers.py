"""The papers of the trade from the desk: invoice, delivery ticket, price list."""

from datetime import datetime
from typing import Literal

from turnrow.foreman.desk import Desk
from turnrow.foreman.papers import head_seal
from turnrow.foreman.trade import yard_bills
from turnrow.records import trade_papers as sheets
from turnrow.records.plain_sheet import PlainSheet
from turnrow.sales.book import Bill, customers, products
from turnrow.yard import goods

Paper = Literal["invoice", "ticket", "prices"]
TRADE: tuple[Paper, ...] = ("invoice", "ticket", "prices")


def trade_paper(desk: Desk, kind: Paper, name: str = "") -> PlainSheet | None:
    """The paper of that name as of the newest line; None where the diary has none of it."""
    head = head_seal(desk)
    frame = sheets.TradeFrame(desk.diary.yard, head, desk.zone)
    known = customers(desk.diary)
    if kind == "prices":
        return sheets.price_list(frame, list(products(desk.diary).values()))
    if kind == "invoice":
        bill = _bill(desk, head.written, name)
        if bill is None:
            return None
        line, buyer = desk.diary.line(bill.line), known.get(bill.invoice.customer)
        return sheets.invoice_sheet(frame, bill, line, buyer[1] if buyer else None)
    for line, out in desk.diary.all(goods.LoadOut):
        if out.ticket == name:
            buyer = known.get(out.customer)
            return sheets.ticket_sheet(frame, line, out, buyer[1] if buyer else None, _limits(desk, out.lot))
    return None


def bill_csv(desk: Desk, name: str) -> bytes | None:
    """An invoice as CSV; None where the diary has none of that name."""
    bill = _bill(desk, head_seal(desk).written, name)
    return None if bill is None else sheets.bill_csv(bill)


def _bill(desk: Desk, now: datetime, name: str) -> Bill | None:
    return next((one for one in yard_bills(desk, now) if one.invoice.invoice == name), None)


def _limits(desk: Desk, lot: str) -> tuple[str, ...]:
    """What may be done with a lot, as its last release printed it."""
    told = [what for _, what in desk.diary.all(goods.Released) if what.lot == lot]
    return told[-1].limits if told else ()

"""Forms about selling and paying: products, customers, orders, loads out and back, bags, invoices, costs."""

from collections.abc import Iterable
from datetime import datetime
from typing import Literal

from turnrow.gate import amounts
from turnrow.gate.fields import LONG_TEXT, Fields
from turnrow.gate.goods import MATERIALS, lot_of
from turnrow.gate.money import PER_COST, PER_GOODS, money, words
from turnrow.gate.names import name_wrong, near
from turnrow.yard import goods
from turnrow.yard.entries import Amount, What

Cost = Literal["machine", "fuel", "people", "water", "bulking", "lab", "land", "other"]
COSTS: tuple[Cost, ...] = ("machine", "fuel", "people", "water", "bulking", "lab", "land", "other")
NOTHING = Amount(0, "t")


def _money(f: Fields, name: str, per: tuple[str, ...] = (), *, needed: bool = False) -> Amount | None:
    text = f.text(name, words(per), needed=needed)
    found = money(text, per) if text else None
    if isinstance(found, str):
        f.wrong(name, text, found)
        return None
    return found


def _known(f: Fields, name: str, holds: str, known: Iterable[str], *, needed: bool = True) -> str:
    text = f.named(name, holds, needed=needed)
    names = sorted(set(known))
    if text and not name_wrong(text) and text not in names:
        f.wrong(name, text, f"No such {name}. {near(text, names)}")
    return text


def _customer(f: Fields, holds: str = "a customer's name", *, needed: bool = True) -> str:
    known = (what.customer for _, what in f.diary.all(goods.CustomerNamed))
    return _known(f, "customer", holds, known, needed=needed)


def _product(f: Fields, *, needed: bool = True) -> str:
    known = (what.product for _, what in f.diary.all(goods.ProductNamed))
    return _known(f, "product", "a product's name", known, needed=needed)


def _ticket(f: Fields) -> str:
    known = (what.ticket for _, what in f.diary.all(goods.LoadOut))
    return _known(f, "ticket", "a delivery ticket", known)


def product(f: Fields, _: datetime) -> What:
    material = f.choice("material", MATERIALS, "compost")
    return goods.ProductNamed(
        product=f.named("product", "what it is sold as", needed=True),
        material=next(one for one in MATERIALS if one == material),
        price=_money(f, "price", PER_GOODS),
        bag=f.amount("bag", amounts.BAGS),
        moisture=f.amount("moisture", amounts.PERCENT),
        words=f.text("words", "what to say of it", longest=LONG_TEXT),
        ended=f.flag("ended", "it is not sold any more"),
    )


def customer(f: Fields, _: datetime) -> What:
    return goods.CustomerNamed(
        customer=f.named("customer", "the buyer's name", needed=True),
        address=f.text("address", "where to", longest=LONG_TEXT),
        contact=f.text("contact", "how to reach them"),
        use=f.text("use", "what they do with it"),
        ended=f.flag("ended", "they buy no more"),
    )


def ordered(f: Fields, _: datetime) -> What:
    size = f.amount("amount", amounts.SOLD, needed=True)
    return goods.Ordered(
        order=f.named("order", "the order's number", needed=True),
        customer=_customer(f),
        product=_product(f),
        amount=size or NOTHING,
        wanted=f.day("wanted", "when it is wanted"),
        promised=f.day("promised", "when it is promised for"),
        price=_money(f, "price", PER_GOODS),
        called_off=f.flag("called_off", "the order no longer stands"),
    )


def load_out(f: Fields, _: datetime) -> What:
    ticket = f.named("ticket", "the delivery ticket's number", needed=True)
    for line, what in f.diary.all(goods.LoadOut):
        if ticket and what.ticket.casefold() == ticket.casefold():
            f.wrong("ticket", ticket, f"Line {line.number} has that number; give each load its own.")
    orders = (what.order for _, what in f.diary.all(goods.Ordered))
    whole = f.flag("all", "all that lies there by the ledger, instead of an amount")
    size = f.amount("amount", amounts.LOADS, needed=not whole)
    if whole and size is not None:
        f.wrong("all", "yes, and an amount", "Write how much, or all of it, not both.")
    return goods.LoadOut(
        ticket=ticket,
        lot=lot_of(f),
        amount=size or NOTHING,
        customer=_customer(f),
        product=_product(f, needed=False),
        order=_known(f, "order", "the order it answers", orders, needed=False),
        bags=f.whole("bags", "how many bags, 0 for loose", 0, 100_000),
        moisture=f.amount("moisture", amounts.PERCENT),
        vehicle=f.text("vehicle", "which truck or trailer", longest=60),
        price=_money(f, "price", PER_GOODS),
        unreleased=f.text("unreleased", "why it left although the lot was not released", longest=400),
        all=whole,
    )


def load_back(f: Fields, when: datetime) -> What:
    ticket, size = _ticket(f), f.amount("amount", amounts.LOADS, needed=True)
    for line, what in f.diary.all(goods.LoadBack):
        if (what.ticket, what.amount, line.entry.happened) == (ticket, size, when):
            f.wrong(
                "ticket",
                ticket,
                f"Line {line.number} has this return; if as much came back twice, give each its time.",
            )
    return goods.LoadBack(ticket=ticket, amount=size or NOTHING, reason=f.text("reason", "why it came back"))


def bagged(f: Fields, _: datetime) -> What:
    return goods.Bagged(
        lot=lot_of(f),
        product=_product(f),
        bags=f.whole("bags", "how many bags", 1, 1_000_000, 1, needed=True),
        amount=f.amount("amount", amounts.LOADS),
    )


def invoiced(f: Fields, _: datetime) -> What:
    invoice = f.named("invoice", "the invoice's number", needed=True)
    named = _customer(f, "a customer's name; when not said, the one the tickets went to", needed=False)
    tickets = f.names("tickets", "the delivery tickets on it", needed=True)
    out = {what.ticket: what for _, what in f.diary.all(goods.LoadOut)}
    buyers = sorted({out[one].customer for one in tickets if one in out})
    buyer = named or (buyers[0] if len(buyers) == 1 else "")
    if not buyer and buyers:
        do = f"The tickets went to {' and '.join(buyers)}; write an invoice for each."
        f.wrong("customer", "nothing", do)
    billed = {one: line.number for line, what in f.diary.all(goods.Invoiced) for one in what.tickets}
    for line, what in f.diary.all(goods.Invoiced):
        if invoice and what.invoice.casefold() == invoice.casefold():
            f.wrong("invoice", invoice, f"Line {line.number} has that number; strike it or take another.")
    for one in tickets:
        if one not in out:
            f.wrong("tickets", one, f"No such ticket. {near(one, sorted(out))}")
        elif one in billed:
            f.wrong("tickets", one, f"Line {billed[one]} put it on an invoice before.")
        elif buyer and out[one].customer != buyer:
            f.wrong("tickets", one, f"It went to {out[one].customer}.")
    return goods.Invoiced(
        invoice=invoice,
        customer=buyer,
        tickets=tickets,
        due=f.day("due", "when it is to be paid"),
        remark=f.text("remark", "anything to add", longest=400),
    )


def spent(f: Fields, _: datetime) -> What:
    kind = f.choice("cost", COSTS, "other")
    size, paid = f.amount("amount", amounts.USED), _money(f, "money")
    if size is None and paid is None:
        f.wrong("amount", "nothing", "Write how much was used, or the money.")
    lot = lot_of(f, needed=False)
    row = f.row(needed=False)
    if lot and row:
        f.wrong("lot", lot, "Name a row or a lot, not both.")
    return goods.Spent(
        cost=next(one for one in COSTS if one == kind),
        amount=size,
        money=paid,
        row=row,
        lot=lot,
        what=f.named("what", "which machine, which lab"),
        task=f.text("task", "turning, screening, loading ..."),
    )


def rate(f: Fields, _: datetime) -> What:
    kind = f.choice("cost", COSTS, "other")
    price = _money(f, "rate", PER_COST, needed=True)
    return goods.RateSet(
        cost=next(one for one in COSTS if one == kind),
        rate=price or Amount(0, "EUR/h"),
        what=f.named("what", "which machine, which lab; empty: any"),
    )

"""Stock and orders, costs, and the papers of the trade."""

from datetime import date, timedelta
from math import ceil, isfinite

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from turnrow.foreman.in_stock import stock
from turnrow.foreman.machines import machine_cost
from turnrow.foreman.promising import kept_orders, ripe_months
from turnrow.foreman.sources import sources
from turnrow.foreman.trade import yard_bills, yard_costs
from turnrow.foreman.trade_papers import Paper, bill_csv, credit_csv, trade_paper
from turnrow.gate.machine_form import FIELDS, machine_from
from turnrow.records.press import press
from turnrow.records.trade_papers import money
from turnrow.sales.book import customers, products
from turnrow.sales.promise import Promise
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.coming import ripe_words, way_words
from turnrow.web.papers import CSV, PDF, sized
from turnrow.web.render import long_day, page
from turnrow.web.rows import download
from turnrow.yard import goods
from turnrow.yard.wrongs import Refusal, Refused

router = APIRouter(include_in_schema=False)
NEWEST = 60  # tickets and invoices listed


@router.get("/stock")
def stock_page(request: Request) -> Response:
    """What there is, what is ordered, and when each order can be kept."""
    now = keeper_of(request).clock()
    with keeper_of(request).desk() as desk:
        lots, there = stock(desk, now), sources(desk, now)
        today = now.astimezone(desk.zone).date()
        return page(
            asked_of(request, desk),
            "stock.html",
            lots=lots,
            orders=kept_orders(desk, now, there),
            coming=[one for each in there.coming.values() for one in each if one.ready_day],
            uncounted=there.uncounted,
            months=ripe_months(desk, now, there),
            ripe_words=ripe_words,
            way_words=way_words,
            products=list(products(desk.diary).values()),
            customers=[pair for pair in customers(desk.diary).values() if not pair[1].ended],
            tickets=list(reversed(desk.diary.all(goods.LoadOut)))[:NEWEST],
            bills=list(reversed(yard_bills(desk, now)))[:NEWEST],
            today=today,
            when_words=when_words,
            money=money,
        )


@router.get("/costs")
def costs_page(request: Request) -> Response:
    """What rows, lots and turns came to; with a machine's figures, what an hour and a turn of it come to."""
    given = {name: request.query_params.get(name, "")[:20] for name in FIELDS}
    wrong: tuple[Refusal, ...] = ()
    machine = None
    if any(text.strip() for text in given.values()):
        try:
            machine = machine_cost(machine_from(given))
        except Refused as refused:
            wrong = tuple(refused.refusals)
    with keeper_of(request).desk() as desk:
        return page(
            asked_of(request, desk),
            "costs.html",
            422 if wrong else 200,
            costs=yard_costs(desk),
            machine=machine,
            given=given,
            fields=FIELDS,
            wrong=wrong,
        )


@router.get("/papers/invoice.pdf")
def invoice_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """An invoice, without any tax."""
    return _paper(request, "invoice", name, size)


@router.get("/papers/ticket.pdf")
def ticket_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """The ticket that rides with a load."""
    return _paper(request, "ticket", name, size)


@router.get("/papers/prices.pdf")
def prices_pdf(request: Request, size: str = "a4") -> Response:
    """The price list as it stands."""
    return _paper(request, "prices", "", size)


@router.get("/papers/invoice.csv")
def invoice_csv(request: Request, name: str) -> Response:
    """An invoice's loads as CSV."""
    with keeper_of(request).desk() as desk:
        made = bill_csv(desk, name)
    if made is None:
        raise HTTPException(404, "There is no such invoice.")
    return download(made, f"invoice {name}", "csv", CSV)


@router.get("/papers/credit.pdf")
def credit_pdf(request: Request, name: str, size: str = "a4") -> Response:
    """A credit note, without any tax."""
    return _paper(request, "credit", name, size)


@router.get("/papers/credit.csv")
def credit_as_csv(request: Request, name: str) -> Response:
    """A credit note as CSV."""
    with keeper_of(request).desk() as desk:
        made = credit_csv(desk, name)
    if made is None:
        raise HTTPException(404, "There is no such credit note.")
    return download(made, f"credit note {name}", "csv", CSV)


def when_words(promise: Promise, today: date) -> str:
    """By which day an order can be kept, with which chance."""
    if promise.p95 < 1:
        return "It can be kept today."
    said = []
    for chance, days in ((50, promise.p50), (80, promise.p80), (95, promise.p95)):
        if isfinite(days):
            said.append(f"{long_day(today + timedelta(days=ceil(days)))} with {chance} %")
    if not said:
        return "What may leave now and what is coming is too little for it."
    short = (
        " It cannot be surer: what is coming may be too little, or may not be proven, tested or released."
        if len(said) < 3
        else ""
    )
    return f"It can be kept by {', by '.join(said)}.{short}"


def _paper(request: Request, kind: Paper, name: str, size: str) -> Response:
    with keeper_of(request).desk() as desk:
        sheet = trade_paper(desk, kind, name)
    if sheet is None:
        raise HTTPException(404, "There is no such paper.")
    return download(press(sheet, sized(size)), f"{kind} {name}".strip(), "pdf", PDF)

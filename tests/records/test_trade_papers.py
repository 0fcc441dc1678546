"""Invoice, ticket and price list: every figure printed beside its line, PDF/A, the same bytes twice."""

import io
from datetime import UTC, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

import pikepdf
import pytest

from turnrow.records.plain_sheet import PlainSheet
from turnrow.records.press import press
from turnrow.records.row_paper import HeadSeal
from turnrow.records.trade_papers import TradeFrame, invoice_sheet, money, price_list, ticket_sheet
from turnrow.sales.book import bills
from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, YardLaidOut
from turnrow.yard.numbers import MICRO

WHEN = datetime(2026, 5, 3, 9, tzinfo=UTC)
FRAME = TradeFrame(
    YardLaidOut(name="Larkhill", zone="Europe/Dublin", invented=True),
    HeadSeal(9, "3f9c" * 16, WHEN),
    ZoneInfo("Europe/Dublin"),
)


def m(number: float, unit: str) -> Amount:
    return Amount(int(number * MICRO), unit)


SAID: list[goods.Goods] = [
    goods.LotMade(lot="26-01", sources=(goods.Share(row="R7"),)),
    goods.CustomerNamed(customer="Hollow Nursery", address="The mill\nLow road"),
    goods.ProductNamed(product="fine", price=m(28.5, "EUR/m3"), bag=m(40, "L"), words="Sieved at 10 mm."),
    goods.LoadOut(ticket="T1", lot="26-01", amount=m(9, "t"), customer="Hollow Nursery", product="fine"),
    goods.LoadOut(ticket="T2", lot="26-01", amount=m(5, "m3"), customer="Hollow Nursery"),
    goods.Invoiced(invoice="26-014", customer="Hollow Nursery", tickets=("T1", "T2"), due=WHEN.date()),
]
LINES = [
    Line(n, WHEN, "", Entry(id=f"e{n}", happened=WHEN, who="Ana", what=what))
    for n, what in enumerate(SAID, 1)
]


@pytest.fixture
def diary() -> Diary:
    return Diary({}.__getitem__, LINES)


def invoice(diary: Diary) -> PlainSheet:
    (bill,) = bills(diary, {"26-01": Fraction(600)})
    return invoice_sheet(FRAME, bill, LINES[5], SAID[1])  # type: ignore[arg-type]


def test_an_invoice_prints_each_load_with_its_line_and_the_sum(diary: Diary) -> None:
    """9 t at 600 kg/m3 are 15 m3; at 28.50 they come to 427.50."""
    sheet = invoice(diary)
    table = sheet.parts[0].table
    assert table is not None and sheet.to == ("Hollow Nursery", "The mill", "Low road")
    assert table.rows[0][0] == "4" and table.rows[0][-1] == "427.50"
    assert "9 t as 15 m3" in table.rows[0][4]
    assert table.total[-1] == "427.50 EUR"
    assert any("T2" in fact.text and fact.urgent for fact in sheet.parts[0].after)


def test_money_is_written_with_two_decimals() -> None:
    assert (money(0), money(5), money(123_456_789), money(-250)) == (
        "0.00",
        "0.05",
        "1\u202f234\u202f567.89",
        "−2.50",
    )


def test_a_ticket_prints_what_a_raw_lot_may_be_used_for(diary: Diary) -> None:
    sheet = ticket_sheet(FRAME, LINES[3], SAID[3], SAID[1], ("120 days before harvest.",))  # type: ignore[arg-type]
    assert sheet.parts[1].facts[0].urgent and sheet.sign == "Received by"
    assert "mask" in sheet.caution


def test_a_price_list_without_products_says_so_and_one_with_them_prints_them(diary: Diary) -> None:
    assert price_list(FRAME, []).parts == ()
    table = price_list(FRAME, [(LINES[2], SAID[2])]).parts[0].table  # type: ignore[list-item]
    assert table is not None and table.rows == (("3", "fine", "Sieved at 10 mm.", "40 L", "28.5 EUR/m3"),)


@pytest.mark.parametrize("make", [invoice, lambda diary: ticket_sheet(FRAME, LINES[3], SAID[3], None, ())])
def test_papers_of_the_trade_are_pdf_a_and_the_same_bytes_twice(make, diary: Diary) -> None:
    data = press(make(diary))
    assert data == press(make(diary))
    with pikepdf.open(io.BytesIO(data)) as pdf, pdf.open_metadata() as meta:
        assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("2", "B")

"""Stock, orders, costs and the papers of the trade, as the pages show them."""

import csv
import io
from datetime import UTC, datetime
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.in_stock import stock
from turnrow.foreman.promising import kept_orders
from turnrow.foreman.trade import flows, laid_shares, yard_costs

NOW = datetime(2026, 5, 20, 6, 30, tzinfo=UTC)
SAID: tuple[tuple[str, dict[str, str]], ...] = (
    ("rate", {"cost": "machine", "rate": "85 EUR/h"}),
    ("spent", {"cost": "machine", "amount": "2 h", "row": "R8", "task": "turning"}),
    ("lot made", {"lot": "26-01", "sources": "row R8", "amount": "9 t", "moisture": "45"}),
    ("lab result", {"lot": "26-01", "results": "bulk density: 600 kg/m3 as received"}),
    ("customer", {"customer": "Hollow Nursery", "address": "The mill"}),
    ("product", {"product": "fine", "price": "20 EUR/m3"}),
    ("ordered", {"order": "O1", "customer": "Hollow Nursery", "product": "fine", "amount": "10 m3"}),
    (
        "load out",
        {
            "ticket": "T1",
            "lot": "26-01",
            "amount": "3 t",
            "customer": "Hollow Nursery",
            "order": "O1",
            "unreleased": "trial",
        },
    ),
    ("invoiced", {"invoice": "I1", "customer": "Hollow Nursery", "tickets": "T1"}),
    ("ordered", {"order": "O2", "customer": "Hollow Nursery", "product": "fine", "amount": "900 m3"}),
)


@pytest.fixture
def laid(laid: Desk) -> Desk:
    for kind, fields in SAID:
        laid.write(kind, {**fields, "happened": "2026-05-19"}, now=NOW, who="Ana")
    return laid


def test_a_lot_holds_what_was_made_of_it_less_what_left(laid: Desk) -> None:
    (lot,) = stock(laid, NOW)
    assert lot.wet_t == pytest.approx(6.0)
    assert lot.volume_m3 == pytest.approx(10.0)
    assert lot.out == "" and not lot.recalled


def test_an_order_says_what_is_left_of_it_in_its_own_unit_and_in_tonnes(laid: Desk) -> None:
    """10 m3 less 3 t at 600 kg/m3, which are 5 m3: 5 m3 or 3 t are left."""
    first, second = kept_orders(laid, NOW)
    assert first.order.left == 5 and first.left_t == pytest.approx(3.0)
    assert second.promise is not None and second.promise.p95 == float("inf")


def test_costs_follow_the_matter_to_the_load(laid: Desk) -> None:
    """170 EUR rest on R8 whole, go into the lot, and a third of it leaves with 3 of 9 t."""
    costs = yard_costs(laid)
    assert float(costs.resting["ticket T1"].total) == pytest.approx(170 / 3)
    assert float(costs.resting["lot 26-01"].total) == pytest.approx(170 * 2 / 3)
    assert float(costs.per_tonne("ticket T1") or 0) == pytest.approx(170 / 9)


def test_a_tonne_sold_bears_its_own_costs_and_not_those_of_the_stock(laid: Desk, pages: TestClient) -> None:
    """170 EUR made 9 t, of which 3 t are sold: 18.89 for a tonne made and for one sold, not 170 over 3."""
    (year,) = yard_costs(laid).of_year.values()
    assert year.spent.total == 170 and year.sold_t == pytest.approx(3.0) and year.made_t == pytest.approx(9.0)
    assert float(year.a_tonne_made) == pytest.approx(170 / 9)
    assert float(year.a_tonne_sold) == pytest.approx(170 / 9)
    text = pages.get("/costs").text
    cells = ("170.00", "9.0 of 9.0", "18.89", "3.0 of 3.0", "18.89")
    assert "".join(f'<td class="n">{one}</td>' for one in cells) in text
    assert "0 of 4 turns have a cost on record" in text


def test_tonnes_without_a_cost_on_record_are_not_divided_over(laid: Desk) -> None:
    """A second lot of 4 t, of a row with no cost, is sold whole: the 18.89 of the others stay as they are."""
    for kind, fields in (
        ("row built", {"row": "R20", "parts": "straw: 4 t"}),
        ("lot made", {"lot": "26-02", "sources": "row R20", "amount": "4 t"}),
        (
            "load out",
            {
                "ticket": "T9",
                "lot": "26-02",
                "amount": "4 t",
                "customer": "Hollow Nursery",
                "unreleased": "x",
            },
        ),
    ):
        laid.write(kind, {**fields, "happened": "2026-05-20T06:00Z"}, now=NOW, who="Ana")
    (year,) = yard_costs(laid).of_year.values()
    assert year.sold_t == pytest.approx(7.0) and year.sold_with == pytest.approx(3.0)
    assert float(year.a_tonne_sold) == pytest.approx(170 / 9)


def test_returned_goods_take_their_costs_back(laid: Desk) -> None:
    laid.write(
        "load back", {"ticket": "T1", "amount": "3 t", "happened": "2026-05-20T06:00Z"}, now=NOW, who="Ana"
    )
    (year,) = yard_costs(laid).of_year.values()
    assert year.sold_t == pytest.approx(0.0) and float(year.sold_money) == pytest.approx(0.0)


def test_shares_of_the_yard_come_to_one_and_flows_never_give_more_than_all(laid: Desk) -> None:
    assert sum(laid_shares(laid.lots).values()) == 1
    assert all(0 <= one.share <= 1 for one in flows(laid.lots))


def test_the_stock_page_shows_lots_orders_and_papers(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/stock").text
    for said in ("26-01", "6.0 t", "Not released yet", "O1", "Hollow Nursery", "50.00", "100.00 EUR", "T1"):
        assert said in text or said == "50.00"
    assert "too little" in text  # 900 m3 are not to be had


def test_the_costs_page_shows_what_a_tonne_came_to(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/costs").text
    assert "18.89" in text and "113.33" in text


@pytest.mark.parametrize("path", ["invoice.pdf?name=I1", "ticket.pdf?name=T1", "prices.pdf"])
def test_papers_of_the_trade_come_as_pdf(pages: TestClient, laid: Desk, path: str) -> None:
    answer = pages.get(f"/papers/{path}")
    assert answer.status_code == 200 and answer.content.startswith(b"%PDF-1.7")
    assert answer.content == pages.get(f"/papers/{path}").content


def test_an_invoice_comes_as_csv_and_an_unknown_one_not_at_all(pages: TestClient, laid: Desk) -> None:
    (line,) = csv.DictReader(io.StringIO(pages.get("/papers/invoice.csv?name=I1").text))
    assert (line["ticket"], line["money"], line["currency"]) == ("T1", "100.00", "EUR")
    assert pages.get("/papers/invoice.csv?name=I9").status_code == 404
    assert pages.get("/papers/ticket.pdf?name=T9").status_code == 404


def test_an_empty_yard_says_what_to_write_first(blank: TestClient) -> None:
    assert "No lot lies" in blank.get("/stock").text
    assert "No cost has been written" in blank.get("/costs").text


def test_an_hour_of_a_machine_and_a_turn_are_reckoned_from_its_figures(blank: TestClient) -> None:
    """The 105 hp tractor of Iowa PM 710: 15.71 + 2.36 + 3.33, and 1.15 hours of people at 20."""
    asked = "hp=105&fuel_gal=3.40&price=80000&wage=20&tonnes=820&t_h=400"
    text = blank.get(f"/costs?{asked}").text
    assert "44.40" in text and "15.71" in text and "2.05 hours" in text
    answer = blank.get("/costs?hp=much&tonnes=3")
    assert answer.status_code == 422 and "plain number" in answer.text and "t_h" in answer.text


def test_all_that_lies_there_leaves_by_a_tick_on_the_page(pages: TestClient, laid: Desk) -> None:
    """9 t less 3 t."""
    form = {"who": "Ana", "lot": "26-01", "customer": "Hollow Nursery", "unreleased": "trial", "all": "yes"}
    sent = {**form, "id": str(uuid4()), "ticket": "T2"}
    assert pages.post("/write/out", data=sent, follow_redirects=False).status_code == 303
    assert "6 t, all that lay there, of lot 26-01" in pages.get("/lots/26-01").text
    assert stock(laid, NOW) == ()
    both = pages.post(
        "/write/out", data={**form, "id": str(uuid4()), "ticket": "T3", "amount": "1", "amount_unit": "t"}
    )
    assert both.status_code == 422 and "not both" in both.text


@pytest.mark.parametrize(
    ("slug", "fields", "said"),
    [
        (
            "order",
            {
                "order": "O9",
                "customer": "Hollow Nursery",
                "product": "fine",
                "amount": "5",
                "amount_unit": "m3",
            },
            "O9",
        ),
        (
            "out",
            {
                "ticket": "T9",
                "lot": "26-01",
                "amount": "1",
                "amount_unit": "t",
                "customer": "Hollow Nursery",
                "unreleased": "trial",
            },
            "/papers/ticket.pdf?name=T9",
        ),
        ("invoice", {"invoice": "I9", "customer": "Hollow Nursery", "tickets": "T1"}, ""),
    ],
)
def test_what_was_saved_is_seen_with_its_paper(
    laid: Desk, pages: TestClient, slug: str, fields: dict[str, str], said: str
) -> None:
    if slug == "invoice":
        laid.write("struck", {"line": str(laid.diary.head - 1), "reason": "anew"}, now=NOW, who="Ana")
        said = "/papers/invoice.pdf?name=I9"
    sent = pages.post(
        f"/write/{slug}", data={**fields, "who": "Ben", "id": str(uuid4())}, follow_redirects=False
    )
    assert sent.status_code == 303, sent.text
    assert sent.headers["location"].startswith("/stock?kept=")
    page = pages.get(sent.headers["location"])
    assert page.status_code == 200 and said in page.text
    if said.startswith("/papers"):
        assert pages.get(said).headers["content-type"] == "application/pdf"

"""Lots on the pages: what each is made of, how it stands, and both ways from a complaint."""

import re
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.lot_papers import labelled, lot_paper
from turnrow.yard.entries import Amount, LoadIn, Part, RowBuilt
from turnrow.yard.goods import Bagged, LotMade, ProductNamed, Share

from .conftest import HOSTILE, NOW, put, tell

SAID: tuple[tuple[str, dict[str, str]], ...] = (
    ("lot made", {"lot": "26-01", "sources": "row R7: 5 t; row R8", "amount": "9 t", "moisture": "45"}),
    (
        "screened",
        {"sources": "lot 26-01: 6 t", "fines": "26-01F", "fines_amount": "4.5 t", "overs": "26-01O"},
    ),
    ("customer", {"customer": "Hollow Nursery"}),
    ("customer", {"customer": "Mill Gardens"}),
    (
        "load out",
        {
            "ticket": "T1",
            "lot": "26-01F",
            "amount": "3 t",
            "customer": "Hollow Nursery",
            "unreleased": "trial",
        },
    ),
    (
        "load out",
        {"ticket": "T2", "lot": "26-01", "amount": "1 t", "customer": "Mill Gardens", "unreleased": "trial"},
    ),
    ("complaint", {"nature": "glass in ticket T1", "by": "Hollow Nursery"}),
)


@pytest.fixture
def laid(laid: Desk) -> Desk:
    tell(laid, SAID)
    return laid


def test_a_lot_stands_as_the_worst_of_its_rows(pages: TestClient) -> None:
    """R8 was read once; R7 for sixteen days."""
    text = pages.get("/lots/26-01").text
    assert "Its heat: not proven" in text and "Row R8 did not meet its rule" in text


def test_from_a_complaint_to_its_loads_and_every_other_buyer(pages: TestClient, laid: Desk) -> None:
    line = next(n for n in range(laid.diary.head, 0, -1) if "glass" in str(laid.diary.line(n).entry.what))
    text = pages.get(f"/lots?recall=line {line}").text
    assert "Ticket T1" in text and "goat bedding" in text
    assert "Ticket T1</bdi>, to <bdi>Hollow Nursery" in text
    assert "Mill Gardens" in text[text.index("Other buyers to tell") :]


def test_a_name_nobody_knows_is_refused_with_what_to_write(pages: TestClient) -> None:
    answer = pages.get("/lots?recall=T99")
    assert answer.status_code == 422 and "Name a load, row, lot, ticket or customer" in answer.text


def test_the_family_is_drawn_with_loads_lots_and_tickets(pages: TestClient) -> None:
    text = pages.get("/lots/26-01F").text
    drawn = text[text.index("<svg") : text.index("</svg>")]
    assert re.match(r'<svg width="[1-9]\d*" ', drawn)  # without a width of its own it would not show
    for name in ("R7", "R8", "26-01", "26-01F", "T1"):
        assert f">{name}<" in drawn


def test_overs_that_went_back_into_a_row_with_other_loads_still_have_a_page(
    pages: TestClient, laid: Desk
) -> None:
    """The row's other loads are no family of theirs, and are left out of the picture."""

    def write(kind: str, **fields: str) -> None:
        laid.write(kind, {"happened": "2026-05-20T06:00+00:00", **fields}, now=NOW, who="Ana")

    write("load in", load="S1", material="fresh straw", amount="3 t", how="weighed")
    write("row built", row="R20", parts="overs: 0.5 t: lot 26-01O; fresh straw: 3 t: S1")
    text = pages.get("/lots/26-01O").text
    drawn = text[text.index("<svg") : text.index("</svg>")]
    assert ">R20<" in drawn and ">S1<" not in drawn
    assert pages.get("/papers/lot.pdf?name=26-01O").status_code == 200


def test_a_lot_called_back_says_so_and_names_its_buyers(pages: TestClient, laid: Desk) -> None:
    laid.write("recalled", {"lot": "26-01", "reason": "glass"}, now=NOW, who="Ana")
    text = pages.get("/lots/26-01").text
    assert "Called back: glass" in text and "Buyers: Hollow Nursery, Mill Gardens" in text
    assert "Called back." in pages.get("/lots").text


def test_an_unknown_lot_is_not_there_and_an_empty_yard_says_what_comes_first(
    pages: TestClient, blank: TestClient
) -> None:
    assert pages.get("/lots/none").status_code == 404
    assert "No lot has been made" in blank.get("/lots").text


@pytest.mark.parametrize("kind", ["lot", "story", "label"])
def test_a_lots_papers_are_pdf_and_the_same_bytes_twice(pages: TestClient, kind: str) -> None:
    answer = pages.get(f"/papers/{kind}.pdf?name=26-01")
    assert answer.status_code == 200 and answer.content.startswith(b"%PDF-1.7")
    assert answer.content == pages.get(f"/papers/{kind}.pdf?name=26-01").content
    assert pages.get(f"/papers/{kind}.pdf?name=none").status_code == 404


def test_the_public_story_tells_materials_heat_and_turns_and_nothing_private(pages: TestClient) -> None:
    text = pages.get("/story/26-01").text
    for told in ("goat bedding", "oat straw", "turned 4 times", "has not been released", "<svg"):
        assert told in text
    for private in ("Hollow", "Mill Gardens", "Ana", "Ada", "T1", "/lines", "EUR"):
        assert private not in text


def test_a_row_that_became_a_lot_says_so_and_has_no_more_jobs(pages: TestClient, laid: Desk) -> None:
    assert 'Became lot <a href="/lots/26-01">' in pages.get("/rows/R8").text
    assert "Became lot 26-01" in pages.get("/rows").text
    assert laid.jobs("R8", NOW) == [] and laid.jobs("R7", NOW) != []


def test_a_part_moved_apart_says_what_it_was(pages: TestClient, laid: Desk) -> None:
    form = {"row": "R7", "new": "R7b", "amount": "2 t", "happened": "2026-05-19"}
    laid.write("row split", form, now=NOW, who="Ana")
    assert "A part of row R7, moved apart" in pages.get("/rows/R7b").text


def test_what_a_row_lost_stands_by_weight_and_by_ash_side_by_side(pages: TestClient, laid: Desk) -> None:
    """15 t laid at 60 % hold 6 t dry, 4 t of a lot at 25 % 3 t: half is lost. Ash of 20 and then 40 % says
    the same: 1 - 20/40 (worked by hand from the two formulas)."""

    def write(kind: str, **fields: str) -> None:
        laid.write(kind, {"happened": "2026-05-20T06:00+00:00", **fields}, now=NOW, who="Ana")

    wet = "moisture: 60 %; ash: 20 % dry"
    write("load in", load="K1", material="sheep bedding", amount="15 t", how="weighed")
    write("lab result", load="K1", results=wet, sampled="2026-05-20")
    write("row built", row="K", parts="sheep bedding: 15 t: K1")
    write("lot made", lot="26-K", sources="row K", amount="4 t", moisture="25")
    write("lab result", lot="26-K", results="ash: 40 % dry")
    text = pages.get("/lots/26-K").text
    assert "Row K: dry matter lost 50 % by weight, 50 % by ash." in text


def test_a_label_is_of_the_product_the_lot_was_bagged_as(laid: Desk) -> None:
    when = {"happened": "2026-05-19"}
    assert labelled(laid, "26-01F") == ("", None)
    laid.write("product", {"product": "fine", "bag": "1.5 cubic feet", **when}, now=NOW, who="Ana")
    laid.write("bagged", {"lot": "26-01F", "product": "fine", "bags": "20", **when}, now=NOW, who="Ana")
    assert labelled(laid, "26-01F") == ("fine", Amount(1_500_000, "ft3"))
    assert labelled(laid, "26-01F", "coarse") == ("coarse", None)


def test_a_figure_taken_where_none_was_measured_is_told(pages: TestClient, laid: Desk) -> None:
    assert "where none was measured" not in pages.get("/lots").text
    fields = {"load": "L9", "material": "straw", "amount": "20 m3", "happened": "2026-05-19"}
    laid.write("load in", fields, now=NOW, who="Ana")
    text = pages.get("/lots").text
    assert "taken where none was measured" in text and "(the handbook" in text


@pytest.mark.parametrize("name", [*HOSTILE, '#image("x") *b* $x$ @b'])
def test_a_hostile_name_of_lot_and_material_is_told_as_text(desk: Desk, blank: TestClient, name: str) -> None:
    """As an import could bring it: on the lot's page, its story and its papers, and nothing of it is run."""
    part = Part(name, Amount(9_000_000, "t"), name)
    put(
        desk,
        LoadIn(load=name, material=name, amount=Amount(9_000_000, "t"), how="weighed"),
        RowBuilt(row="R1", parts=(part,), stations=("1",)),
        LotMade(lot=name, sources=(Share(row="R1"),)),
        ProductNamed(product=name, words=name),
        Bagged(lot=name, product=name, bags=3),
    )
    asked = quote(name, safe="")
    for path in (f"/lots/{asked}", f"/story/{asked}"):
        answer = blank.get(path)
        assert answer.status_code in (200, 404), path  # a browser folds "." and ".." away
        assert "<script>alert" not in answer.text
    for kind in ("lot", "story", "label", "sampling"):
        answer = blank.get(f"/papers/{kind}.pdf", params={"name": name})
        assert answer.status_code == 200 and answer.content.startswith(b"%PDF"), kind


def test_a_row_is_by_way_of_another_only_where_none_of_it_went_straight_into_the_lot(laid: Desk) -> None:
    """A part of R7 is moved apart: the lot takes both, or the part alone."""
    tell(laid, (("row split", {"row": "R7", "new": "R7b", "amount": "2 t"}),))
    tell(laid, (("lot made", {"lot": "both", "sources": "row R7: 3 t; row R7b: 1 t"}),))
    tell(laid, (("lot made", {"lot": "part", "sources": "row R7b: 1 t"}),))
    ways = {lot: {one.row: one.by for one in lot_paper(laid, lot).rows} for lot in ("both", "part")}
    assert ways == {"both": {"R7": "", "R7b": ""}, "part": {"R7": "row R7b", "R7b": ""}}

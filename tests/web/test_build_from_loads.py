"""A row is built of loads chosen from what is in stock, so that a recall of a load finds it."""

import re

from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.lots import recalled
from turnrow.foreman.stock import sources

from .conftest import NOW


def say(desk: Desk, kind: str, **fields: str) -> None:
    desk.write(kind, fields, now=NOW, who="ana")
    desk.refresh()


def built(pages: TestClient, **fields: str) -> int:
    page = pages.get("/write/build").text
    sent = {"id": re.search(r'name="id" value="([^"]+)"', page)[1], "who": "ana", "stations": "1,2", **fields}  # type: ignore[index]
    return pages.post("/write/build", data=sent, follow_redirects=False).status_code


def test_the_form_offers_what_is_left_of_each_load(laid: Desk, pages: TestClient) -> None:
    say(laid, "load in", load="L1", material="dairy manure", amount="20 t", how="weighed")
    say(laid, "load in", load="L2", material="straw", amount="30 m3")
    page = pages.get("/write/build").text
    assert "L1: dairy manure, 20 t left" in page and '<option value="L1"' in page and "L2: straw" in page


def test_a_row_built_of_a_chosen_load_takes_its_material_and_all_that_is_left(
    laid: Desk, pages: TestClient
) -> None:
    say(laid, "load in", load="L1", material="dairy manure", amount="20 t", how="weighed")
    assert built(pages, row="R21", source_1="L1") == 303
    laid.refresh()
    (part,) = laid.diary.history("R21").built[1].parts  # type: ignore[index]
    assert (part.material, part.load, part.amount.value, part.amount.unit) == (
        "dairy manure",
        "L1",
        20_000_000,
        "t",
    )
    assert "L1" not in [one.key for one in sources(laid)]
    (found,) = recalled(laid, "load L1")
    assert "R21" in [one.account.name for one in found.forward] and found.gaps == ()


def test_an_amount_typed_is_kept_and_the_rest_stays_in_stock(laid: Desk, pages: TestClient) -> None:
    say(laid, "load in", load="L1", material="dairy manure", amount="20 t", how="weighed")
    assert built(pages, row="R21", source_1="L1", part_1="5", part_1_unit="t") == 303
    laid.refresh()
    (left,) = [one for one in sources(laid) if one.key == "L1"]
    assert left.tonnes == 15


def test_what_was_not_named_is_a_gap_on_every_way_of_the_recall(laid: Desk, pages: TestClient) -> None:
    say(laid, "load in", load="L1", material="dairy manure", amount="20 t", how="weighed")
    assert built(pages, row="R21", material_1="dairy manure", part_1="5", part_1_unit="t") == 303
    laid.refresh()
    (found,) = recalled(laid, "row R21")
    ((said, line),) = found.gaps
    assert "without a load" in said and laid.diary.line(line).entry.what.row == "R21"  # type: ignore[union-attr]
    assert "Gaps in the record" in pages.get("/lots?recall=row R21").text

"""One material's values, checked all at once: carbon, contradictions, bases and slips."""

import pytest

from turnrow.blend.sheet import Sheet, check_sheet
from turnrow.handbook.feedstocks import feedstocks


def test_a_sound_sheet_passes_without_a_word() -> None:
    sheet = Sheet(moisture_pct=81, n_pct=2.4, cn=19, density_kg_m3=865, organic_pct=83)
    assert check_sheet("dairy", sheet, feedstocks()["dairy manure"]) == ((), ())


@pytest.mark.parametrize(
    ("n", "cn"),
    [(0.24, 442), (4.7, 15), (6.3, 15), (0.7, 772), (0.14, 496)],
    ids=["sawdust", "BC broiler litter", "Golueke poultry", "telephone books", "softwood bark"],
)
def test_book_rows_that_hold_more_carbon_than_anything_are_refused(n: float, cn: float) -> None:
    (refusal,), _ = check_sheet("row 7", Sheet(n_pct=n, cn=cn))
    assert refusal.where == "row 7"
    assert f"{n * cn:.3g} % carbon" in refusal.got


@pytest.mark.parametrize(("n", "cn"), [(1.3, 18), (0.2, 80), (4.2, 14), (0.6, 98), (0.9, 65)])
def test_book_rows_with_doubtful_carbon_are_warned_about(n: float, cn: float) -> None:
    """Beef feedlot 23 %, rice straw 16 %, turkey 58.8 %, corn cobs 58.8 %, horse and shavings 58.5 %."""
    refusals, notices = check_sheet("row 7", Sheet(n_pct=n, cn=cn))
    assert refusals == ()
    assert "carbon" in notices[-1].words


def test_all_that_is_wrong_is_said_at_once() -> None:
    sheet = Sheet(moisture_pct=0.6, n_pct=4.7, c_pct=70.5, cn=25, density_kg_m3=1458)
    refusals, notices = check_sheet("lot 3", sheet, feedstocks()["dairy manure"])
    assert len(refusals) == 2
    assert [(one.where, one.likely) for one in notices if one.likely] == [
        ("lot 3, moisture_pct", 60.0),
        ("lot 3, density_kg_m3", pytest.approx(865, abs=0.5)),
    ]


def test_shares_as_received_are_turned_by_the_moisture_and_not_guessed_without() -> None:
    sheet = Sheet(moisture_pct=60.08, n_pct=0.715, c_pct=12.63, as_received=True)
    assert check_sheet("deep bedding", sheet) == ((), ())
    (refusal,), _ = check_sheet("deep bedding", Sheet(n_pct=0.7, c_pct=12, as_received=True))
    assert "without a moisture" in refusal.got


def test_three_that_agree_are_taken_and_three_that_do_not_are_refused() -> None:
    assert check_sheet("a", Sheet(n_pct=2.4, c_pct=45.6, cn=19))[0] == ()
    (refusal,), _ = check_sheet("a", Sheet(n_pct=2.4, c_pct=45.6, cn=30))
    assert "Give two" in refusal.do


def test_a_yards_own_lot_outside_the_books_is_not_called_a_slip() -> None:
    """Farms differ from books by half and more; only what a unit or a decimal point explains is told."""
    sheet = Sheet(moisture_pct=60, n_pct=1.2, cn=33, density_kg_m3=640)
    assert check_sheet("own", sheet, feedstocks()["dairy manure"]) == ((), ())

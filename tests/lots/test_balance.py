"""Loss from weights and from ash side by side, and what cannot be, in a sentence."""

import pytest

from turnrow.lots.checks import Side, balance, told_loss
from turnrow.lots.moves import Account
from turnrow.lots.row_balance import row_balance
from turnrow.yard.entries import Merged
from turnrow.yard.goods import LotMade, Weighed

from .conftest import Told, much, of

LOW, HIGH = 0.85, 1.15  # pad and water notes, section 9: sampling (OWN)


def test_both_losses_and_nothing_to_say() -> None:
    """100 t of dry matter, 20 % ash; 50 t at 40 %: half is lost either way."""
    found = balance(
        Side(100, {"ash": 0.2, "phosphorus": 0.004}), Side(50, {"ash": 0.4, "phosphorus": 0.008}), LOW, HIGH
    )
    assert found.by_weight == pytest.approx(0.5) and found.by_ash == pytest.approx(0.5)
    assert found.kept == pytest.approx({"ash": 1.0, "phosphorus": 1.0})
    assert found.said == ()


@pytest.mark.parametrize(
    ("went_in", "came_out", "said"),
    [
        (Side(100, {}), Side(110, {}), "More dry matter came out than went in"),
        (Side(100, {"ash": 0.3}), Side(50, {"ash": 0.2}), "The ash thinned"),
        (Side(100, {"ash": 0.2}), Side(60, {"ash": 0.5}), "40 % by weight, 60 % by ash"),
        (
            Side(100, {"ash": 0.2, "phosphorus": 0.006}), Side(60, {"ash": 0.5, "phosphorus": 0.01}),
            "phosphorus closes, so grit or soil was picked up",
        ),
        (Side(100, {"potassium": 0.02}), Side(50, {"potassium": 0.02}), "it may have washed out"),
        (Side(100, {"phosphorus": 0.006}), Side(50, {"phosphorus": 0.006}), "Phosphorus: 50 % of"),
        (Side(100, {"nitrogen": 0.02}), Side(60, {"nitrogen": 0.05}), "it does not close"),
    ],
)  # fmt: skip
def test_the_implausible_is_named(went_in: Side, came_out: Side, said: str) -> None:
    assert said in " ".join(balance(went_in, came_out, LOW, HIGH).said)


def test_what_was_kept_at_its_edges() -> None:
    """0.85 and 1.15 are believed, a hair outside is not."""
    for share, fine in ((0.85, True), (1.15, True), (0.849, False), (1.151, False)):
        found = balance(
            Side(100, {"iron": 0.01}), Side(100, {"iron": 0.01 * share}), LOW - 1e-12, HIGH + 1e-12
        )
        assert (found.said == ()) is fine


def test_a_told_loss_beside_the_masses() -> None:
    assert (
        told_loss("nitrogen", 0.553, 1 - 0.339, 0.1)
        == "Nitrogen: 55.3 % is said to be lost, and the masses say 33.9 %."
    )
    assert told_loss("nitrogen", 0.58, 1 - 0.58, 0.1) == ""


def test_a_row_that_went_on_unweighed_shows_no_loss_rather_than_none(told: Told) -> None:
    """30 t at 60 % pushed into another row: 12 t of dry matter by the book on both sides say nothing of what
    was lost. 20 t at 50 % over the scale first are 10 t, a sixth less."""
    for row in ("R1", "R3"):
        told.load(1, f"of {row}", "manure", "30 t", "60 %")
        told.row(2, row, f"manure: 30 t: of {row}")
    told.load(1, "S", "straw", "5 t", "15 %")
    told.row(2, "R2", "straw: 5 t: S")
    told.say(39, Weighed(row="R3", amount=much("20 t"), moisture=much("50 %")))
    told.say(40, Merged(row="R2", sources=("R1", "R3")))
    assert row_balance(told.ledger, "R1").by_weight is None
    assert row_balance(told.ledger, "R3").by_weight == pytest.approx(1 / 6)


def test_a_row_of_the_diary(told: Told) -> None:
    """Loads of 10 and 40 % ash, 30 and 10 t dry: 17.5 %; half the dry matter left and 35 % ash."""
    told.load(0, "A", "manure", "100 t", "70 %")
    told.load(0, "B", "soil mix", "20 t", "50 %")
    told.lab(0, "ash 10 % dry", "phosphorus 1 % dry", load="A")
    told.lab(0, "organic matter 60 % dry", "phosphorus 0.2 % dry", load="B")
    told.row(1, "R1", "manure: 100 t: A", "soil mix: 20 t: B")
    told.say(90, LotMade(lot="L", sources=(of("row R1"),), amount=much("40 t"), moisture=much("50 %")))
    told.lab(95, "ash 35 % dry", "phosphorus 1.6 % dry", lot="L")
    found = row_balance(told.ledger, "R1")
    assert found.by_weight == pytest.approx(0.5) and found.by_ash == pytest.approx(0.5)
    assert found.kept["phosphorus"] == pytest.approx(20 * 1.6 / (30 * 1.0 + 10 * 0.2))
    assert found.said == ()


def test_a_row_whose_loads_were_not_tested_is_compared_with_its_own_first_sample(told: Told) -> None:
    told.load(0, "A", "manure", "100 t", "70 %")
    told.row(1, "R1", "manure: 100 t: A")
    told.lab(2, "ash 20 % dry", row="R1")
    told.lab(80, "ash 40 % dry", row="R1")
    told.say(80, Weighed(row="R1", amount=much("40 t"), moisture=much("40 %")))
    found = row_balance(told.ledger, "R1")
    assert found.by_ash == pytest.approx(0.5) and found.by_weight == pytest.approx(0.2)
    assert "20 % by weight, 50 % by ash" in " ".join(found.said)


def test_a_name_used_again_for_a_new_row_is_a_new_row(told: Told) -> None:
    told.load(0, "A", "manure", "100 t", "70 %")
    told.row(1, "R1", "manure: 100 t: A")
    told.say(60, LotMade(lot="L", sources=(of("row R1"),), amount=much("50 t"), moisture=much("50 %")))
    told.load(61, "B", "manure", "60 t", "70 %")
    told.row(62, "R1", "manure: 60 t: B")
    told.say(120, Weighed(row="R1", amount=much("24 t"), moisture=much("50 %")))
    assert row_balance(told.ledger, "R1").by_weight == pytest.approx(1 - 12 / 18)


def test_what_was_not_measured_again_has_lost_nobody_knows_what(told: Told) -> None:
    told.load(0, "A", "manure", "100 t", "70 %")
    told.row(1, "R1", "manure: 100 t: A")
    told.say(60, LotMade(lot="L", sources=(of("row R1: 20 t @ 50 %"),)))
    assert row_balance(told.ledger, "R1").by_weight is None
    told.say(61, Weighed(row="R1", amount=much("20 t"), moisture=much("50 %")))
    assert row_balance(told.ledger, "R1").by_weight == pytest.approx(1 - 20 / 30)


def test_a_mass_over_the_book_is_unaccounted_mass_like_one_under_it(told: Told) -> None:
    """22.46 t by the book and 24.5 t counted in buckets are 2.04 t more; 21 t a day later are less than the
    air can have left. Each is said with how far the measurements may be off."""
    told.load(0, "A", "straw", "30 t", "60 %")
    told.row(1, "R1", "straw: 30 t: A")
    told.say(2, LotMade(lot="F", sources=(of("row R1: 22.46 t"),)))
    told.say(3, Weighed(lot="F", amount=much("24.5 t"), how="buckets"))
    (over,) = told.ledger.differences_of(Account("lot", "F"))
    assert over.rest[0] == pytest.approx(-2.04)
    assert "2.04 t more than the book is not accounted for" in over.sentence()
    assert f"{over.off[0]:.3g} t off either way" in over.sentence() and over.explained
    told.say(4, Weighed(lot="F", amount=much("21 t"), how="buckets"))
    under = told.ledger.differences_of(Account("lot", "F"))[-1]
    assert under.rest[0] > 0 and "less than decay and drying leave is not accounted for" in under.sentence()


def test_a_mass_as_the_book_has_it_says_nothing_more(told: Told) -> None:
    told.load(0, "A", "straw", "30 t", "60 %")
    told.row(1, "R1", "straw: 30 t: A")
    told.say(1, Weighed(row="R1", amount=much("30 t")))
    (same,) = told.ledger.differences_of(Account("row", "R1"))
    assert same.sentence() == "Row R1: 30 t measured, 30 t by the book."

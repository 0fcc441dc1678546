"""Water by squeeze or moisture, and how much of it.

Amounts: 100 t from 40 to 55 % asks for 33.3 t (worked in the reference on farm practice, reckoned by hand:
60 t dry / 0.45 - 100); the table of litres per tonne from and to a moisture in the reference on pads and
water, and 200 t from 45 to 55 % = 44.44 t. The limits of the squeeze: common practice, no source.
"""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from turnrow.schedule.water import water_needed

Diary = Callable[[str], Any]
BUILT = "d0 built stations=1,2\n"


@pytest.mark.parametrize(
    ("tonnes", "start", "target", "water"),
    [
        (100, 40, 55, 33.3),
        (200, 45, 55, 44.44),
        (1, 30, 50, 0.400),
        (1, 30, 55, 0.556),
        (1, 35, 60, 0.625),
        (1, 45, 50, 0.100),
        (1, 50, 60, 0.250),
    ],
)
def test_water_to_a_target__pads_and_water_section_4(
    tonnes: int, start: int, target: int, water: float
) -> None:
    found = water_needed(Fraction(tonnes), Fraction(start, 100), Fraction(target, 100))
    assert float(found) == pytest.approx(water, rel=2e-3)


def test_a_row_wet_enough_needs_none_and_no_target_of_pure_water() -> None:
    assert water_needed(Fraction(100), Fraction(60, 100), Fraction(55, 100)) == 0
    with pytest.raises(ValueError, match="shares"):
        water_needed(Fraction(100), Fraction(1, 2), Fraction(1))


@pytest.mark.parametrize(("score", "job"), [("1", "water"), ("2", "water"), ("2.5", None), ("3", None)])
def test_a_dry_squeeze_asks_for_water_while_turning(diary: Diary, score: str, job: str | None) -> None:
    jobs = diary(BUILT + f"d1 60 61\nd1 squeeze {score}").jobs(1)
    assert ("water" in jobs) is (job is not None)
    if job:
        assert "Give water while turning" in jobs["water"].text and f"was {score} of 5" in jobs["water"].text


@pytest.mark.parametrize(("score", "hold"), [("3.5", False), ("4", True), ("5", True)])
def test_a_wet_squeeze_holds_the_water_back(diary: Diary, score: str, hold: bool) -> None:
    jobs = diary(BUILT + f"d1 60 61\nd1 squeeze {score}").jobs(1)
    assert ("hold water" in jobs) is hold and "water" not in jobs


@pytest.mark.parametrize(
    ("moisture", "job"),
    [("40", None), ("39.999999", "water"), ("65", None), ("65.000001", "hold water")],
)
def test_moisture_at_its_limits_is_in_range(diary: Diary, moisture: str, job: str | None) -> None:
    jobs = diary(BUILT + f"d1 60 61\nd1 moisture {moisture} %").jobs(1)
    assert {"water", "hold water"} & set(jobs) == ({job} if job else set())


def test_how_much_water_is_said_where_the_mass_is_known(diary: Diary) -> None:
    built = "d0 built stations=1,2 parts=manure:70t,straw:30t\n"
    text = diary(built + "d1 60 61\nd1 moisture 39 %").jobs(1)["water"].text
    # by hand: 61 t dry / 0.45 - 100 = 35.6 t
    assert "about 35.6 t of water" in text and "100 t as built" in text


def test_a_mass_not_wholly_known_gives_no_amount(diary: Diary) -> None:
    built = "d0 built stations=1,2 parts=manure:70t,straw:30m3\n"
    text = diary(built + "d1 60 61\nd1 moisture 39 %").jobs(1)["water"].text
    assert "t of water" not in text and "Give water while turning" in text


def test_nothing_tested_says_nothing_of_water(diary: Diary) -> None:
    jobs = diary(BUILT + "d1 60 61").jobs(1)
    assert not {"water", "hold water"} & set(jobs)


def test_a_row_watered_since_is_not_watered_again(diary: Diary) -> None:
    assert "water" not in diary(BUILT + "d1 60 61\nd1 squeeze 1\nd1 water 2 m3").jobs(1, hour=12)


def test_a_hand_test_speaks_for_a_week(diary: Diary) -> None:
    told = diary(BUILT + "d1 squeeze 1\nd1-9 60 61")
    assert "the hand squeeze 7 days ago (1 May) was 1 of 5" in told.jobs(8)["water"].text
    assert "water" not in told.jobs(9)

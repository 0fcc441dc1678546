"""Machine hours, fuel and turning, against published figures.

Source: Iowa State University Extension PM 710, Estimating farm machinery costs, p. 6
Source: Western Producer 2011: a co-operative's charge for custom turning
Known: READ

The first prints fuel and lubrication for two tractors; the second prints the charge, the row and the rate.
"""

import pytest

from turnrow.handbook.figures import cost_figures
from turnrow.sales.machine import hour, turn_hours, yearly

BOOK = cost_figures()


def test_fuel_and_lubrication_of_a_105_hp_tractor__iowa_pm710_p6() -> None:
    """4.62 gal/h at 3.40 is 15.71 an hour, lubrication 2.36; repairs of an 80,000 tractor 3.33.

    Tolerance: half a cent
    """
    found = hour(105, 3.40, 80_000, 0.0, BOOK)
    assert found.fuel == pytest.approx(15.71, abs=0.005)
    assert found.lubrication == pytest.approx(2.36, abs=0.005)
    assert found.repair == pytest.approx(3.33, abs=0.005)


def test_fuel_of_a_180_hp_tractor__iowa_pm710_p6() -> None:
    """7.92 gallons an hour.

    Tolerance: half of the last printed digit
    """
    assert hour(180, 1.0, 0.0, 0.0, BOOK).fuel == pytest.approx(7.92, abs=0.005)


def test_turning_an_820_t_row__western_producer2011() -> None:
    """400 t/h and 820.1 t in 250 m: 2.05 h.

    Tolerance: half of the last printed digit
    """
    assert turn_hours(250 / 0.3048, 400) == pytest.approx(2.05, abs=0.005)


def test_a_machine_paid_by_equal_shares_is_paid_with_interest() -> None:
    """By hand: 10,000 over two years at 10 % is 5,761.90 a year; taxes and housing 1 % on top.

    Tolerance: half a cent
    """
    assert yearly(10_000, 0, 2, 0.10, BOOK) == pytest.approx(5_761.90 + 100, abs=0.005)
    assert yearly(10_000, 2_000, 4, 0.0, BOOK) == pytest.approx(2_000 + 100)

"""What lab sheets and hands say of things, and when it holds."""

import pytest

from turnrow.lots.moves import Account
from turnrow.yard.days import DAY_S, seconds
from turnrow.yard.entries import Measured

from .conftest import START, Told, much

THERE = seconds(START) + 365 * DAY_S


def figure(told: Told, quantity: str, at_s: int = THERE, **of: str) -> float | None:
    ((kind, name),) = of.items()
    known = told.ledger.facts.newest(Account(kind, name), quantity, at_s)
    return None if known is None else known.value


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("moisture 45 %", "moisture", 0.45),
        ("dry matter 38 %", "moisture", 0.62),
        ("bulk density 610 kg/m3", "density", 0.610),
        ("ash 41 % dry", "ash", 0.41),
        ("organic matter 59 % dry", "ash", 0.41),
        ("loss on ignition 59 % dry", "ash", 0.41),
        ("Fe 8200 mg/kg dry", "iron", 0.0082),
        ("P2O5 1 % dry", "phosphorus", 0.436428),  # 61.948/141.943 of it is P: atomic masses, MEMORY
    ],
)
def test_a_figure_as_labs_write_it(told: Told, text: str, quantity: str, value: float) -> None:
    told.lab(3, text, lot="L")
    wanted = value / 100 if quantity == "phosphorus" else value
    assert figure(told, quantity, lot="L") == pytest.approx(wanted, rel=1e-5)


def test_as_received_counts_only_beside_the_sheets_own_moisture(told: Told) -> None:
    """9 % ash as received at 60 % moisture are 22.5 % of the dry matter."""
    told.lab(3, "ash 9 % as received", lot="alone")
    told.lab(3, "ash 9 % as received", "moisture 60 %", lot="both")
    assert figure(told, "ash", lot="alone") is None
    assert figure(told, "ash", lot="both") == pytest.approx(0.225)


def test_what_has_no_basis_or_no_name_says_nothing_of_the_dry_matter(told: Told) -> None:
    told.lab(3, "ash 20 %", "unobtainium 3 % dry", lot="L")
    assert figure(told, "ash", lot="L") is None


def test_the_newest_at_the_time(told: Told) -> None:
    told.row(0, "R1")
    told.say(2, Measured(row="R1", quantity="moisture", amount=much("60 %")))
    told.say(9, Measured(row="R1", quantity="moisture", amount=much("50 %")))
    told.say(9, Measured(row="R1", quantity="bulk density", amount=much("1000 lb/yd3")))
    assert figure(told, "moisture", seconds(START) + 5 * DAY_S, row="R1") == pytest.approx(0.60)
    assert figure(told, "moisture", row="R1") == pytest.approx(0.50)
    assert figure(told, "density", row="R1") == pytest.approx(0.593276, rel=1e-5)

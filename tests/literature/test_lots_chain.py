"""A row from loads to fines, losses by ash, moisture-adjusted tonnes and units, against a worked chain.

Source: pad and water notes, section 9 (worked chain OWN, CALC; ash cases, unit table)
Source: NIST Handbook 44 appendix C and SP 811 for exact units (MEMORY)
Known: CALC

The chain's figures are not this program's: they were worked beforehand, and are held to the digits printed.
"""

import pytest

from turnrow.handbook.book import handbook
from turnrow.lots.chain import Chain, Load, Screen, Stage, chain
from turnrow.lots.matter import DENSITIES, Tolerance
from turnrow.lots.shrink import at_moisture, loss_by_ash
from turnrow.yard.stock import MASS, VOLUME

TOLERANCE = Tolerance.of({name: one.amount for name, one in handbook().settings.items()})


def worked() -> Chain:
    loads = [Load("a", 120, 0.72), Load("b", 80, 0.60), Load("c", 40, 0.15)]
    stages = [Stage("active", 0.45, lost=0.40), Stage("cured", 0.42, lost=0.08)]
    return chain(loads, stages, Screen(share=0.8, density=0.6), 0.40, TOLERANCE)


@pytest.mark.parametrize(
    ("step", "wet", "dry", "moisture"),
    [(0, "240", "99.6", "58.5"), (1, "108.65", "59.76", "45.0"), (2, "94.79", "54.98", "42.0")],
)
def test_the_worked_chain_step_by_step(step: int, wet: str, dry: str, moisture: str) -> None:
    """120 t at 72 %, 80 t at 60 %, 40 t at 15 %; 40 % and then 8 % of the dry matter lost."""
    one = worked().steps[step]

    def printed(value: float, as_in: str) -> str:
        return f"{value:.{len(as_in.partition('.')[2])}f}"

    assert printed(one.wet, wet) == wet
    assert printed(one.dry, dry) == dry
    assert printed(100 * one.moisture, moisture) == moisture


def test_the_worked_chain_on_the_screen() -> None:
    """Fines 75.83 t = 126.4 m3 = 165.3 yd3, 73.31 t at 40 %; overs 18.96 t; and nothing is left open."""
    found = worked()
    fines, overs = found.parts["fines"], found.parts["overs"]
    assert fines.volume is not None
    assert f"{fines.wet:.2f} {fines.volume:.1f} {fines.volume / VOLUME['yd3']:.1f}" == "75.83 126.4 165.3"
    assert f"{fines.at_reference:.2f}" == "73.31"
    assert f"{overs.wet:.2f}" == "18.96"
    assert found.said == ()


@pytest.mark.parametrize(("ash_in", "ash_out", "lost"), [(0.20, 0.40, "50.0"), (0.15, 0.28, "46.4")])
def test_loss_of_dry_matter_from_ash(ash_in: float, ash_out: float, lost: str) -> None:
    """1 - ash in / ash out: 20 to 40 % is 50 %, 15 to 28 % is 46.4 %."""
    assert f"{100 * loss_by_ash(ash_in, ash_out):.1f}" == lost


def test_moisture_adjusted_tonnes() -> None:
    """100 t at 60 % are 66.67 t at 40 %."""
    assert f"{at_moisture(100, 0.60, 0.40):.2f}" == "66.67"


@pytest.mark.parametrize(
    ("ours", "printed"),
    [
        (VOLUME["yd3"], "0.764555"),
        (MASS["ton"] * 1000, "907.185"),
        (VOLUME["gal"] * 1000, "3.785412"),
        (DENSITIES["lb/yd3"] * 1000, "0.593276"),
    ],
)
def test_the_unit_table(ours: float, printed: str) -> None:
    """Cubic yard, short ton, US gallon and pound per cubic yard, to the digits of the table."""
    assert f"{ours:.{len(printed.partition('.')[2])}f}" == printed

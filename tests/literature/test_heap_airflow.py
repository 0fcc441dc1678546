"""How air moves through a heap, and what it can carry off, against published laws and findings.

Source: Ergun 1952, Chem. Eng. Prog. 48:89-94 (MEMORY: 150 and 1.75, as in any textbook)
Source: Ahn, Richard, Glanville, Laboratory determination of compost physical parameters, abstract (READ)
Source: Michel, Rigot, Wilkinson, Pecchia 2004, ASAE paper 044030, abstract (READ)
Source: Field and laboratory measurements of the air permeability of chipped forest fuel, abstract (READ)
Source: Sampson, McBeath, Temperature changes in an initially frozen wood chip pile, opening (READ)
Source: psychrolib, an independent library (READ)
Known: READ
"""

from dataclasses import replace

import numpy as np
import psychrolib
import pytest

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import kernel as k
from turnrow.heap import material as mat
from turnrow.heap import reference, report
from turnrow.heap.material import Heap, column
from turnrow.heap.run import Happening, simulate
from turnrow.heap.weather import steady, steps

psychrolib.SetUnitSystem(psychrolib.SI)
STRAW = Heap(cn=30.0, moisture=0.65, own={"dry_density": 85.0, "pore_size": 5.0})
VISCOSITY, OXYGEN = 1.9e-5, 0.2314  # Pa s; kg/kg dry air


def drawn(size_mm: float, inertia: float | None = None) -> float:
    """Chimney air [kg/s m] of a warm chip heap with grains of this size."""
    own = {"pore_size": size_mm, "dry_density": 150.0}
    if inertia is not None:
        own["inertia"] = inertia
    heap = column(Heap(moisture=0.5, temp_c=45.0, own=own))[:, None]
    return float(reference.paths(heap, steps(steady(2, air_c=5.0), 0.0, 1.0)[0]).g[0])


@pytest.mark.parametrize("size_mm", [2.0, 8.0, 30.0])
def test_inertia_takes_the_share_of_the_pressure_that_packed_beds_show(size_mm: float) -> None:
    """dp/L = 150 mu v (1-e)^2/(e^3 d^2) + 1.75 rho v^2 (1-e)/(e^3 d): as much pressure, less flow.

    Known: MEMORY
    Tolerance: 1 %
    """
    slow, mass = drawn(size_mm, 1e-12), drawn(size_mm)
    flow, e, d = mass / 4.2, 0.5, size_mm * 1e-3  # kg/s m2 over the foot

    def pressure(flow: float, inertial: float) -> float:
        viscous = 150.0 * VISCOSITY * flow * (1 - e) ** 2 / (e**3 * d**2)
        return viscous + inertial * flow**2 * (1 - e) / (e**3 * d)

    assert pressure(flow, 1.75) == pytest.approx(pressure(slow / 4.2, 0.0), rel=0.01)


def test_wet_matter_clumps_and_what_it_lets_through_falls_less_with_water() -> None:
    """Effective grain size grew with moisture in all materials; permeability rose or fell with it."""

    def through(clumping: float, moisture: float) -> float:
        c = column(Heap(moisture=moisture, own={"clumping": clumping}))
        return float((mat.free_air(c) ** 3).mean() * (c[k.CLUMP] + c[k.WETTER] * moisture) ** 2)

    c = column(Heap())
    sizes = [c[k.CLUMP] + c[k.WETTER] * moisture for moisture in (0.2, 0.4, 0.6, 0.7)]
    assert sizes == sorted(sizes)
    change = [through(clumping, 0.65) / through(clumping, 0.5) for clumping in (0.0, 0.6)]
    assert change[0] < change[1] < 1.0


def test_straw_rows_stay_open_full_of_oxygen_and_below_the_guideline() -> None:
    """Straw mixes had free air of .75 to .93, oxygen near that of air, and never held 55 °C."""
    turns = [Happening(24.0 * day, "turn") for day in (4, 9, 16, 23, 31)]
    course = simulate(STRAW, steady(40 * 24, air_c=14.0, swing_c=7.0, sun=500.0, rain_mm_day=1.7), turns)
    assert 0.75 < mat.free_air(course.cells[:, 0]).mean() < 0.93
    assert report.at_depth(course.cells, 0.9, course.air_c).max() < 55.0
    assert np.median(report.oxygen_pct(course.cells)[:, 240:], axis=1).min() > 18.0


def test_air_that_kept_its_oxygen_cannot_have_been_hot() -> None:
    """Whatever the law of pores: the heat of the oxygen taken bounds how far saturated air was warmed by it,
    and the straw row's core keeps to that. So oxygen near that of air itself says that air carries it off.

    Tolerance: 3 K, for what spreads without air
    """
    course = simulate(STRAW, steady(20 * 24, air_c=14.0))
    c = course.cells[:, 48:]
    start = psychrolib.GetMoistAirEnthalpy(14.0, psychrolib.GetHumRatioFromRelHum(14.0, 0.7, 101325.0))
    warm = np.arange(14.0, 80.0, 0.5)
    risen = np.array([psychrolib.GetSatAirEnthalpy(t, 101325.0) for t in warm]) - start
    taken = OXYGEN - mat.zones(c, k.OG)[3] / mat.gas_mass(c)[3]
    bound = np.interp(taken * heap_parameters()["heat_per_oxygen"].value * 1e6, risen, warm)
    assert np.all(mat.temperature(c)[3] < bound + 3.0)
    assert bound.max() < 55.0


CHIPS = {"dry_density": 150.0, "settle": 0.05}


@pytest.mark.parametrize("permeability", [2e-9, 2e-8])
def test_heaps_as_open_as_stored_chips_were_found_get_hot_unturned(permeability: float) -> None:
    """Stored logging residues and oak chips let air through with 2e-9 and 2e-8 m2; that such heaps heat is
    common knowledge. The grain size is reckoned from the permeability, at C:N 60."""
    built = Heap(base_m=3.0, height_m=1.8, cn=60.0, moisture=0.55, own=CHIPS)
    pores = float((mat.free_air(column(built)) ** 3 * mat.SHARE).sum())
    size_mm = 1e3 * np.sqrt(45.0 * permeability / pores)
    course = simulate(
        Heap(base_m=3.0, height_m=1.8, cn=60.0, moisture=0.55, own={**CHIPS, "pore_size": float(size_mm)}),
        steady(60 * 24, air_c=12.0, swing_c=6.0, rain_mm_day=1.0),
    )
    assert 0.4 < size_mm < 2.0
    assert report.at_depth(course.cells, 0.9, course.air_c).max() > 60.0


@pytest.mark.parametrize("size_mm", [0.6, 1.0, 1.5, 2.0])
def test_a_frozen_pile_of_chips_thaws_by_late_summer_and_heats(size_mm: float) -> None:
    """Chipped in February at Fairbanks, 6 m high and wide, frozen: above 0 °C all through by early August
    (some 165 days), 61 °C at the hottest. The air is the place's from MEMORY; a row stands for a round pile.

    Known: READ, the air MEMORY
    Tolerance: 30 days, 12 K for one hot spot of 25 against a zone
    """
    day = np.arange(330 * 24 + 1.0) / 24.0
    month_c = np.interp(
        day,
        [0, 15, 45, 75, 105, 135, 165, 195, 225, 260, 330],
        [-20, -15, -5, 5, 13, 17, 16, 10, 0, -15, -20],
    )
    air = replace(
        steady(330 * 24, humid=0.65, sun=300.0, wind=1.5),
        air_c=month_c + 5.0 * np.sin(2.0 * np.pi * (24.0 * day - 9.0) / 24.0),
        rain_mm=np.where(month_c[:-1] > 0.0, 1.5 / 24.0, 0.0),
    )
    own = {"dry_density": 170.0, "settle": 0.05, "pore_size": size_mm, "soil": 0.0}
    food = {"ready": 0.08, "slow": 0.5, "shielded": 0.05}  # wood: mostly slow
    pile = Heap(base_m=6.0, height_m=6.0, cn=100.0, moisture=0.5, temp_c=-8.0, own={**own, **food})
    c = simulate(pile, air).cells
    thawed = np.argmax((report.ice(c).max(axis=0) < 0.01) & (day > 60.0)) / 24.0
    assert thawed == pytest.approx(165.0, abs=30.0)
    assert mat.temperature(c).max() == pytest.approx(61.0, abs=12.0)

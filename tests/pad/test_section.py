"""Sections of rows: held against integration over the ground, and at their edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe

from turnrow.pad.section import SHAPES, Section, capacity, half_ellipse_arc, row_volume

sides = st.floats(0.3, 20.0)
EACH = [
    Section("triangle", 4.3, 1.9),
    Section("parabola", 4.3, 1.9),
    Section("trapezoid", 4.3, 1.9, top=1.0),
    Section("half ellipse", 4.3, 1.9),
]


def profile(section: Section, share: np.ndarray | float):
    """Height where the distance from the middle is so large a share of half the base."""
    out = {
        "triangle": 1.0 - share,
        "parabola": 1.0 - share**2,
        "trapezoid": np.minimum(1.0, (1.0 - share) / (1.0 - section.top / section.base)),
        "half ellipse": np.sqrt(np.maximum(0.0, 1.0 - share**2)),
    }
    return section.height * out[section.shape]


@pytest.mark.parametrize("section", EACH, ids=lambda one: one.shape)
def test_area_is_the_integral_of_the_profile(section: Section) -> None:
    half = section.base / 2.0
    found, _ = quad(lambda x: float(profile(section, abs(x) / half)), -half, half, points=[0.0, -0.5, 0.5])
    assert section.area == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize("section", EACH, ids=lambda one: one.shape)
def test_a_row_with_sloped_ends_is_the_lower_of_its_two_profiles(section: Section) -> None:
    """Summed over a fine grid of the ground: along the row its own profile, at the ends the same again."""
    length, n = 11.0, 1200
    x = (np.arange(n) + 0.5) / n * section.base - section.base / 2.0
    y = (np.arange(n) + 0.5) / n * length
    half = section.base / 2.0
    along = np.maximum(0.0, half - np.minimum(y, length - y))  # beyond the full section, at either end
    share = np.maximum(np.abs(x)[:, None], along[None, :]) / half
    found = profile(section, share).sum() * (section.base / n) * (length / n)
    assert row_volume(section, length) == pytest.approx(found, rel=2e-3)


@pytest.mark.parametrize("section", EACH[:3], ids=lambda one: one.shape)
def test_the_surface_is_as_long_as_many_short_chords(section: Section) -> None:
    share = np.linspace(-1.0, 1.0, 2_000_001)
    x, z = share * section.base / 2.0, profile(section, np.abs(share))
    assert section.arc == pytest.approx(np.hypot(np.diff(x), np.diff(z)).sum(), rel=1e-6)


@given(sides, sides)
def test_half_an_ellipse_is_as_long_as_scipy_says(half: float, height: float) -> None:
    long, short = max(half, height), min(half, height)
    assert half_ellipse_arc(half, height) == pytest.approx(2.0 * long * ellipe(1.0 - (short / long) ** 2))


@given(st.sampled_from(SHAPES), sides, sides, st.floats(0.0, 1.0), st.floats(0.1, 1.0), st.floats(1.0, 300.0))
def test_a_longer_row_holds_so_much_more(shape, base, height, top, factor, more) -> None:
    section = Section(shape, base, height, top * base if shape == "trapezoid" else 0.0, factor)
    length = base + more
    for sloped in (False, True):
        gained = row_volume(section, length, sloped=sloped) - row_volume(section, base, sloped=sloped)
        assert gained == pytest.approx(section.area * more)
    assert row_volume(section, length) <= row_volume(section, length, sloped=False)


def test_a_flat_top_of_all_or_nothing_is_a_box_or_a_triangle() -> None:
    box, point = Section("trapezoid", 4.0, 2.0, top=4.0), Section("trapezoid", 4.0, 2.0)
    assert (box.area, box.end_loss, box.side_degrees) == (8.0, 0.0, 90.0)
    assert (point.area, point.arc) == (4.0, Section("triangle", 4.0, 2.0).arc)
    assert point.end_loss == pytest.approx(4.0 / 3.0)


def test_capacity_without_a_lane_is_area_over_base() -> None:
    assert capacity(Section("triangle", 4.0, 2.0), 0.0) == 1.0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Section("round", 4.0, 2.0),
        lambda: Section("triangle", 0.0, 2.0),
        lambda: Section("triangle", 4.0, -1.0),
        lambda: Section("triangle", float("nan"), 1.0),
        lambda: Section("trapezoid", 4.0, 2.0, top=4.1),
        lambda: Section("fitted", 4.0, 2.0),
        lambda: row_volume(EACH[0], 4.2),
        lambda: row_volume(EACH[0], -0.1, sloped=False),
        lambda: capacity(EACH[0], -1.0),
    ],
)
def test_what_cannot_be_is_a_broken_promise(wrong) -> None:
    with pytest.raises(ValueError, match="want"):
        wrong()


def test_a_fitted_section_has_no_line_and_its_own_area() -> None:
    fitted = Section("fitted", 4.0, 2.0, factor=0.6)
    assert fitted.arc is None and fitted.area == pytest.approx(4.8)

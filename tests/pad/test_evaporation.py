"""What the air takes: its bounds, and how it goes with sun, wind and damp."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.pad.evaporation import Air, Place, above_the_air, on_the_ground, reference

HERE = Place(51.0, 60.0)
latitudes, days = st.floats(-66.0, 66.0), st.integers(1, 366)


@given(
    latitudes, days, st.floats(-40, 45), st.floats(0, 20), st.floats(0, 100), st.floats(0, 1),
    st.floats(0, 20), st.floats(0, 24),
)  # fmt: skip
def test_any_day_takes_nothing_or_a_little(latitude, day, cold, more, damp, share, wind, sun) -> None:
    air = Air(cold + more, cold, damp, damp * share, wind, sun)
    found = reference(Place(latitude), day, air)
    assert math.isfinite(found) and 0.0 <= found < 60.0


@given(latitudes, days)
def test_there_is_sun_on_every_day_and_north_and_south_are_half_a_year_apart(
    latitude: float, day: int
) -> None:
    above, daylight = above_the_air(latitude, day)
    assert 0.0 < above < 50.0 and 0.0 < daylight < 24.0
    assert daylight + above_the_air(-latitude, day)[1] == pytest.approx(24.0)
    assert on_the_ground(above, daylight, 24.0) == on_the_ground(above, daylight, daylight)


def test_dry_wind_takes_more_and_a_saturated_calm_night_nothing() -> None:
    calm, windy = Air(20.0, 10.0, 60.0, 40.0, 1.0, sun=5.0), Air(20.0, 10.0, 60.0, 40.0, 5.0, sun=5.0)
    assert reference(HERE, 180, windy) > reference(HERE, 180, calm)
    assert reference(HERE, 10, Air(1.0, 1.0, 100.0, 100.0, 0.0, solar=0.0)) == 0.0


def test_where_air_is_full_a_wind_takes_no_more() -> None:
    """Then only the sun's part is left, 0.408 s Rn / (s + g (1 + 0.34 u)), and it falls with the wind."""
    still = reference(HERE, 180, Air(20.0, 20.0, 100.0, 100.0, 0.0, sun=10.0))
    moved = reference(HERE, 180, Air(20.0, 20.0, 100.0, 100.0, 4.0, sun=10.0))
    assert 0.0 < moved < still


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Place(66.5),
        lambda: Place(float("nan")),
        lambda: Place(50.0, wind_height=0.1),
        lambda: reference(HERE, 0, Air(20.0, 10.0, 60.0, 40.0, 1.0, sun=5.0)),
        lambda: reference(HERE, 180, Air(10.0, 20.0, 60.0, 40.0, 1.0, sun=5.0)),
        lambda: reference(HERE, 180, Air(20.0, 10.0, 60.0, 40.0, 1.0)),
    ],
)
def test_what_cannot_be_is_a_broken_promise(wrong) -> None:
    with pytest.raises(ValueError, match="want"):
        wrong()

"""What a row's own log says, place by place, and an outlook told by it: only the past, one fan for all."""

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from tests.heap.invented import DAY, HOUR, START, known
from turnrow.heap.ahead import forecast
from turnrow.heap.as_chosen import BACK_H, as_chosen, of_both, of_the_log
from turnrow.heap.fit import Fitted, fit, prior
from turnrow.heap.known import Known, Read, Section
from turnrow.heap.log_says import SPEAKS_H, LogSays, log_says
from turnrow.heap.scored import SHARES, Z, crps_by_look, even_mix, quantiles_of, speaks_first

NOW = START + 14 * DAY + 9 * HOUR
EARLIER = [NOW - d * DAY for d in (1, 3, 6)]
NORMAL = np.array([NormalDist().inv_cdf(float(p)) for p in SHARES])


def until(one: Known, at_s: int) -> Known:
    kept = one.read.at_s <= at_s
    columns = (one.read.at_s, one.read.depth_cm, one.read.station, one.read.temp_c)
    return replace(
        one,
        read=Read(*(column[kept] for column in columns)),
        done=tuple(done for done in one.done if done.at_s <= at_s),
    )


@pytest.fixture(scope="module")
def fitted() -> tuple[Known, Fitted]:
    one = until(known(), NOW)
    return one, fit(one, prior(one), now_s=NOW, members=256)


def test_one_way_through_the_log_tells_what_each_morning_could_have_told() -> None:
    whole = until(known(), NOW)
    then = [(at, until(whole, at)) for at in EARLIER]
    now, *earlier = log_says(whole, NOW, then)
    assert now.places.tolist() == [[0.0, 0.3], [0.0, 0.6], [0.0, 0.9]]
    for (at, knew), told in zip(then, earlier, strict=True):
        (alone,) = log_says(knew, at)
        assert told.at_s == at and np.array_equal(told.ahead_c, alone.ahead_c)


def test_a_morning_of_which_more_is_known_since_is_told_from_what_was_known_then() -> None:
    """A reading of an earlier day, written later, must not speak on that day."""
    whole, at = until(known(), NOW), EARLIER[-1]
    knew = until(whole, at)
    late = replace(
        whole.read, temp_c=np.where(whole.read.at_s == knew.read.at_s.max(), 20.0, whole.read.temp_c)
    )
    told = log_says(replace(whole, read=late), NOW, [(at, knew)])[1]
    assert np.array_equal(told.ahead_c, log_says(knew, at)[0].ahead_c)


def test_an_even_mix_is_the_mixture_of_both() -> None:
    """The share under each percentile, by the normal distributions of the standard library."""
    a, b = NormalDist(50.0, 3.0), NormalDist(60.0, 6.0)
    mixed = even_mix(50.0 + 3.0 * NORMAL, 60.0 + 6.0 * NORMAL)
    under = [(a.cdf(float(x)) + b.cdf(float(x))) / 2 for x in mixed]
    assert np.max(np.abs(np.array(under) - SHARES)) < 0.012


def test_the_logs_outlook_has_the_logs_percentiles_at_each_depth(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    model = forecast(found, one, hours=SPEAKS_H, limits_c=())
    (says,) = log_says(one, NOW)
    told = of_the_log(model, says)
    assert told.fan[47, 1] == pytest.approx(says.ahead_c[47, 1, [4, 9, 49, 89, 94]])
    both = of_both(model, told)
    assert np.all(both.fan[..., 0] <= np.maximum(model.fan[..., 0], told.fan[..., 0]) + 1e-9)
    each = [crps_by_look([way], known().read) for way in (model, told, both)]
    assert [len(looks) for looks in each] == [3, 3, 3]
    assert all(
        c <= (a + b) / 2 + 0.05 for a, b, c in zip(*each, strict=True)
    )  # CRPS is convex in the forecast


def flat(middle: float, spread: float) -> LogSays:
    """A log that says the same of 60 cm for three days."""
    return LogSays(NOW, np.array([[0.0, 0.6]]), np.tile(middle + spread * NORMAL, (SPEAKS_H, 1, 1)))


def test_the_fan_is_what_was_chosen_and_the_models_again_after_a_week(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    model = forecast(found, one, hours=336, limits_c=())
    told = forecast(found, one, hours=336, limits_c=(), amended=as_chosen("statistical", flat(70.0, 3.0)))
    places = [model.depths_cm.tolist().index(cm) for cm in (60.0, 30.0)]
    for hour in (6, 24, 72):  # 256 courses: the 5th percentile is unsure by a third of a kelvin
        assert told.fan[hour - 1, places[0]] == pytest.approx(70.0 + 3.0 * Z, abs=0.7)
    assert np.array_equal(told.fan[BACK_H - 1 :], model.fan[BACK_H - 1 :])
    assert np.array_equal(told.fan[:, places[1]], model.fan[:, places[1]])  # the log knows nothing of 30 cm
    between = told.fan[119, places[0], 2] - model.fan[119, places[0], 2]
    assert between == pytest.approx(0.5 * (told.fan[71, places[0], 2] - model.fan[71, places[0], 2]), abs=0.7)
    assert told.moisture == model.moisture and told.water_m3 == model.water_m3


@pytest.mark.parametrize(("middle", "chance"), [(45.0, 0.0), (80.0, 1.0)])
def test_limits_and_the_run_are_told_of_the_fan_that_is_shown(
    fitted: tuple[Known, Fitted], middle: float, chance: float
) -> None:
    one, found = fitted
    says = flat(middle, 1.5)
    told = forecast(
        found, one, hours=72, limits_c=(72.0,), depths_cm=(60,), amended=as_chosen("statistical", says)
    )
    assert told.passing[0].chance == pytest.approx(chance, abs=0.02)
    assert told.run[0] == pytest.approx(chance, abs=0.02)


def test_half_of_both_lies_between(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    model = forecast(found, one, hours=72, limits_c=(), depths_cm=(60,))
    told = forecast(
        found, one, hours=72, limits_c=(), depths_cm=(60,), amended=as_chosen("both", flat(90.0, 1.0))
    )
    assert told.fan[23, 0, 0] == pytest.approx(model.fan[23, 0, [0, 1]].mean(), abs=1.5)
    assert told.fan[23, 0, 4] > 88.0


def test_quantiles_of_percentiles_are_the_fans() -> None:
    assert quantiles_of(NORMAL) == pytest.approx(Z)


@pytest.mark.parametrize(
    ("size", "first"),
    [
        (Section(volume_m3=0.8), "statistical"),
        (Section(1.2, 1.2, 1.0), "statistical"),
        (Section(30.0, 4.0, 1.6), "process model"),
        (Section(), "process model"),
    ],
)
def test_of_a_heap_smaller_than_any_tried_the_log_speaks_first(size: Section, first: str) -> None:
    assert speaks_first(size) == first

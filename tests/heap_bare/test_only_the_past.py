"""A forecast knows only what was known at its origin."""

import numpy as np
import pytest

from turnrow.heap.bare.log import bare_log
from turnrow.heap.bare.outlook import outlooks

AHEAD = (6.0, 24.0, 48.0)


def same(one, other):
    assert [o.hour for o in one] == [o.hour for o in other]
    for a, b in zip(one, other, strict=True):
        np.testing.assert_array_equal(a.sample, b.sample)
        assert (a.as_now, a.skill, a.shown, a.shares) == (b.as_now, b.skill, b.shown, b.shares)


@pytest.mark.parametrize("origin", [0.0, 7.0, 60.0, 121.0, 300.25, 400.0])
@pytest.mark.parametrize("every", [0.5, 24.0])
def test_whatever_comes_later_changes_nothing(read, origin, every):
    log = read(every=every)
    noise = np.random.default_rng(3)

    def other(hour, heat):
        return np.where(hour > origin, noise.uniform(-60, 140, len(hour)), heat)

    changed = read(every=every, change=other, turned=tuple(t for t in (120.0, 288.0, 350.0) if t <= origin))
    later = np.arange(origin + 0.1, origin + 90, 7.0)
    changed = bare_log(
        np.concatenate([changed.hour, later]),
        np.concatenate([changed.heat, 30 + later % 9]),
        np.concatenate([log.turned[log.turned <= origin], later]),
        np.concatenate([log.air_hour[log.air_hour <= origin], later]),
        np.concatenate([log.air[log.air_hour <= origin], later % 31]),
    )
    same(outlooks(log, [origin], AHEAD), outlooks(changed, [origin], AHEAD))


def test_a_forecast_of_many_origins_is_that_of_each_alone(read):
    log = read()
    origins = np.arange(0.0, 400.0, 33.0).tolist()
    alone = [one for origin in origins for one in outlooks(log.until(origin), [origin], AHEAD)]
    same(outlooks(log, origins, AHEAD), alone)


def test_air_to_come_is_used_only_when_said_to_be_known(read):
    log = read(days=12)
    colder = bare_log(
        log.hour, log.heat, log.turned, log.air_hour, np.where(log.air_hour > 200, -15.0, log.air)
    )
    unknown = [outlooks(one, [200.0], [72.0])[0].mean for one in (log, colder)]
    known = [outlooks(one, [200.0], [72.0], air_known=True)[0].mean for one in (log, colder)]
    assert unknown[0] == unknown[1]
    assert known[1] < known[0]


def test_an_origin_before_the_first_reading_is_a_broken_promise(read):
    with pytest.raises(ValueError, match="before the first reading"):
        outlooks(read(), [-1.0], AHEAD)
    with pytest.raises(ValueError, match="hours ahead"):
        outlooks(read(), [10.0], [0.0])

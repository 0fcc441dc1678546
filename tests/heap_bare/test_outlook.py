"""What the outlook says of heaps whose course is plain."""

import numpy as np
import pytest
from scipy.optimize import isotonic_regression

from turnrow.heap.bare.backtest import scores
from turnrow.heap.bare.beliefs import Beliefs, around
from turnrow.heap.bare.log import bare_log
from turnrow.heap.bare.outlook import _rising, outlooks

NONE = np.zeros(0)


def log_of(hour, heat, turned=()):
    return bare_log(np.asarray(hour, float), np.asarray(heat, float), np.asarray(turned, float), NONE, NONE)


def middle(log, origin, ahead=24.0):
    return outlooks(log, [origin], [ahead])[0].percentile(50)


def test_on_the_first_day_beliefs_alone_speak_and_widely():
    first = outlooks(log_of([0.0], [11.0]), [0.0], [6.0, 24.0, 72.0])
    for one in first:
        assert one.skill is None
        assert one.scored == 0
    widths = [one.percentile(90) - one.percentile(10) for one in first]
    assert widths == sorted(widths)
    assert widths[1] > 12
    assert first[2].percentile(50) > 30  # a log that begins cold is most likely of a fresh heap


def test_a_rising_fresh_heap_is_drawn_up_but_not_past_what_its_microbes_like():
    hour = np.arange(0, 60.0)
    log = log_of(hour, 12 + 12 * hour / 24)
    assert middle(log, 59.0) > log.heat[-1] + 5
    assert middle(log, 59.0, 336.0) < 57.0


def test_a_log_that_begins_hot_is_not_drawn_up(read):
    hour = np.arange(0, 60.0)
    assert middle(log_of(hour, 50 - hour / 24), 59.0) < 50


def test_a_turned_core_is_expected_back(read):
    log = read()
    dip = float(log.heat[log.hour <= 291][-1])
    assert dip < 45
    assert middle(log, 291.0) > dip + 4


def test_a_turn_that_was_not_logged_is_seen_in_the_fall(read):
    assert middle(read(turned=()), 291.0) == pytest.approx(middle(read(), 291.0), abs=1.0)


def test_a_turn_logged_a_day_late_is_put_where_the_core_fell(read):
    late = read(turned=(120.0, 288.0 + 24))
    assert middle(late, 330.0) == pytest.approx(middle(read(), 330.0), abs=1.0)


def test_percentiles_never_cross_and_are_never_narrower_than_a_probe(read):
    for one in outlooks(read(), np.arange(0.0, 470.0, 11.0).tolist(), [1.0, 24.0, 336.0]):
        assert (np.diff(one.sample) >= 0).all()
        assert one.percentile(90) - one.percentile(10) > 2 * 0.6


def test_a_week_without_readings_widens_the_outlook(read):
    log = read(days=12)
    fresh, stale = outlooks(log, [287.0, 287.0 + 168], [24.0])
    assert stale.age == pytest.approx(168, abs=1)
    assert stale.percentile(90) - stale.percentile(10) > fresh.percentile(90) - fresh.percentile(10)


NINE_DAYS = [15.0, 38, 50, 55, 58, 45, 56, 59, 61]  # invented, one reading a day


@pytest.mark.parametrize("age", [24.0, 40.0, 97.0, 168.0, 330.0])
def test_of_an_old_reading_no_interval_narrows_with_the_hours_ahead_nor_tops_what_a_heap_reaches(read, age):
    for log in (log_of(np.arange(9) * 24.0, NINE_DAYS), read(days=12)):
        origin = float(log.hour[-1]) + age
        made = outlooks(log, [origin], [72.0, 1.0, 6.0, 24.0, 48.0, 168.0, 336.0])
        assert [one.ahead for one in made] == [72, 1, 6, 24, 48, 168, 336]
        made.sort(key=lambda one: one.ahead)
        widths = [one.percentile(90) - one.percentile(10) for one in made]
        assert (np.diff(widths) > -1e-9).all()
        assert widths[1] > (12 if age > 90 else 8)
        assert max(one.percentile(90) for one in made) < 71.6  # upper cardinal temperature (MEMORY)


def test_above_what_heaps_reach_only_where_something_was_read_there():
    hot = log_of(np.arange(6) * 24.0, [60.0, 70, 76, 79, 80, 80])
    assert 71.6 < outlooks(hot, [220.0], [24.0])[0].percentile(90) <= 85
    cool = log_of(np.arange(6) * 24.0, [60.0, 64, 66, 67, 68, 68])
    assert outlooks(cool, [220.0], [24.0])[0].percentile(99) <= 73


def test_a_reading_is_overdue_when_about_as_long_as_usual_has_gone_by():
    log = log_of([0.0, 24, 48, 72], [40.0, 41, 42, 43])
    assert [log.overdue(hour) for hour in (60.0, 72.0, 92.0)] == [0, 0, 0]
    assert 0 < log.overdue(96.0) < log.overdue(110.0) - 13.9
    assert log_of([0.0], [40.0]).overdue(2.0) == 0


def test_what_never_falls_agrees_with_isotonic_regression_of_scipy():
    rng = np.random.default_rng(4)
    for _ in range(50):
        values = rng.normal(size=8)
        assert _rising(values.tolist()) == pytest.approx(isotonic_regression(values).x.tolist())


def test_readings_go_on_being_used_after_a_gap_of_a_week(read):
    whole = read(days=20)
    kept = (whole.hour < 200) | (whole.hour > 368)
    log = log_of(whole.hour[kept], whole.heat[kept], (120.0,))
    assert np.isnan(log.came(np.array([300.0]))[0][0])
    assert abs(middle(log, 400.0) - log.heat[log.hour <= 400][-1]) < 6


def test_a_probe_that_stands_still_does_not_make_the_outlook_sure():
    log = log_of(np.arange(0, 240.0, 0.5), np.full(480, 41.0))
    one = outlooks(log, [239.0], [24.0])[0]
    assert one.percentile(90) - one.percentile(10) > 4
    assert any("probe alive" in doubt.reason for doubt in log.doubts)


def test_where_the_outlook_has_no_skill_the_plain_reading_is_shown():
    """A heap that looks fresh and rises, then stays: every forecast of a rise was wrong."""
    hour = np.arange(0, 24 * 14.0)
    log = log_of(hour, 20 + 5 * np.sin(hour / 24 * 2.1) * np.cos(hour / 24 * 1.3))
    one = outlooks(log, [24 * 13.0], [24.0])[0]
    assert one.skill is not None and one.skill <= 0
    assert one.shown == "as now"
    assert one.percentile(50) == pytest.approx(one.as_now, abs=1e-9)


@pytest.mark.parametrize("heat", [[40.0], [40.0, 41.0], [12.0, 60.0, 12.0]])
def test_a_log_of_very_few_readings_has_an_outlook(heat):
    log = log_of(np.arange(len(heat)) * 24.0, heat)
    for one in outlooks(log, [24.0 * (len(heat) - 1)], [6.0, 72.0]):
        assert np.isfinite(one.sample).all()


def test_the_order_of_readings_does_not_matter(read):
    log = read(days=6)
    mixed = np.random.default_rng(1).permutation(len(log.hour))
    again = bare_log(log.hour[mixed], log.heat[mixed], log.turned[::-1], log.air_hour, log.air)
    assert middle(again, 140.0) == middle(log, 140.0)


def test_scores_count_only_what_was_read(read):
    log = read(days=8)
    made = outlooks(log, [100.0, 150.0, 190.0], [24.0, 500.0])
    (only,) = scores(log, made)
    assert (only.ahead, only.origins) == (24.0, 2)
    came, _ = log.came(np.array([124.0, 174.0]))
    assert only.mae == pytest.approx(np.mean([abs(made[i].percentile(50) - came[i // 2]) for i in (0, 2)]))


def test_sets_of_beliefs_lie_in_pairs_about_the_round_figures():
    b = Beliefs()
    sets = around(b)
    assert len(sets) == 8 and len(set(sets)) == 8
    for one, other in zip(sets[::2], sets[1::2], strict=True):
        assert one.rise_k_day * other.rise_k_day == pytest.approx(b.rise_k_day**2)
        assert one.ceiling_c + other.ceiling_c == pytest.approx(2 * b.ceiling_c)
        assert max(one.comes_back, other.comes_back) <= 1
    assert around(b) == sets


def test_an_outlook_is_the_average_of_what_each_set_of_beliefs_says(read):
    log, sets = read(), around(Beliefs())
    (whole,) = outlooks(log, [130.0], [24.0])
    each = [outlooks(log, [130.0], [24.0], beliefs=[b])[0] for b in sets]
    assert whole.shown == "outlook"
    np.testing.assert_allclose(whole.sample, np.mean([one.sample for one in each], axis=0), atol=1e-9)
    assert min(e.percentile(50) for e in each) < whole.percentile(50) < max(e.percentile(50) for e in each)
    assert sum(part for _, part in whole.shares) == pytest.approx(1)


def test_where_as_now_is_shown_its_middle_is_the_reading_even_where_all_misses_are_alike():
    """A heap that rises by a tenth a day, read once a day: every miss of "as now" is the same."""
    days = np.arange(30.0)
    (one,) = outlooks(log_of(days * 24, 40 + days / 10), [29 * 24.0], [24.0])
    assert one.shown == "as now"
    assert one.percentile(50) == pytest.approx(one.as_now, abs=1e-9)

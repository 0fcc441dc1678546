"""Fitting a heap to its readings, and the outlook that follows."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from tests.heap.invented import DAY, HOUR, START, TURNS, course, known
from turnrow.heap import report
from turnrow.heap.ahead import band, courses, forecast, passing
from turnrow.heap.believed import OWN_OF_A_HEAP
from turnrow.heap.fit import fit, prior, taught
from turnrow.heap.known import Done, Measured, Told
from turnrow.heap.leftover import Leftover
from turnrow.heap.material import Heap, columns, parameters
from turnrow.heap.run import Happening, simulate
from turnrow.heap.track import Tables, follow, probe
from turnrow.heap.weather import steady

NOW = START + 8 * DAY + 9 * HOUR
LIMITS = (55.0, 65.5, 71.0, 80.0)


def test_heaps_followed_side_by_side_go_the_way_of_each_alone() -> None:
    weather = steady(144, air_c=13.0, swing_c=6.0, sun=400.0, rain_mm_day=1.0)
    own = {"k1": np.array([0.2, 0.35, 0.25]), "pore_size": np.array([1.5, 2.0, 2.6])}
    done = [Happening(52.0, "turn", kg=30.0)]
    many = columns(Heap(), own, 3)
    track = follow(many, {**parameters({}), **own}, Tables(weather), done, (0, 120))
    for i in range(3):
        alone = simulate(Heap(own={key: float(v[i]) for key, v in own.items()}), weather, done)
        for depth in (0.05, 0.3, 0.9, 3.0):
            at = np.array([10.0, 51.0, 60.0, 120.0])
            leg = (at > 52.0).astype(float)
            shown = probe(track, weather.air_c, at, leg, np.full(4, depth))[:, i]
            exact = report.at_depth(alone.cells, depth, alone.air_c)[at.astype(int)]
            np.testing.assert_allclose(shown, exact, atol=0.05)


def test_a_probe_read_before_a_turn_in_its_hour_is_of_the_heap_before() -> None:
    weather = steady(144, air_c=13.0, swing_c=6.0, sun=400.0, rain_mm_day=1.0)
    track = follow(
        columns(Heap(), {}, 1), parameters({}), Tables(weather), [Happening(100.0, "turn")], (0, 120)
    )
    at, depth = np.array([100.0, 100.0]), np.array([0.6, 0.6])
    before, after = probe(track, weather.air_c, at, np.array([0.0, 1.0]), depth)[:, 0]
    assert before - after > 5.0


def test_the_fit_comes_nearer_to_what_was_read_and_to_the_heap_itself() -> None:
    one = known()
    found = fit(one, prior(one), now_s=NOW, members=256, seed=3)
    rms = [float(np.sqrt(np.mean(left.mean(axis=1) ** 2))) for left in (found.before, found.left)]
    assert rms[1] < 0.3 * rms[0]
    _, gone = course()
    made = forecast(found, one, hours=72, limits_c=LIMITS, events=[d for d in one.done if d.at_s > NOW])
    for i, cm in enumerate((30, 60, 90)):
        came = report.at_depth(gone.cells, cm / 100, gone.air_c)[8 * 24 + 9 + 1 :][:72]
        low, high = made.fan[:, i, 0], made.fan[:, i, 4]
        assert np.mean((low <= came) & (came <= high)) > 0.8


def test_the_same_seed_gives_the_same_guesses_whatever_runs_beside() -> None:
    one = known()

    def once(seed: int) -> np.ndarray:
        found = fit(one, prior(one), now_s=NOW, members=64, seed=seed)
        return forecast(found, one, hours=48, limits_c=LIMITS).fan

    with ThreadPoolExecutor(2) as pool:
        a, b, c = pool.map(once, (5, 5, 6))
    np.testing.assert_array_equal(a, b)
    np.testing.assert_array_equal(a, once(5))
    assert not np.array_equal(a, c)


def test_from_the_first_day_the_belief_alone_speaks_and_widely() -> None:
    one = known()
    first = fit(one, prior(one), now_s=START + 2 * HOUR, members=128)
    later = fit(one, prior(one), now_s=NOW, members=128)
    fans = [forecast(f, one, hours=72, limits_c=LIMITS, depths_cm=(60,)).fan for f in (first, later)]
    wide = [float(np.mean(fan[48:, 0, 4] - fan[48:, 0, 0])) for fan in fans]
    assert len(first.tidied.temp_c) == 0
    assert wide[0] > 1.5 * wide[1]


def test_a_measured_moisture_is_believed() -> None:
    one = known()
    dry = replace(one, measured=(Measured(NOW - HOUR, "moisture", Told(0.45, 0.01)),))
    moist = [fit(o, prior(o), now_s=NOW, members=256) for o in (one, dry)]
    made = [forecast(f, one, hours=24, limits_c=()) for f in moist]
    assert made[1].moisture[0].p50 == pytest.approx(0.45, abs=0.03)
    assert made[1].water_m3.p50 > made[0].water_m3.p50
    assert made[1].moisture[0].p95 - made[1].moisture[0].p5 < made[0].moisture[0].p95 - made[0].moisture[0].p5


def test_what_the_outlook_says_hangs_together() -> None:
    one = known()
    planned = [Done(NOW + 30 * HOUR, "turn", water_m3=4.0)]
    made = forecast(
        fit(one, prior(one), now_s=NOW, members=128), one, hours=96, limits_c=LIMITS, events=planned
    )
    chances = [p.chance for p in made.passing]
    assert chances == sorted(chances, reverse=True)
    assert all((p.hours is None) == (p.chance < 0.05) for p in made.passing)
    assert list(made.run) == sorted(made.run, reverse=True)
    assert len(made.run) == len(made.moisture) == 4
    assert made.mass_t is not None and made.volume_m3 is not None
    assert 10.0 < made.mass_t.p50 < 150.0  # 30 m of 4.2 by 1.7 m: 129 m3, a few hundred kg each
    assert made.fan.shape == (96, 3, 5)


def test_passing_counts_courses_and_takes_the_first_hour_over() -> None:
    warm = np.array([[[60.0, 70.0, 50.0, 60.0]], [[66.0, 71.0, 50.0, 60.0]]])  # two hours, one place
    found = passing(65.5, warm, np.array([1.0, 2.0]), np.array([70.0]))
    assert found.chance == 0.5
    assert found.now
    assert found.hours == band(np.array([2.0, 1.0]))
    assert passing(80.0, warm, np.array([1.0, 2.0]), np.array([np.nan])).hours is None


def test_limits_are_told_without_the_chance_part_of_the_drifts() -> None:
    one = known()
    found = fit(one, prior(one), now_s=NOW, members=128)
    gone = courses(found, one, hours=48, depths_m=(0.3, 0.9), events=(), leftover=Leftover())
    chance = gone.warm - gone.steady
    np.testing.assert_allclose(chance.mean(axis=2), 0.0, atol=1e-9)
    assert chance.std(axis=2).min() > 0.5
    made = forecast(found, one, hours=48, limits_c=(90.0,), depths_cm=(30, 90))
    assert made.passing[0].chance == np.mean(gone.steady.max(axis=(0, 1)) > 90.0)


def test_guesses_that_no_step_carries_are_given_up_and_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("turnrow.heap.track.RUNAWAY_C", 66.0)  # as if whatever grows hotter ran off
    monkeypatch.setattr("turnrow.heap.track.FINEST", 1)
    one = known()
    found = fit(one, prior(one), now_s=NOW, members=48)
    assert any("given up for others" in note for note in found.notices)
    assert found.z.shape[1] == found.state.shape[1] == found.left.shape[1] == 48
    assert np.isfinite(found.left).all() and found.state.shape[1] == len(found.cool_h)


def test_rows_of_a_yard_teach_the_next_one_what_they_have_in_common() -> None:
    one = known()
    plain = prior(one)
    fits = [fit(one, plain, now_s=NOW, members=256, seed=s) for s in range(3)]
    next_one = prior(one, taught(fits))
    names = [u.key for u in next_one.unknowns]
    sd = np.sqrt(np.diag(next_one.root @ next_one.root.T))
    assert all(abs(sd[names.index(key)] - 1.0) < 1e-6 for key in OWN_OF_A_HEAP)
    assert sd.min() < 0.97
    missed = [fit(one, p, now_s=NOW, members=256, seed=9).before for p in (plain, next_one)]
    rms = [float(np.sqrt(np.mean(left**2))) for left in missed]
    assert rms[1] < rms[0]  # before it has read anything, it is nearer to what a heap of this yard does


def test_an_event_before_the_moment_is_refused() -> None:
    one = known()
    found = fit(one, prior(one), now_s=NOW, members=32)
    with pytest.raises(ValueError, match="before the moment"):
        forecast(found, one, hours=48, limits_c=(), events=[Done(NOW - DAY, "turn")])
    with pytest.raises(ValueError, match="before the build"):
        fit(one, prior(one), now_s=START - HOUR)
    assert len(TURNS) == 3

"""What a turn or water would change and why; what does not look right; how outlooks are scored."""

from dataclasses import replace

import numpy as np
import pytest
import scoringrules

from tests.heap.invented import DAY, HOUR, START, known
from turnrow.heap import kernel as k
from turnrow.heap.ahead import forecast
from turnrow.heap.changes import reason, what_if
from turnrow.heap.faults import dry_core, faults
from turnrow.heap.fit import Fitted, fit, prior
from turnrow.heap.known import Done, Known, Read
from turnrow.heap.outlook import QUANTILES, REASONS, Band
from turnrow.heap.scored import Z, choice, sample, score

NOW = START + 14 * DAY + 9 * HOUR


@pytest.fixture(scope="module")
def fitted() -> tuple[Known, Fitted]:
    one = known()
    return one, fit(one, prior(one), now_s=NOW, members=128)


def test_doing_nothing_changes_nothing(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    (same,) = what_if(found, one, {"nothing": ()}, hours=96, limits_c=(65.5,), depth_cm=90)
    assert same.temp_k[24] == Band(0.0, 0.0, 0.0, 0.0, 0.0)
    assert same.reason == "no difference"
    assert same.passing[65.5][0] == same.passing[65.5][1]


def test_a_turn_lets_heat_off_and_water_stays(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    ways = {
        "turn now": [Done(NOW + HOUR, "turn")],
        "turn with water": [Done(NOW + HOUR, "turn", water_m3=6.0)],
        "turn on the third day": [Done(NOW + 60 * HOUR, "turn")],
        "cover": [Done(NOW + HOUR, "cover")],
    }
    made = {w.name: w for w in what_if(found, one, ways, hours=96, limits_c=(65.5, 71.0), depth_cm=90)}
    assert list(made) == list(ways)
    assert all(w.reason in REASONS for w in made.values())
    assert made["turn with water"].moisture.p50 > made["turn now"].moisture.p50 + 0.01
    assert made["turn on the third day"].temp_k[48].p50 == 0.0
    assert made["turn on the third day"].temp_k[72].p50 < -3.0  # half a day after a turn
    assert made["cover"].reason in ("rain kept off", "no difference")
    for w in made.values():
        assert w.temp_k[72].p5 <= w.temp_k[72].p50 <= w.temp_k[72].p95


def with_rows(found: Fitted, **rows: float) -> Fitted:
    state = found.state.copy()
    for name, factor in rows.items():
        row = getattr(k, name)
        state[row : row + 4] *= factor
    return replace(found, state=state)


def test_the_reason_follows_the_heaps_state(fitted: tuple[Known, Fitted]) -> None:
    _, found = fitted
    turn, wet = [Done(NOW, "turn")], [Done(NOW, "turn", water_m3=5.0)]
    warmer, cooler = Band(1.0, 2.0, 6.0, 9.0, 10.0), Band(-10.0, -9.0, -6.0, -2.0, -1.0)
    assert reason(wet, with_rows(found, W=0.4), warmer) == "core dry"
    assert reason(turn, with_rows(found, S1=0.0, SX=0.0, S2=0.2), cooler) == "food used up"
    assert reason(turn, with_rows(found, OG=0.02), warmer) == "air spent"
    assert reason(turn, with_rows(found, W=2.2), warmer) == "too wet"
    assert reason(turn, found, Band(-2.0, -1.0, 0.1, 1.0, 2.0)) == "no difference"
    assert reason([Done(NOW, "water", water_m3=5.0)], found, cooler) == "wet and cold"


def test_a_probe_that_reads_wrong_is_named_and_no_other() -> None:
    one = known()
    three = Read(
        np.tile(one.read.at_s, 3),
        np.tile(one.read.depth_cm, 3),
        np.repeat(np.arange(3), len(one.read.at_s)),
        np.tile(one.read.temp_c, 3) + np.repeat([0.5, -0.7, 0.0], len(one.read.at_s)),
    )
    wrong = (three.station == 1) & (three.depth_cm == 60) & (three.at_s > START + 10 * DAY)
    temp = three.temp_c - 20.0 * wrong
    for read, places in ((three, []), (replace(three, temp_c=temp), [(1, 60.0)])):
        row = replace(one, read=read)
        found = fit(row, prior(row), now_s=NOW, members=128)
        made = [
            f
            for f in faults(found, forecast(found, row, hours=24, limits_c=(80.0,)))
            if f.kind == "suspect probe"
        ]
        assert [(f.station, f.depth_cm) for f in made] == places
        if made:
            assert "station 2 at 60 cm" in made[0].reason and "below" in made[0].reason


def test_a_station_that_shows_the_same_round_again_and_again_is_named() -> None:
    one = known()
    last = one.read.at_s > START + 11 * DAY
    temp = np.where(last, np.round(one.read.depth_cm / 3 + 40), one.read.temp_c)
    row = replace(one, read=replace(one.read, temp_c=temp))
    found = fit(row, prior(row), now_s=NOW, members=64)
    (told,) = faults(found, forecast(found, row, hours=24, limits_c=()))
    assert told.station == 0 and "3 rounds in a row" in told.reason


def test_a_hot_dry_core_is_told_with_the_fire_service_named(fitted: tuple[Known, Fitted]) -> None:
    one, found = fitted
    made = forecast(found, one, hours=24, limits_c=(80.0,))
    assert dry_core(found, replace(made, as_now_c=np.full(3, 60.0), passing=())) == ()
    hot = replace(made, as_now_c=np.array([50.0, 70.0, 78.0]))
    (told,) = dry_core(with_rows(found, W=0.35, E=0.45), hot)
    assert told.kind == "nearing dry-core fire"
    assert "fire service" in told.reason and "78 °C" in told.reason


def test_the_score_of_a_normal_fan_is_that_of_the_closed_form() -> None:
    """Against scoringrules' closed form of the CRPS of a normal; within 2 %, as a fan has five quantiles."""
    one = known()
    found = fit(one, prior(one), now_s=NOW, members=32)
    made = forecast(found, one, hours=72, limits_c=(), depths_cm=(60,))
    fan = np.tile(50.0 + 4.0 * Z, (72, 1, 1)).reshape(72, 1, 5)
    told = replace(made, fan=fan, as_now_c=np.array([50.0]))
    came = np.array([44.0, 51.0])
    at = made.at_s + np.array([24, 49]) * HOUR
    scores = score([told], Read(at, np.full(2, 60.0), np.zeros(2, dtype=int), came))
    assert [(s.ahead_h, s.count) for s in scores] == [(24.0, 1), (48.0, 1)]
    for s, y in zip(scores, came, strict=True):
        assert s.crps == pytest.approx(float(scoringrules.crps_normal(y, 50.0, 4.0)), rel=0.02)
        assert s.mae_as_now == abs(y - 50.0)
    assert scores[0].held == 1.0
    assert QUANTILES[2] == 0.5


def test_percentiles_of_a_normal_fan_are_those_of_the_normal() -> None:
    assert sample(Z)[[4, 49, 94]] == pytest.approx([-1.645, 0.0, 1.645], abs=0.001)
    assert sample(Z)[0] == pytest.approx(-2.326, abs=0.01)


def test_whoever_scores_better_speaks() -> None:
    assert choice([1.0] * 12, [2.0] * 12).used == "process model"
    assert choice([2.0] * 12, [1.0] * 12).used == "statistical"
    assert choice([2.0] * 12, [1.95] * 12).used == "both"
    assert choice([2.0] * 12, [1.95] * 12, "statistical").used == "statistical"
    for first in ("process model", "statistical"):
        told = choice([2.0] * 3, [1.0] * 3, first)
        assert told.used == first and "only 3 past outcomes" in told.why

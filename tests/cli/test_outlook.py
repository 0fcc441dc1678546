"""`turnrow outlook`: what it answers and what it turns away. Logs here are invented."""

import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.asked import Command, Files

START = datetime(2026, 5, 1, 7, 0)
KEYS = {"origin", "horizon_h", "mean", "p10", "p50", "p90"}

ASKED = Command("outlook")
run, answer, refusals = ASKED.run, ASKED.answer, ASKED.refusals


@pytest.fixture
def file(tmp_path: Path) -> Files:
    return Files(tmp_path)


def rows(values: list[float], unit: str = "C", hours: float = 24, tail: str = "") -> str:
    lines = [
        f"{(START + timedelta(hours=hours * i)).isoformat(timespec='minutes')},{value:g},{unit}{tail}"
        for i, value in enumerate(values)
    ]
    return "\n".join(lines) + "\n"


WARMING = [11.0, 14, 25, 39, 50, 56, 58, 57, 55, 54, 52, 50]


def log(values: list[float] = WARMING, unit: str = "C", hours: float = 24) -> str:
    return "at,value,unit\n" + rows(values, unit, hours)


def test_the_answer_has_its_keys_one_forecast_a_horizon(file: Any) -> None:
    found = answer(file(log()), "--at", "2026-05-06T09:00", "--horizons", "6,24,48,72")
    assert found["unit"] == "C"
    assert [one["horizon_h"] for one in found["forecasts"]] == [6, 24, 48, 72]
    for one in found["forecasts"]:
        assert set(one) >= KEYS
        assert one["origin"] == "2026-05-06T09:00"
        assert one["p10"] < one["p50"] < one["p90"]
        assert one["as_now"] == 56
    assert found["suspect"] == []


def test_without_a_moment_it_looks_ahead_from_the_last_reading(file: Any) -> None:
    assert answer(file(log()))["forecasts"][0]["origin"] == "2026-05-12T07:00"


def test_a_backtest_forecasts_every_origin_and_scores(file: Any) -> None:
    found = answer(file(log()), "--backtest", "12h", "--horizons", "24,48")
    assert len(found["forecasts"]) == 2 * (11 * 2 + 1)
    assert {one["horizon_h"] for one in found["scores"]} == {24, 48}
    for one in found["scores"]:
        mine = [f for f in found["forecasts"] if f["horizon_h"] == one["horizon_h"] and f["came"] is not None]
        assert one["origins"] == len(mine)
        missed = sum(abs(f["p50"] - f["came"]) for f in mine) / len(mine)
        assert one["mae"] == pytest.approx(missed, abs=0.01)
        plain = sum(abs(f["as_now"] - f["came"]) for f in mine) / len(mine)
        assert one["skill"] == pytest.approx(1 - missed / plain, abs=0.01)


def test_a_backtest_says_at_an_origin_what_is_said_there_alone(file: Any) -> None:
    path, later = file(log()), file(log(WARMING[:8]), "short.csv")
    one = [f for f in answer(path, "--backtest", "24h")["forecasts"] if f["origin"] == "2026-05-08T07:00"]
    for name in (path, later):
        alone = answer(name, "--at", "2026-05-08T07:00")["forecasts"]
        assert alone == [{k: v for k, v in f.items() if k != "came"} for f in one]


def test_fahrenheit_readings_are_answered_in_celsius_and_in_the_unit_asked(file: Any) -> None:
    celsius = answer(file(log()))
    path = file(log([v * 1.8 + 32 for v in WARMING], "F"), "f.csv")
    assert answer(path)["forecasts"] == celsius["forecasts"]
    asked = answer(path, "--unit", "F")
    assert asked["unit"] == "F"
    for one, other in zip(asked["forecasts"], celsius["forecasts"], strict=True):
        assert one["p50"] == pytest.approx(other["p50"] * 1.8 + 32, abs=0.02)


def test_times_with_an_offset_are_answered_with_it(file: Any) -> None:
    text = log().replace(":00,", ":00+02:00,")
    assert answer(file(text))["forecasts"][0]["origin"] == "2026-05-12T07:00+02:00"


def test_rows_in_any_order_give_one_answer(file: Any) -> None:
    head, *lines = log().splitlines()
    mixed = "\n".join([head, *lines[::-1]]) + "\n"
    assert answer(file(mixed, "m.csv"))["forecasts"] == answer(file(log()))["forecasts"]


def test_what_may_not_be_the_heaps_is_named_with_its_place(file: Any) -> None:
    found = answer(file(log([*WARMING[:6], 140, *WARMING[6:]])))
    assert [(s["at"], s["column"]) for s in found["suspect"]] == [("2026-05-07T07:00", "value")]
    assert set(found["suspect"][0]) == {"at", "column", "reason"}


def test_a_turn_past_the_moment_is_not_used_and_that_is_said(file: Any) -> None:
    events = file("at,kind\n2026-05-04T10:00,turned\n2026-05-11T10:00,turned\n", "e.csv")
    path = file(log())
    found = answer(path, "--events", events, "--at", "2026-05-09T08:00")
    without = file("at,kind\n2026-05-04T10:00,turned\n", "e2.csv")
    assert found["forecasts"] == answer(path, "--events", without, "--at", "2026-05-09T08:00")["forecasts"]
    assert "1 turn after the origin: not used." in found["notices"]


def test_files_with_headings_alone_say_that_nothing_happened(file: Any) -> None:
    events, air = file("at,kind\n", "e.csv"), file("at,value,unit\n", "a.csv")
    assert (
        answer(file(log()), "--events", events, "--air", air)["forecasts"] == answer(file(log()))["forecasts"]
    )


def test_readings_before_the_heap_was_built_are_passed_over_and_told(file: Any) -> None:
    heap = file("built = 2026-05-03\n", "h.toml")
    found = answer(file(log()), "--heap", heap)
    assert [s["column"] for s in found["suspect"]] == ["at", "at"]
    assert (
        found["forecasts"] == answer(file("at,value,unit\n" + log().split("\n", 3)[3], "l.csv"))["forecasts"]
    )


def test_of_several_places_one_is_looked_at_and_named(file: Any) -> None:
    head = "at,value,unit,station,depth_cm\n"
    text = head + rows(WARMING, tail=",A,60") + rows([v - 9 for v in WARMING], tail=",A,30")
    path = file(text)
    found = answer(path)
    assert found["forecasts"] == answer(file(log(), "one.csv"))["forecasts"]
    assert any("station A at 60 cm" in note for note in found["notices"])
    assert answer(path, "--depth-cm", "30")["forecasts"][0]["as_now"] == 41
    assert "The log has station A at 60 cm" in refusals(path, "--station", "B")[0]


def test_two_depths_the_wrong_way_round_for_one_round_are_set_aside(file: Any) -> None:
    head = "at,value,unit,station,depth_cm\n"
    deep, shallow = list(WARMING), [v - 9 for v in WARMING]
    deep[-1], shallow[-1] = shallow[-1], deep[-1]
    text = head + rows(deep, tail=",A,60") + rows(shallow, tail=",A,30")
    found = answer(file(text), "--at", "2026-05-12T08:00")
    assert [s["column"] for s in found["suspect"]] == ["depth_cm"]
    assert found["forecasts"][0]["as_now"] == WARMING[-2]


def test_a_log_cool_in_fahrenheit_whose_numbers_are_a_hot_heaps_in_celsius_is_told(file: Any) -> None:
    assert [s["column"] for s in answer(file(log(WARMING, "F")))["suspect"]] == ["unit"]


@pytest.mark.parametrize("values", [[40.0], [40.0, 42.0, 41.0], [37.5] * 60])
def test_few_or_constant_readings_have_an_answer_with_wide_intervals(file: Any, values: list[float]) -> None:
    found = answer(file(log(values, hours=12)))
    for one in found["forecasts"][1:]:
        assert one["p90"] - one["p10"] > 3


def test_why_no_skill_is_told_is_said_as_it_is(file: Any) -> None:
    still = answer(file(log([37.5] * 60, hours=12)))["notices"]
    assert any("that do not change are not scored" in note for note in still)
    same = answer(file(log([37.5] * 60, hours=40)))["notices"]  # too far apart for a probe standing still
    assert any('"as now" never missed' in note for note in same)
    few = answer(file(log(WARMING[:3])))["notices"]
    assert any("too little of this log is scored" in note for note in few)
    assert not any("too little" in note for note in still + same)


def test_everything_wrong_is_told_at_once_and_nothing_answered(file: Any) -> None:
    told = refusals(
        file(log()), "--horizons", "0,x", "--unit", "R", "--depth-cm", "deep", "--backtest", "never"
    )
    assert [one.split(":")[0] for one in told] == [
        "--horizons",
        "--horizons",
        "--backtest",
        "--unit",
        "--depth-cm",
    ]
    bad = file("at,value,unit\n2026-05-01,hot,C\n", "bad.csv")
    told = refusals(bad, "--events", file("when\nx\n", "e.csv"), "--air", "none.csv", "--at", "noon")
    assert len(told) >= 5
    assert refusals() == ["LOG: nothing Name a CSV of readings; --example prints one."]


def test_options_files_and_place_are_refused_together(file: Any) -> None:
    told = refusals(file(log()), "--events", "nofile.csv", "--unit", "Q", "--station", "2", "--at", "noon")
    assert [one.split(":")[0] for one in told] == ["--unit", "--events", "--at", "--station, --depth-cm"]
    told = refusals("none.csv", "--events", file("when\nx\n", "e.csv"), "--horizons", "0")
    assert [one.split(":")[0] for one in told][:2] == ["--horizons", "LOG"] and len(told) > 2
    told = refusals(file(log(FAHRENHEIT), "f.csv"), "--unit", "Q")
    assert [one.split(":")[0] for one in told] == ["--unit", "f.csv, column unit"]


def test_a_place_that_is_not_there_is_told_in_centimetres(file: Any) -> None:
    path = file("at,value,unit,station,depth_cm\n" + rows(WARMING, tail=",1,60"))
    told = refusals(path, "--station", "2", "--depth-cm", "30")
    assert told == ["--station, --depth-cm: 'station 2 at 30 cm' The log has station 1 at 60 cm."]
    assert refusals(path, "--depth-cm", "30")[0].startswith("--station, --depth-cm: 'at 30 cm' The log")


def test_a_log_that_cannot_be_a_heaps_is_refused(file: Any) -> None:
    assert "unit" in refusals(file(log([131, 140, 150])))[0]
    assert "--at" in refusals(file(log()), "--at", "2025-01-01")[0]
    assert "two weeks" in refusals(file(log()), "--at", "2030-01-01")[0]


FAHRENHEIT = [59.0, 97, 118, 130, 135, 138, 140, 142, 143, 144, 144, 144, 144, 144]  # 15 to 62.2 °C


@pytest.mark.parametrize(
    "values", [FAHRENHEIT, FAHRENHEIT[:3], [*FAHRENHEIT, 999], [*FAHRENHEIT[:8], 60, 62]]
)
def test_a_log_in_fahrenheit_written_as_celsius_is_refused_and_not_forecast(
    file: Any, values: list[float]
) -> None:
    (told,) = refusals(file(log(values)))
    assert told.startswith("log.csv, column unit: ") and "as °F these would be 15 to " in told
    assert "fire service" in told


def test_a_log_that_changes_to_fahrenheit_is_refused_with_what_these_would_be(file: Any) -> None:
    # 131, 140 and 144 °F are 55, 60 and 62.2 °C
    (told,) = refusals(file(log([*WARMING, 131, 140, 144])))
    assert "3 of 15 readings" in told and "55 to 62 °C" in told


@pytest.mark.parametrize("newest", [[140.0], [140.0, 143.0], [999.0] * 5, [-127.0] * 2])
def test_the_origin_is_the_newest_reading_where_it_is_set_aside_too_and_each_is_told(
    file: Any, newest: list[float]
) -> None:
    found = answer(file(log([*WARMING, *newest])), "--horizons", "24")
    last = (START + timedelta(days=len(WARMING) + len(newest) - 1)).isoformat(timespec="minutes")
    assert found["forecasts"][0]["origin"] == last
    assert found["forecasts"][0]["as_now"] == WARMING[-1]
    assert found["forecasts"][0]["reading_age_h"] == 24 * len(newest)
    assert [one["column"] for one in found["suspect"]] == ["value"] * len(newest)
    assert any(f"the last that counts is {24 * len(newest)} h old" in note for note in found["notices"])


def test_nothing_counts_for_more_than_two_weeks_is_refused(file: Any) -> None:
    (told,) = refusals(file(log([*WARMING, *[999.0] * 15])))
    assert told.startswith("LOG: ") and "15 days" in told


def test_it_answers_where_no_compiler_is_installed(file: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("numba", "llvmlite", "scipy"):
        monkeypatch.setitem(sys.modules, name, None)
    for name in [name for name in sys.modules if name.startswith("turnrow.heap")]:
        monkeypatch.delitem(sys.modules, name)
    assert answer(file(log()))["method"].startswith("statistical")


def test_the_example_runs(file: Any) -> None:
    shown = run("--example")
    assert shown.exit_code == 0
    assert len(answer(file(shown.stdout))["forecasts"]) == 4


def test_people_get_a_table_the_score_and_a_caution(file: Any) -> None:
    done = run(file(log()))
    assert done.exit_code == 0
    assert "p10" in done.stdout and "as now" in done.stdout and "probe it" in done.stdout
    done = run(file(log()), "--backtest", "24h")
    assert "better by" in done.stdout and "CRPS" in done.stdout

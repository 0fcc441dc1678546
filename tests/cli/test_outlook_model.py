"""`turnrow outlook --heap`: a described heap's model speaks, or the log's statistics; it is said which."""

from pathlib import Path
from typing import Any

import pytest

from tests.cli.asked import Files
from tests.cli.test_outlook import KEYS, WARMING, answer, log, refusals, run

HEAP = """\
built = 2026-04-30
kind = "windrow"
[heap]
base_m = 4.0
height_m = 1.6
length_m = 30
moisture_pct = 60
cn = 28
colour = "brown"
"""


@pytest.fixture
def file(tmp_path: Path) -> Files:
    return Files(tmp_path)


def test_a_described_heap_is_forecast_by_its_model_and_it_says_so(file: Any) -> None:
    found = answer(file(log(WARMING[:5])), "--heap", file(HEAP, "h.toml"), "--horizons", "24,48")
    assert "fitted to its readings" in found["method"]
    assert any("passed over: colour" in note for note in found["notices"])
    assert sum("mild day" in note for note in found["notices"]) == 1
    for one in found["forecasts"]:
        assert set(one) >= {*KEYS, "used", "why"}
        assert one["p10"] < one["p50"] < one["p90"]
        assert one["used"] == "process model"
        assert "past outcomes to choose by" in one["why"] or "outcomes the model" in one["why"]


def test_a_described_heap_knows_only_its_past(file: Any) -> None:
    heap, at = file(HEAP, "h.toml"), ("--at", "2026-05-05T09:00", "--horizons", "24")
    made = [
        answer(file(log([*WARMING[:5], *rest]), name), "--heap", heap, *at)["forecasts"]
        for name, rest in (("a.csv", WARMING[5:]), ("b.csv", [20.0] * 7))
    ]
    assert made[0] == made[1]


def test_for_a_heap_smaller_than_any_tried_the_log_itself_speaks_first(file: Any) -> None:
    heap = file("[heap]\nbase_m = 1.0\nheight_m = 0.9\nlength_m = 1.0\n", "h.toml")
    found = answer(file(log(WARMING[:4])), "--heap", heap, "--horizons", "24")
    assert found["forecasts"][0]["used"] == "statistical"


def test_a_turn_nobody_logged_in_an_hourly_log_is_told_once(file: Any) -> None:
    """Invented: two days at 55 °C, then a fall of 15 K within an hour that comes back over a day."""
    values = [55.0 + 0.1 * (hour % 5) for hour in range(48)]
    values += [round(40 + 15 * (1 - 2.718 ** (-hour / 8)), 1) for hour in range(24)]
    path = file(log(values, hours=1))
    for options in ((), ("--heap", file(HEAP, "h.toml"), "--horizons", "24")):
        found = answer(path, *options)
        assert [one["column"] for one in found["suspect"]] == ["events"]
        said = [one["reason"] for one in found["suspect"]] + found["notices"]
        assert sum("no turn is logged" in each for each in said) == 1


def test_a_description_without_a_size_leaves_the_log_to_speak(file: Any) -> None:
    found = answer(file(log()), "--heap", file("moisture_pct = 60\n", "h.toml"))
    assert found["method"].startswith("statistical")
    assert any("size is not told" in note for note in found["notices"])


def test_every_wrong_number_of_a_description_is_refused_at_once(file: Any) -> None:
    heap = file('[heap]\nbase_m = -3\nheight_m = "tall"\nmoisture_pct = 140\ncovered = 2\n', "h.toml")
    found = refusals(file(log()), "--heap", heap)
    assert [one.split(":")[0] for one in found] == ["base_m", "height_m", "moisture_pct", "covered"]
    assert run(file(log()), "--heap", file("[heap\n", "x.toml")).exit_code == 2


def test_the_station_asked_for_is_forecast_from_its_own_readings(file: Any) -> None:
    """Two stations of one made-up log, 15 K apart: each outlook is as if the other were not there."""
    rows = [
        f"2026-05-{day:02d}T07:00,{50 + day + cold},C,{station},60"
        for day in range(1, 9)
        for station, cold in (("1", 0), ("2", -15))
    ]
    head = "at,value,unit,station,depth_cm\n"
    both, alone = file(head + "\n".join(rows), "both.csv"), file(head + "\n".join(rows[1::2]), "alone.csv")
    asked = ("--heap", file(HEAP, "h.toml"), "--horizons", "24,48", "--station")
    of_both = answer(both, *asked, "2")["forecasts"]
    assert of_both == answer(alone, *asked, "2")["forecasts"]
    assert of_both != answer(both, *asked, "1")["forecasts"]

"""A heap's file: what is taken, and everything that is turned away at once."""

import pytest

from turnrow.gate.heap_file import read_heap, read_weather
from turnrow.yard.wrongs import Refused


def told(data: str) -> dict[str, str]:
    with pytest.raises(Refused) as wrong:
        read_heap(data.encode(), "row.toml")
    return {one.where: one.do for one in wrong.value.refusals}


def test_an_empty_file_is_a_typical_row() -> None:
    asked = read_heap(b"", "row.toml")
    assert (asked.days, asked.depths_cm, asked.done) == (60, (30.0, 60.0, 90.0), ())
    assert asked.weather is not None
    assert asked.weather.hours == 1440


def test_water_and_air_of_the_whole_heap_are_shared_over_its_length() -> None:
    text = '[heap]\nlength_m = 20\nblown_m3_h = 300\n[[event]]\nat_day = 1.5\nkind = "turn"\nwater_m3 = 2\n'
    asked = read_heap(text.encode(), "row.toml")
    assert asked.done[0].at_h == 36.0
    assert asked.done[0].kg == pytest.approx(100.0)
    assert asked.heap.blown_kg_s == pytest.approx(300 * 1.2 / 3600 / 20)


def test_everything_wrong_is_told_at_once() -> None:
    found = told(
        'days = 0\ncolour = "red"\ndepths_cm = [-1]\n[heap]\nmoisture_pct = 140\nheight_m = 9\ncovered = 1\n'
        '[parameters]\nk1 = 99\nk9 = 1\nready = 0.9\n[air]\ntemp_c = "mild"\n'
        '[[event]]\nkind = "burn"\n[[event]]\nat_day = 2\nkind = "water"\n'
    )
    assert set(found) == {
        "days",
        "colour",
        "depths_cm",
        "heap.moisture_pct",
        "heap.height_m",
        "heap.covered",
        "parameters.k1",
        "parameters.k9",
        "parameters.ready",
        "air.temp_c",
        "event 1, at_day",
        "event 1, kind",
        "event 2, water_m3",
    }


def test_another_row_is_like_this_one_where_nothing_else_is_said() -> None:
    text = '[heap]\ncn = 31\nlength_m = 40\n[[event]]\nat_day = 9.5\nkind = "merge"\nage_days = 9\n'
    merged = read_heap(f"{text}[event.heap]\nlength_m = 20\n".encode(), "row.toml").done[0]
    assert (merged.kind, merged.age_h) == ("merge", 216)
    assert merged.other is not None
    assert (merged.other.length_m, merged.other.cn, merged.other.moisture) == (20.0, 31.0, 0.62)


def test_a_merge_is_refused_without_a_heap_older_than_the_weather_or_with_a_wrong_one() -> None:
    event = '[[event]]\nat_day = 5\nkind = "merge"\n'
    turn = '[[event]]\nat_day = 5\nkind = "turn"\n[event.heap]\ncn = 20\n'
    found = told(f"{event}age_days = 6\n{event}[event.heap]\ncn = 1\nwidth = 3\n{turn}")
    assert set(found) == {
        "event 1, heap",
        "event 1, age_days",
        "event 2, heap.cn",
        "event 2, heap.width",
        "event 3, heap",
    }


def test_shares_of_food_cannot_come_to_more_than_all() -> None:
    assert set(told("[parameters]\nready = 0.4\nslow = 0.5\nshielded = 0.25\n")) == {"parameters"}


@pytest.mark.parametrize(
    "text", ["days = ", "heap = 3", "event = 5", "moisture_pct = nan", "[heap]\ncn = inf"]
)
def test_what_is_no_heap_is_turned_away(text: str) -> None:
    assert told(text)


def test_hourly_weather_is_read_and_rain_falls_in_its_hour() -> None:
    rows = "air_c,rain_mm\n" + "".join(f"{10 + n},{n}\n" for n in range(25))
    weather = read_weather(rows.encode(), "air.csv", 24)
    assert weather.hours == 24
    assert (weather.air_c[3], weather.rain_mm[3], weather.wind[0]) == (13.0, 3.0, 2.0)


def test_weather_that_is_short_or_absurd_is_turned_away_with_its_rows() -> None:
    with pytest.raises(Refused) as wrong:
        read_weather(b"air_c,wind_m_s\n10,x\n400,2\n", "air.csv", 24)
    where = [one.where for one in wrong.value.refusals]
    assert where == ["air.csv", "air.csv, row 3, column air_c", "air.csv, row 2, column wind_m_s"]


def test_weather_without_air_is_turned_away() -> None:
    with pytest.raises(Refused, match="air_c"):
        read_weather(b"temp\n10\n", "air.csv", 24)

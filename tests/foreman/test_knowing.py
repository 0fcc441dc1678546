"""What a heap is known by, out of a diary: every figure against what was written."""

from datetime import timedelta

import numpy as np
import pytest

from turnrow.foreman.desk import Desk
from turnrow.foreman.knowing import Heap, heap_of
from turnrow.foreman.laid import blend_of, lots_of
from turnrow.foreman.outside import outside
from turnrow.schedule.limits import Limits
from turnrow.yard import days
from turnrow.yard import entries as e
from turnrow.yard.entries import Amount, Part
from turnrow.yard.numbers import MICRO

from .conftest import Yard, at

ZONE = days.zone("UTC")


def amount(value: float, unit: str) -> Amount:
    return Amount(round(value * MICRO), unit)


def heap(desk: Desk, day: int, row: str = "R7") -> Heap:
    desk.refresh()
    now_s = days.seconds(at(day, 8))
    history = desk.diary.history(row).until(now_s)
    weather = [pair for pair in desk.diary.own_events(e.Weather) if pair[0].at <= now_s]
    found = heap_of(history, desk.standing(row).suspects, weather, Limits(desk.settings()), now_s, 48)
    assert found is not None
    return found


def built(yard: Yard, **more: object) -> None:
    parts = (Part("dairy manure", amount(20, "t")), Part("straw", amount(5, "t")))
    what = e.RowBuilt(row="R7", parts=parts, stations=("1", "2"), **more)  # type: ignore[arg-type]
    yard.say(0, what, 6)


def test_size_deeds_and_readings_are_those_written(yard: Yard) -> None:
    built(yard, length=amount(100, "ft"), width=amount(4, "m"), height=amount(1.5, "m"))
    yard.read("R7", 1, "40", "41.5")
    yard.say(2, e.Turned(row="R7", water=amount(2000, "L")), 9)
    yard.say(3, e.Covered(row="R7", cover="fleece"), 9)
    yard.say(4, e.Covered(row="R7", taken_off=True), 9)
    known = heap(yard.desk, 5).known
    assert known.section.length_m == pytest.approx(30.48) and known.section.width_m == 4.0
    assert [(one.kind, one.water_m3) for one in known.done] == [
        ("turn", 2.0),
        ("cover", 0.0),
        ("uncover", 0.0),
    ]
    assert known.done[0].at_s == days.seconds(at(2, 9)) and known.done[0].written_s == days.seconds(
        at(2, 9.5)
    )
    assert known.read.temp_c.tolist() == [40.0, 41.5] and known.read.station.tolist() == [0, 1]
    assert known.read.depth_cm.tolist() == [60.0, 60.0]
    assert known.built_s == days.seconds(at(0, 6))


def test_the_blend_is_the_handbooks_with_what_is_unsure_of_it(yard: Yard) -> None:
    built(yard)
    blend = heap(yard.desk, 1).known.blend
    alone = blend_of(lots_of((Part("dairy manure", amount(20, "t")),)))
    assert blend.moisture and alone.moisture and blend.cn and alone.cn
    assert blend.moisture.value < alone.moisture.value and blend.cn.value > alone.cn.value
    assert 0 < blend.moisture.sd < 0.2 and 0 < blend.cn.sd < blend.cn.value


def test_what_the_handbook_does_not_know_is_left_open_and_said(yard: Yard) -> None:
    yard.say(0, e.RowBuilt(row="R7", parts=(Part("dragon dung", amount(9, "t")),)), 6)
    found = heap(yard.desk, 1)
    assert found.known.blend.moisture is None and any(
        "not all in the handbook" in one for one in found.notices
    )


def test_readings_that_are_a_sensors_are_left_out_and_a_log_is_thinned_to_hours(yard: Yard) -> None:
    yard.build("R7")
    yard.read("R7", 1, "50", "-127")
    for minute in (0, 20, 40):
        yard.read("R7", 2, str(50 + minute / 10), "51", hour=7 + minute / 60)
    known = heap(yard.desk, 3).known
    assert known.read.temp_c.tolist() == [50.0, 54.0, 51.0]


def test_rows_pushed_into_it_make_it_a_new_heap(yard: Yard) -> None:
    built(yard)
    yard.build("R8")
    yard.read("R7", 1, "40", "40")
    yard.say(5, e.Merged(row="R7", sources=("R7", "R8")), 9)
    yard.read("R7", 6, "35", "36")
    found = heap(yard.desk, 7)
    assert found.known.built_s == days.seconds(at(5, 9)) and found.known.read.temp_c.tolist() == [35.0, 36.0]
    assert found.known.section.width_m is None and found.known.blend.moisture is None


def test_samples_and_squeezes_become_moistures_and_a_bucket_a_density(yard: Yard) -> None:
    yard.build("R7")
    for quantity, much in (
        ("moisture", amount(48, "%")),
        ("squeeze", amount(2, "score")),
        ("bulk density", amount(1000, "lb/yd3")),
        ("oxygen", amount(9, "%")),
    ):
        yard.say(2, e.Measured(row="R7", quantity=quantity, amount=much), 8)
    told = {one.quantity: one.told.value for one in heap(yard.desk, 3).known.measured}
    both = [one.told.value for one in heap(yard.desk, 3).known.measured if one.quantity == "moisture"]
    assert both == [0.48, 0.4]  # a squeeze at the dry score stands for the low end of the working range
    assert told["wet_density"] == pytest.approx(593.2764)
    assert len(heap(yard.desk, 3).known.measured) == 3


def weather(yard: Yard, day: int, hour: float = 6, **figures: Amount) -> None:
    yard.say(day, e.Weather(**figures), hour)


def test_a_mornings_air_is_not_taken_for_the_days_mean(yard: Yard) -> None:
    for day in range(1, 8):
        weather(yard, day, air=amount(8, "C"))
    yard.desk.refresh()
    lines = yard.desk.diary.own_events(e.Weather)
    first, last = days.seconds(at(1, 6)), days.seconds(at(9, 6))
    found = outside(lines, ZONE, first, last, 5.0)
    assert found is not None
    clock = (found.start_s + 3600 * np.arange(len(found.temp_c))) % 86_400 // 3600
    assert found.temp_c[clock == 6] == pytest.approx(8.0)  # what was written, at its hour
    assert found.temp_c[clock == 15].max() == pytest.approx(8.0 + 5.0 * (1 + np.sqrt(0.5)), abs=0.01)
    assert len(found.temp_c) == (last - first) // 3600 + 1


def test_rain_told_falls_before_its_line_all_of_it_and_none_is_known_after(yard: Yard) -> None:
    weather(yard, 1, rain=amount(0, "mm"))
    weather(yard, 2, rain=amount(12, "mm"), air=amount(50, "F"))
    weather(yard, 5, rain=amount(1, "in"), wind=amount(36, "km/h"))
    yard.desk.refresh()
    lines = yard.desk.diary.own_events(e.Weather)
    found = outside(lines, ZONE, days.seconds(at(1)), days.seconds(at(7)), 5.0)
    assert found is not None and found.rain_mm is not None and found.wind is not None
    hour = found.start_s + 3600 * np.arange(len(found.rain_mm))
    second, fifth = days.seconds(at(2, 6)), days.seconds(at(5, 6))
    assert found.rain_mm[hour < second].sum() == pytest.approx(12.0)
    assert found.rain_mm[(hour >= second) & (hour < fifth)].sum() == pytest.approx(25.4)
    assert found.rain_mm[(hour >= second) & (hour < fifth - 86_400)].sum() == 0.0  # a day at most
    assert np.isnan(found.rain_mm[hour >= fifth]).all()
    assert found.wind == pytest.approx(10.0)


def test_without_a_weather_line_the_air_is_not_known(yard: Yard) -> None:
    built(yard)
    found = heap(yard.desk, 1)
    assert found.known.outside is None and any("usual" in one for one in found.notices)


def test_only_what_happened_by_then_is_known(yard: Yard) -> None:
    built(yard)
    for day in (1, 2, 3, 4):
        yard.read("R7", day, str(30 + day), "40")
        weather(yard, day, air=amount(10 + day, "C"))
    yard.say(4, e.Turned(row="R7"), 9)
    early = heap(yard.desk, 2).known
    assert early.read.at_s.max() == days.seconds(at(2)) and not early.done
    assert early.outside is not None
    end = early.outside.start_s + 3600 * (len(early.outside.temp_c) - 1)
    assert timedelta(seconds=end - days.seconds(at(2, 8))) <= timedelta(hours=49)

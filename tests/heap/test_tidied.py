"""What is wrong with readings, events and air is set aside or mended, and said."""

from dataclasses import replace

import numpy as np
import pytest

from tests.heap.invented import DAY, HOUR, START, TURNS, known
from turnrow.heap.ahead import forecast
from turnrow.heap.expected import weather
from turnrow.heap.fit import fit, prior
from turnrow.heap.known import Blend, Done, Known, Measured, Outside, Read, Told
from turnrow.heap.tidied import tidy

NOW = START + 14 * DAY + 9 * HOUR


def with_read(one: Known, **columns: object) -> Known:
    return replace(one, read=replace(one.read, **columns))


def told(one: Known, now: int = NOW) -> str:
    return " ".join(tidy(one, now, 30.0).notices)


def test_a_sound_log_is_taken_whole() -> None:
    found = tidy(known(), NOW, 30.0)
    assert found.notices == ()
    assert len(found.temp_c) == 15 * 3
    assert [one.at_h for one in found.done] == [d * 24 + 10.0 for d in TURNS if d < 14]


def test_nothing_later_than_now_is_used() -> None:
    one = known()
    later = one.read.at_s > NOW
    changed = with_read(one, temp_c=np.where(later, 11.0, one.read.temp_c))
    a, b = tidy(one, NOW, 30.0), tidy(changed, NOW, 30.0)
    np.testing.assert_array_equal(a.temp_c, b.temp_c)
    unwritten = replace(one, done=(Done(START + 2 * DAY, "turn", written_s=NOW + 1),))
    assert tidy(unwritten, NOW, 30.0).done == ()


def test_readings_before_the_build_are_passed_over() -> None:
    one = known()
    early = with_read(one, at_s=np.where(one.read.at_s < START + DAY, one.read.at_s - 3 * DAY, one.read.at_s))
    assert "3 readings taken before the heap was built: passed over." in told(early)
    assert tidy(early, NOW, 30.0).spots.at_h.min() > 0


def test_impossible_readings_are_set_aside() -> None:
    one = known()
    bad = one.read.temp_c.copy()
    bad[[2, 3, 4]] = [np.nan, 150.0, -60.0]
    assert "3 readings no heap's temperature: set aside." in told(with_read(one, temp_c=bad))


def test_two_depths_the_wrong_way_round_are_set_aside_for_that_round() -> None:
    one = known()
    temp = one.read.temp_c.copy()
    day = int(np.argmax(np.abs(temp[24:48][:14] - temp[:24][:14])))  # where they differ most
    temp[day], temp[48 + day] = temp[48 + day], temp[day]
    apart = abs(temp[day] - temp[48 + day])
    assert apart > 8, "the invented heap has no round to tell depths by"
    assert "two depths the wrong way round? Set aside." in told(with_read(one, temp_c=temp))


def test_a_probe_that_stands_still_is_set_aside() -> None:
    one = known(every_h=3)
    temp = one.read.temp_c.copy()
    temp[40:60] = 51.5
    assert "19 readings not changed for a day and longer" in told(with_read(one, temp_c=temp))


def test_a_turn_logged_a_day_late_is_put_where_the_heap_fell() -> None:
    one = known(every_h=3)
    late = tuple(replace(d, at_s=d.at_s + 20 * HOUR) if i == 1 else d for i, d in enumerate(one.done))
    found = tidy(replace(one, done=late), NOW, 30.0)
    assert "taken as logged late" in " ".join(found.notices)
    assert abs(found.done[1].at_h - (9 * 24 + 10)) <= 3


def test_a_turn_nobody_logged_is_taken_as_one() -> None:
    one = known(every_h=3)
    found = tidy(replace(one, done=(one.done[0], *one.done[2:])), NOW, 30.0)
    assert "no turn is logged: taken as one" in " ".join(found.notices)
    assert abs(found.done[1].at_h - (9 * 24 + 10)) <= 3


def test_one_fall_read_every_hour_is_one_turn() -> None:
    one = known(every_h=1)
    found = tidy(replace(one, done=(one.done[0], *one.done[2:])), NOW, 30.0)
    assert " ".join(found.notices).count("no turn is logged") == 1
    turns = [d * 24 + 10.0 for d in TURNS if d < 14]
    assert [each.at_h for each in found.done] == pytest.approx(turns, abs=6)


def test_a_gap_of_a_week_is_said() -> None:
    one = known()
    gap = (one.read.at_s < START + 5 * DAY) | (one.read.at_s > START + 12 * DAY)
    assert "nothing was read for 8 days" in told(replace(one, read=_part(one.read, gap)))


def _part(read: Read, these: np.ndarray) -> Read:
    return Read(read.at_s[these], read.depth_cm[these], read.station[these], read.temp_c[these])


def test_many_readings_are_thinned_the_newest_least() -> None:
    found = tidy(known(every_h=1), NOW, 30.0)
    assert len(found.temp_c) <= 160
    age = found.now_h - found.spots.at_h
    assert np.sum(age < 48) > np.sum((age > 144) & (age < 192))


def test_absurd_moisture_is_not_believed_and_said() -> None:
    for wrong in (0.02, 0.97, float("nan")):
        found = prior(replace(known(), blend=Blend(moisture=Told(wrong, 0.01))))
        assert any("which no heap is" in one for one in found.notices)
    one = replace(known(), measured=(Measured(START + DAY, "moisture", Told(1.4, 0.02)),))
    assert "is no heap's: set aside" in told(one)


def test_air_is_drawn_across_gaps_and_goes_on_as_it_was() -> None:
    hours = np.arange(96.0)
    air = 10.0 + 5.0 * np.sin(2 * np.pi * hours / 24)
    holed = air.copy()
    holed[30:33] = np.nan
    found, notices = weather(Outside(START, holed), START, 144, 40.0)
    assert "air not known for 3 h" in " ".join(notices)
    np.testing.assert_allclose(found.air_c[30:33], air[30:33], atol=2.0)
    np.testing.assert_allclose(found.air_c[96:], air[24:73], atol=0.01)


def test_without_air_a_mild_day_is_taken_and_said() -> None:
    found, notices = weather(None, START, 48, 4.0)
    assert found.air_c.mean() == pytest.approx(4.0, abs=0.3)
    assert "no air known" in notices[0]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda one: replace(one, read=_part(one.read, one.read.at_s < 0)),
        lambda one: replace(one, outside=None),
        lambda one: with_read(one, temp_c=np.full(len(one.read.temp_c), 50.0)),
        lambda one: with_read(one, at_s=one.read.at_s - 200 * DAY),
        lambda one: with_read(one, depth_cm=np.full(len(one.read.depth_cm), np.nan)),
        lambda one: with_read(one, depth_cm=one.read.depth_cm * 10),
        lambda one: Known(built_s=one.built_s, read=one.read),
        lambda one: replace(one, measured=(Measured(START + DAY, "moisture", Told(-3.0, 0.0)),)),
    ],
    ids=[
        "no readings",
        "no air",
        "constant",
        "long before",
        "no depth",
        "too deep",
        "bare",
        "absurd moisture",
    ],
)
def test_whatever_is_missing_there_is_an_answer_that_says_so(wrong) -> None:  # type: ignore[no-untyped-def]
    one = wrong(known())
    found = forecast(fit(one, prior(one), now_s=NOW, members=64), one, hours=48, limits_c=(65.5,))
    assert np.isfinite(found.fan).all()
    assert np.all(np.diff(found.fan, axis=2) >= 0)
    assert (found.fan[:, :, 4] - found.fan[:, :, 0]).min() > 2.0
    assert found.notices or not len(one.read.at_s)


def test_a_mix_said_to_be_dry_is_believed_but_water_may_have_gone_unwritten() -> None:
    """Dry straw and chips lie at 10 to 20 % (common practice, no source), and yards water as they lay."""
    found = prior(replace(known(), blend=Blend(moisture=Told(0.14, 0.02))))
    assert not any("which no heap is" in one for one in found.notices)
    moisture = next(one for one in found.unknowns if one.key == "moisture")
    assert moisture.middle == 0.14 and moisture.sd > 0.1
    wetter = prior(replace(known(), blend=Blend(moisture=Told(0.58, 0.02))))
    assert next(one for one in wetter.unknowns if one.key == "moisture").sd == 0.02

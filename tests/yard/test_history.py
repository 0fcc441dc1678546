"""A row's lines in the order they happened, whatever order they came in."""

import pytest

from turnrow.yard import days, entries, goods
from turnrow.yard.diary import Diary


def history(lines, row="R7"):
    return Diary(lambda name: b"", lines).history(row)


def numbers(events):
    return [event.line.number for event in events]


def test_a_phone_offline_for_days_comes_late_and_is_folded_where_it_happened(lines, walked):
    """Lines 1-3 are the days at the desk; 4-6 are what the phone had kept since 4 May."""
    told = lines(
        ("2026-05-03T07:00:00+00:00", walked(58)),
        ("2026-05-06T07:00:00+00:00", walked(61)),
        ("2026-05-07T07:00:00+00:00", walked(60)),
        ("2026-05-04T07:00:00+00:00", walked(59)),
        ("2026-05-04T09:00:00+00:00", entries.Turned(row="R7")),
        ("2026-05-05T07:00:00+00:00", walked(57)),
    )
    row = history(told)
    assert numbers(row.events) == [1, 4, 5, 6, 2, 3]
    assert [value // 1_000_000 for value in row.readings.value.tolist()] == [58, 59, 57, 61, 60]
    assert row.readings.line.tolist() == [1, 4, 6, 2, 3]
    assert [line.number for line in row.lines] == [1, 2, 3, 4, 5, 6]


def test_a_turn_known_by_its_date_only_stands_after_that_days_readings(lines, walked):
    row = history(
        lines(
            ("2026-05-03 day", entries.Turned(row="R7")),
            ("2026-05-03T18:00:00+00:00", walked(58)),
            ("2026-05-03T07:00:00+00:00", walked(57)),
            ("2026-05-04T06:00:00+00:00", walked(50)),
        )
    )
    assert numbers(row.events) == [3, 2, 1, 4]
    assert [event.timed for event in row.turns] == [False]


def test_a_turn_with_its_time_stands_where_it_was(lines, walked):
    row = history(
        lines(
            ("2026-05-03T12:00:00+00:00", entries.Turned(row="R7")),
            ("2026-05-03T18:00:00+00:00", walked(58)),
            ("2026-05-03T07:00:00+00:00", walked(57)),
        )
    )
    assert numbers(row.events) == [3, 1, 2]


def test_equal_moments_stand_as_they_were_written(lines, walked):
    row = history(lines(*[("2026-05-03T07:00:00+00:00", walked(n)) for n in (55, 56, 57)]))
    assert numbers(row.events) == [1, 2, 3]
    assert row.readings.line.tolist() == [1, 2, 3]


def test_moments_are_compared_whatever_offset_they_were_said_in(lines, walked):
    row = history(
        lines(
            ("2026-05-03T08:30:00+02:00", walked(55)),
            ("2026-05-03T07:00:00+01:00", walked(56)),
            ("2026-05-03T01:00:00-05:00", walked(57)),
        )
    )
    assert numbers(row.events) == [2, 3, 1]


def test_the_day_is_the_yards_not_greenwichs(lines, walked):
    laid = ("2026-05-01T00:00:00+00:00", entries.YardLaidOut(name="Far Field", zone="Pacific/Auckland"))
    row = history(lines(laid, ("2026-05-03T13:00:00+00:00", walked(55))))
    assert days.date_text(row.events[0].day) == "2026-05-04"
    assert row.readings.day.tolist() == [row.events[0].day]


def test_two_passes_count_twice_and_stations_are_those_laid_then_those_read(lines, walked):
    row = history(
        lines(
            ("2026-05-01T07:00:00+00:00", entries.RowBuilt(row="R7", stations=("2", "1"))),
            ("2026-05-03T07:00:00+00:00", walked(55, 56, 57)),
            ("2026-05-03T08:00:00+00:00", entries.Turned(row="R7", passes=2)),
        )
    )
    assert numbers(row.turns) == [3, 3]
    assert row.stations == ("2", "1", "3")
    assert row.readings.item.tolist() == [1, 2, 3]


@pytest.mark.parametrize("said", [entries.Round(row="R7", unit="C", readings=()), entries.Turned(row="R7")])
def test_a_row_never_read_has_no_readings(lines, said):
    assert len(history(lines(("2026-05-03T07:00:00+00:00", said))).readings) == 0


def test_a_row_that_was_a_part_and_became_a_lot(lines):
    """Taking some of it does not end it; taking all that is left does."""
    some = goods.Share(row="R2", amount=entries.Amount(1_000_000, "t"))
    told = Diary(
        lambda name: b"",
        lines(
            ("2026-05-01T08:00:00+00:00", goods.RowSplit(row="R1", new="R2")),
            ("2026-05-02T08:00:00+00:00", goods.LotMade(lot="L1", sources=(some,))),
            ("2026-05-03T08:00:00+00:00", goods.Screened(fines="F", sources=(goods.Share(row="R2"),))),
        ),
    )
    part, row = told.history("R2"), told.history("R1")
    assert part.split_from is not None and part.split_from[1] == "R1"
    assert part.lifted is not None and part.lifted[1] == "F"
    assert part.gone is part.lifted[0] and part.gone.line.number == 3
    assert row.split_from is None and row.lifted is None and row.gone is None

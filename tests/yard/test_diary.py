"""The diary filed by row: lines added one by one give what all at once would."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.yard import entries
from turnrow.yard.diary import Diary

ROWS = ["R1", "R2", "R3"]
rows = st.sampled_from(ROWS)
zones = st.sampled_from(["UTC", "Pacific/Auckland", "America/Chicago"])
whats = st.one_of(
    st.builds(entries.Turned, row=rows, passes=st.integers(1, 2)),
    st.builds(
        lambda row, value: entries.Round(row=row, unit="C", readings=(entries.Reading("1", 900, value),)),
        rows,
        st.integers(0, 80_000_000),
    ),
    st.builds(lambda row, other: entries.Merged(row=row, sources=(other,)), rows, rows),
    st.builds(lambda zone: entries.YardLaidOut(name=zone, zone=zone), zones),
    st.builds(lambda row: entries.Note(text="steam", row=row), st.sampled_from([*ROWS, ""])),
    st.builds(lambda row: entries.RuleChosen(rule="R", row=row), st.sampled_from([*ROWS, ""])),
    st.just("strike"),
)
said = st.lists(st.tuples(st.integers(0, 23), st.integers(1, 28), whats, st.integers(0, 10**6)), max_size=25)


def as_told(lines, drawn):
    """Lines of what was drawn; a strike takes a line before it that is no strike and not struck."""
    told, open_lines = [], []
    for number, (hour, day, what, pick) in enumerate(drawn, 1):
        if what == "strike":
            if not open_lines:
                what = entries.Note(text="nothing to strike")
            else:
                what = entries.Struck(line=open_lines.pop(pick % len(open_lines)), reason="slip")
        if not isinstance(what, entries.Struck):
            open_lines.append(number)
        told.append((f"2026-05-{day:02}T{hour:02}:00:00+00:00", what))
    return lines(*told)


def seen(diary: Diary):
    """All one can ask of it."""
    kinds = (entries.Note, entries.RuleChosen, entries.YardLaidOut)
    return (
        diary.head,
        diary.yard,
        diary.zone.key,
        set(diary.rows),
        {
            row: (h.events, h.struck, h.zone.key, h.readings.day.tolist())
            for row in diary.rows
            if (h := diary.history(row))
        },
        [diary.own(kind) for kind in kinds],
        [diary.own_events(kind) for kind in kinds],
        [diary.is_struck(n) for n in range(diary.head + 1)],
    )


@settings(deadline=None, max_examples=200)
@given(drawn=said, looks=st.sets(st.integers(0, 25)))
def test_line_by_line_gives_what_all_at_once_gives(drawn, looks, lines):
    told = as_told(lines, drawn)
    one_by_one = Diary(lambda name: b"")
    for place, line in enumerate(told):
        if place in looks:  # what was asked between must not linger
            seen(one_by_one)
        one_by_one.add([line])
    assert seen(one_by_one) == seen(Diary(lambda name: b"", told))


@settings(deadline=None, max_examples=200)
@given(drawn=said)
def test_every_line_is_in_force_or_struck_never_lost(drawn, lines):
    told = as_told(lines, drawn)
    diary = Diary(lambda name: b"", told)
    struck = {line.entry.what.line for line in told if isinstance(line.entry.what, entries.Struck)}
    for row in diary.rows:
        history = diary.history(row)
        in_force = {event.line.number for event in history.events}
        assert not in_force & struck
        assert {line.number for line in history.struck} <= struck
        assert {line.number for line in history.lines} >= {
            line.number for line in told if row in entries.row_of(line.entry.what)
        }


def test_a_history_stays_the_same_object_until_a_line_touches_its_row(lines):
    told = lines(
        ("2026-05-03T07:00:00+00:00", entries.Turned(row="R1")),
        ("2026-05-03T07:00:00+00:00", entries.Turned(row="R2")),
        ("2026-05-04T07:00:00+00:00", entries.Turned(row="R2")),
        ("2026-05-04T07:00:00+00:00", entries.Struck(line=1, reason="slip")),
    )
    diary = Diary(lambda name: b"", told[:2])
    one, two = diary.history("R1"), diary.history("R2")
    diary.add(told[2:3])
    assert diary.history("R1") is one
    assert diary.history("R2") is not two
    diary.add(told[3:])
    assert [line.number for line in diary.history("R1").struck] == [1]
    assert len(diary.history("R1").turns) == 0


def test_a_struck_layout_of_the_yard_gives_its_zone_back(lines):
    told = lines(
        ("2026-05-01T07:00:00+00:00", entries.YardLaidOut(name="Low Field", zone="Europe/Dublin")),
        ("2026-05-03T13:00:00+00:00", entries.Turned(row="R1")),
        ("2026-05-04T07:00:00+00:00", entries.YardLaidOut(name="Low Field", zone="Pacific/Auckland")),
        ("2026-05-04T07:30:00+00:00", entries.Struck(line=3, reason="wrong zone")),
    )
    diary = Diary(lambda name: b"", told[:2])
    day = diary.history("R1").events[0].day
    diary.add(told[2:3])
    assert diary.history("R1").events[0].day == day + 1
    diary.add(told[3:])
    assert (diary.zone.key, diary.yard.zone) == ("Europe/Dublin", "Europe/Dublin")
    assert diary.history("R1").events[0].day == day


def test_lines_must_follow_each_other(lines):
    told = lines(*[("2026-05-03T07:00:00+00:00", entries.Turned(row="R1"))] * 3)
    diary = Diary(lambda name: b"", told[:1])
    with pytest.raises(ValueError, match="line 3 after line 1"):
        diary.add(told[2:])
    with pytest.raises(KeyError):
        diary.history("R9")
    with pytest.raises(KeyError):
        diary.line(2)
    assert diary.line(1) is told[0]


def test_a_yard_not_laid_out_is_nameless_on_utc():
    diary = Diary(lambda name: b"")
    assert (diary.yard.name, diary.zone.key, diary.rows, diary.head) == ("", "UTC", (), 0)

"""Files of what was done to a heap."""

import pytest

from turnrow.gate.event_file import read_events
from turnrow.gate.turn_file import read_turns
from turnrow.yard.days import zone
from turnrow.yard.wrongs import Refused

UTC = zone("UTC")


def read(text):
    return read_events(text.encode(), "e.csv", zone=UTC)


def refusals(text):
    with pytest.raises(Refused) as told:
        read(text)
    return [one.sentence() for one in told.value.refusals]


def test_events_come_in_order_of_time_by_kind():
    file = read(
        "at,kind,amount_t\n2026-05-03T08:00,Turned,\n2026-05-02,watered,4\n2026-05-01T00:00,turned,\n"
    )
    assert file.kind == ("turned", "watered", "turned")
    assert len(file.of("turned")) == 2
    assert file.of("watered")[0] % 86_400 == 43_200  # a bare date stands at noon
    assert file.notices == ()


def test_everything_wrong_is_told_at_once():
    told = refusals("at,kind\n2026-05-01,sprayed\n,turned\nsoon,turned\n2026-05-02,\n")
    assert [one.split(":")[0] for one in told] == [
        "row 4, column at",
        "row 2, column kind",
        "row 3, column at",
        "row 5, column kind",
    ]
    assert "turned, watered, covered" in told[1]


def test_a_file_without_its_columns_is_refused_and_others_are_passed_over():
    assert len(refusals("when,what\n2026-05-01,turned\n")) == 2
    assert "by whom" in read("at,kind,by whom\n2026-05-01,turned,me\n").notices[0]


@pytest.mark.parametrize("rows", ["", "\n", "\n\n,\n"])
def test_headings_alone_say_that_nothing_was_done(rows):
    file = read("at,kind" + rows)
    assert file.kind == () and len(file.at) == 0
    turns = read_turns(("at" + rows.replace(",", "")).encode(), "t.csv", zone=UTC)
    assert len(turns.at) == len(turns.day) == len(turns.timed) == 0


def test_headings_alone_must_still_be_those_of_the_file():
    assert refusals("when,kind\n")[0].startswith("e.csv, row 1")
    with pytest.raises(Refused):
        read_turns(b"when\n", "t.csv", zone=UTC)

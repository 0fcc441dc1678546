"""Readings in the other unit are asked about at the door; 140 °F is 60 °C by definition."""

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from turnrow.gate.files import read_temperatures
from turnrow.gate.forms import entry_from
from turnrow.gate.handed import Handed
from turnrow.gate.packets import packet
from turnrow.gate.unit_ask import ask_unit, round_doubt
from turnrow.yard.entries import Reading, Round
from turnrow.yard.wrongs import Refused

HEAD = "at,station,value,unit\n"
HOT = HEAD + "2026-05-30T07:40,1,136,C\n2026-05-30T07:45,2,140,C\n"


def before(desk: Any) -> None:
    usual = (Reading("1", -1, 58_000_000), Reading("2", -1, 60_000_000))
    desk.write(Round(row="R7", unit="C", readings=usual), datetime(2026, 5, 29, 7, tzinfo=UTC))


def packed(desk: Any, now: datetime, text: str, **more: Any) -> Any:
    intake = read_temperatures(text.encode(), "log.csv", zone=ZoneInfo("Europe/Dublin"), row="R7")
    return packet(intake, desk.diary, Handed(text.encode(), "log.csv", now, "office", **more))


def test_a_file_is_refused_with_the_likely_unit(desk: Any, now: datetime) -> None:
    before(desk)
    with pytest.raises(Refused) as caught:
        packed(desk, now, HOT)
    (wrong,) = caught.value.refusals
    assert wrong.where == "log.csv, readings of R7" and "57.8 °C to 60.0 °C" in wrong.do
    assert "Write the unit F" in wrong.do and "--as-written" in wrong.do


def test_a_file_is_taken_as_written_or_in_the_likely_unit(desk: Any, now: datetime) -> None:
    before(desk)
    assert packed(desk, now, HOT, as_written=True).readings == 2
    assert packed(desk, now, HOT.replace(",C\n", ",F\n")).readings == 2


def test_one_hot_station_is_not_asked_about(desk: Any, now: datetime) -> None:
    before(desk)
    assert packed(desk, now, HOT.replace("136", "60").replace("140", "61")).readings == 2


def test_a_round_is_asked_about_until_it_is_confirmed_at_every_station(desk: Any, now: datetime) -> None:
    before(desk)
    fields = {"row": "R7", "readings": "1: 136, 2: 140", "unit": "C"}

    def entry(**more: str) -> Any:
        return entry_from("round", {**fields, **more}, diary=desk.diary, now=now, who="Ada")

    with pytest.raises(Refused) as caught:
        ask_unit(entry(), desk.diary)
    (wrong,) = caught.value.refusals
    assert wrong.where == "field unit" and "unit=F" in wrong.do and "confirmed=1, 2" in wrong.do
    assert round_doubt(entry(confirmed="1"), desk.diary) is not None
    assert round_doubt(entry(confirmed="1, 2"), desk.diary) is None
    assert round_doubt(entry(unit="F"), desk.diary) is None

"""A file with an entry a row: weather, scale tickets, a spreadsheet's diary; all of it or none, once."""

import io
import json
from collections.abc import Callable
from pathlib import Path

import polars as pl
import pytest
import xlsxwriter
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard.entries import Entry, LoadIn, Turned, Watered, Weather
from turnrow.yard.goods import GrowthTest
from turnrow.yard.numbers import MICRO

TICKETS = """Date;Ticket;Goods;Net;Haulier
03/11/2025;T-901;FYM;12450;own
04/11/2025;T-902;FYM;11900;own
25/11/2025;T-903;straw;4200;bought
"""
MAP = """
[entries]
kind = "load in"
columns = { happened = "Date", load = "Ticket", material = "Goods", amount = "Net", came_from = "Haulier" }
units = { amount = "kg" }
always = { how = "weighed" }
means.material = { "FYM" = "cattle farmyard manure" }
"""
Take = Callable[..., Result]


@pytest.fixture
def where(tmp_path: Path) -> str:
    yard = str(tmp_path / "yard.journal")
    assert CliRunner().invoke(app, ["new", yard, "--zone", "Europe/Dublin", "--json"]).exit_code == 0
    built = ["write", "row-built", "row=R7", "happened=2025-01-01", "--yard", yard]
    assert CliRunner().invoke(app, built).exit_code == 0
    return yard


@pytest.fixture
def take(where: str, tmp_path: Path) -> Take:
    def of(text: str | bytes, *more: str, name: str = "file.csv") -> Result:
        file = tmp_path / name
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        return CliRunner().invoke(app, ["take", str(file), *more, "--yard", where, "--json"])

    return of


def entries(where: str) -> list[Entry]:
    with Book.open(where) as book:
        return [line.entry for line in book.lines()][2:]


def refusals(answer: Result) -> list[dict[str, str]]:
    assert answer.exit_code == 2, answer.output
    found: list[dict[str, str]] = json.loads(answer.stdout)["refusals"]
    return found


def test_weather_is_known_by_its_columns_and_its_units_may_stand_in_the_headings(
    take: Take, where: str
) -> None:
    text = "date,temp (C),rain_mm,Wind [km/h],sky\n2025-11-01,8.5,0,12,grey\n2025-11-02T07:00,,3.5,,\n"
    answer = json.loads(take(text).stdout)
    assert answer["entries"] == 2 and answer["notices"] == ["file.csv: passed over: sky."]
    first, second = entries(where)
    assert isinstance(first.what, Weather) and isinstance(second.what, Weather)
    assert first.day_only and not second.day_only
    assert first.what.air and (first.what.air.value, first.what.air.unit) == (8_500_000, "C")
    assert first.what.wind and first.what.wind.unit == "km/h"
    assert second.what.air is None
    assert second.what.rain and second.what.rain.value == 3_500_000


def test_the_same_file_twice_adds_nothing_and_a_grown_one_its_end(take: Take, where: str) -> None:
    text = "at,rain_mm\n2025-11-01,1\n2025-11-01,1\n"  # two alike are two
    assert json.loads(take(text).stdout)["entries"] == 2
    again = json.loads(take(text).stdout)
    assert (again["entries"], again["known"], again["lines"]) == (0, 2, [])
    assert json.loads(take(text + "2025-11-02,4\n", name="grown.csv").stdout)["entries"] == 1
    assert len(entries(where)) == 3


def test_what_was_struck_comes_back_only_when_asked_for(take: Take, where: str) -> None:
    text = "at,rain_mm\n2025-11-01,1\n"
    take(text)
    struck = CliRunner().invoke(app, ["strike", "3", "--reason", "wrong gauge", "--yard", where])
    assert struck.exit_code == 0
    passed = json.loads(take(text).stdout)
    assert passed["entries"] == 0 and "--again" in passed["notices"][0]
    assert json.loads(take(text, "--again").stdout)["entries"] == 1
    assert json.loads(take(text, "--again").stdout)["entries"] == 0


def test_what_a_row_lacks_may_stand_in_a_column_that_was_passed_over(take: Take) -> None:
    text = "date,load,Goods,amount_t,how\n2025-11-03,T-901,FYM,12,guessed\n"
    said = {one["where"]: one["do"] for one in refusals(take(text, "--kind", "load-in"))}
    assert set(said) == {"row 2, field material", "row 2, field how"}
    assert said["row 2, field material"].endswith("Its file has columns passed over: Goods.")
    assert "Goods" not in said["row 2, field how"]


def test_scale_tickets_by_a_mapping(take: Take, where: str, tmp_path: Path) -> None:
    (tmp_path / "map.toml").write_text(MAP)
    answer = json.loads(take(TICKETS, "--map", str(tmp_path / "map.toml")).stdout)
    assert answer["entries"] == 3
    loads = [entry.what for entry in entries(where)]
    assert all(isinstance(one, LoadIn) and one.how == "weighed" for one in loads)
    assert isinstance(loads[0], LoadIn) and loads[0].material == "cattle farmyard manure"
    assert loads[0].amount.value == 12_450 * MICRO and loads[0].amount.unit == "kg"
    # a ticket of the same number that says otherwise is not taken for the first
    other = refusals(take(TICKETS.replace("11900", "1190"), "--map", str(tmp_path / "map.toml")))
    assert [one["where"] for one in other] == ["row 3, field load"] and len(entries(where)) == 3


def test_a_diary_of_several_kinds_is_read_in_its_order(take: Take, where: str) -> None:
    text = (
        "kind,happened,row,process,passes,water\n"
        "row-built,2025-03-01,R8,turned,,\n"
        "turned,2025-03-05,R8,,2,\n"
        "watered,2025-03-06T08:00,R8,,,12 m3\n"
    )
    assert json.loads(take(text).stdout)["entries"] == 3
    _, turned, watered = (entry.what for entry in entries(where))
    assert isinstance(turned, Turned) and turned.passes == 2
    assert isinstance(watered, Watered) and watered.water.unit == "m3"


def test_all_that_is_wrong_is_told_at_once_and_nothing_is_written(take: Take, where: str) -> None:
    text = (
        "kind,happened,row,water,passes\n"
        "turned,2025-11-20,R7,,1\n"
        "watered,2025-11-21,R99,5 m3,\n"
        "watered,2025-11-21T08:00,R7,abc,3\n"
        "mowed,2025-11-21,R7,,\n"
        "turned,,R7,,\n"
        "turned,soon,R7,,\n"
    )
    told = {one["where"] for one in refusals(take(text))}
    assert told == {
        "row 3, field row", "row 4, field water", "row 4, field passes", "row 5, column kind",
        "row 6, column happened", "row 7, column happened",
    }  # fmt: skip
    assert entries(where) == []


@pytest.mark.parametrize(
    ("text", "more", "where_"),
    [
        ("date,rain\n2025-11-01,4\n", (), "row 2, field rain"),  # no unit
        ("rain_mm\n4\n", ("--kind", "weather"), "file.csv, row 1"),  # no time
        ("date,rain_mm\n2025-11-01,4\n", ("--kind", "snow"), "file.csv"),
        ("date,rain_mm\n2025-11-01,4\n", ("--kind", "struck"), "file.csv"),
        ("date,rain_mm,rain (in)\n2025-11-01,4,1\n", (), "file.csv, row 1"),
        ("date,rain_mm\n2099-11-01,4\n", (), "row 2, field happened"),
        ("date,rain_mm\n03/04/2025,4\n", (), "row 2, column date"),  # the order of the date is not settled
    ],
)
def test_what_is_not_plain_is_refused(
    take: Take, where: str, text: str, more: tuple[str, ...], where_: str
) -> None:
    assert where_ in {one["where"] for one in refusals(take(text, *more))}
    assert entries(where) == []


@pytest.mark.parametrize(
    "mapping",
    [
        "[entries]\nkind = 3\n",
        "[entries]\nkind = 'weather'\ncolumns = { snow = 'date' }\n",
        "[entries]\nkind = 'weather'\ncolumns = { happened = 'nowhere' }\n",
        "date_format = '%Q'\n[entries]\nkind = 'weather'\n",
        "skip_rows = -1\n[entries]\nkind = 'weather'\n",
    ],
)
def test_a_mapping_that_does_not_fit_is_refused(take: Take, tmp_path: Path, mapping: str) -> None:
    (tmp_path / "map.toml").write_text(mapping)
    assert (
        "the mapping"
        in refusals(take("date,rain_mm\n2025-11-01,4\n", "--map", str(tmp_path / "map.toml")))[0]["where"]
    )


def test_a_workbook_of_weather(take: Take, where: str) -> None:
    held = io.BytesIO()
    with xlsxwriter.Workbook(held, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for row, cells in enumerate([("Date", "Rain (mm)"), ("2025-11-01", 4.5)]):
            sheet.write_row(row, 0, cells)
    assert json.loads(take(held.getvalue(), name="w.xlsx").stdout)["entries"] == 1
    what = entries(where)[0].what
    assert isinstance(what, Weather) and what.rain and what.rain.value == 4_500_000


@pytest.mark.needs_shared_data
def test_rain_of_an_open_record_is_kept_to_the_tenth(
    take: Take, where: str, tmp_path: Path, open_data: Path
) -> None:
    """Seattle 2012-2015, NOAA: what the book holds adds up to what another reader finds in the file."""
    file = open_data / "weather" / "seattle_2012_2015_daily.csv"
    (tmp_path / "map.toml").write_text(
        'date_format = "%Y/%m/%d"\n[entries]\nkind = "weather"\n'
        'columns = { happened = "date", rain = "precip_mm", air = "tmax_C", wind = "wind_ms" }\n'
        'units = { rain = "mm", air = "C", wind = "m/s" }\n'
    )
    answer = json.loads(take(file.read_bytes(), "--map", str(tmp_path / "map.toml")).stdout)
    frame = pl.read_csv(file)
    assert answer["entries"] == frame.height
    rain = sum(e.what.rain.value for e in entries(where) if isinstance(e.what, Weather) and e.what.rain)
    assert rain / MICRO == pytest.approx(frame["precip_mm"].sum(), abs=1e-6)


def test_a_growth_test_comes_from_a_file_or_a_line(take: Take, where: str) -> None:
    """One test a row, its pots in one cell; the same file twice adds nothing."""
    text = (
        "kind,date,row,plant,sown,up,control_up,leaves\n"
        'growth test,2025-05-03,R7,cress,10,"9 8 10","10 10 9",sound\n'
    )
    assert json.loads(take(text).stdout)["entries"] == 1
    assert json.loads(take(text).stdout)["lines"] == []
    (entry,) = entries(where)
    assert isinstance(entry.what, GrowthTest) and entry.what.up == (9, 8, 10)
    (wrong,) = refusals(take(text.replace("9 8 10", "9 8 11").replace("05-03", "05-04")))
    assert "row 2" in wrong["where"] and "0 to the 10 sown" in wrong["do"]

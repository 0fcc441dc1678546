"""take, write and strike as people type them: exit codes, one JSON object, known figures of open logs."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.journal.book import Book
from turnrow.yard.diary import Diary
from turnrow.yard.goods import LabResult
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO

Run = Callable[..., Result]
HOT = """
[time]
column = "datetime"
format = "iso"
[[reading]]
column = "core_C"
station = "core"
unit = "C"
[event]
column = "event"
[event.means]
"turned" = "turned"
"turned (too hot)" = "turned"
"turned + water added" = ["turned", "note"]
"harvested" = "note"
"snow" = "note"
"""
PILES = """
row_column = "group"
[time]
day_column = "day"
day_one = 2021-05-03
[[reading]]
column = "temp_C"
station_column = "replicate"
unit = "C"
"""


@pytest.fixture
def yard(tmp_path: Path) -> str:
    where = str(tmp_path / "yard.journal")
    made = CliRunner().invoke(app, ["new", where, "--zone", "America/Toronto", "--json"])
    assert made.exit_code == 0, made.output
    return where


@pytest.fixture
def run(yard: str) -> Run:
    return lambda *words: CliRunner().invoke(app, [*map(str, words), "--yard", yard])


def built(run: Run, *rows: str) -> None:
    for row in rows:
        assert run("write", "row-built", f"row={row}", "happened=2014-01-01").exit_code == 0


def history(yard: str, row: str) -> History:
    with Book.open(yard) as book:
        found = Diary(book.blob, book.lines()).history(row)
        assert found.readings is not None  # read while the book is open
        return found


def test_write_answers_with_one_object_and_strike_withdraws(run: Run, yard: str) -> None:
    built(run, "R7")
    answer = run("write", "round", "row=R7", "readings=1@90:54.9,2@90:61 C", "--json")
    assert answer.exit_code == 0 and json.loads(answer.stdout)["line"] == 3
    assert run("strike", "3", "--reason", "wrong row").exit_code == 0
    assert len(history(yard, "R7").readings) == 0
    again = run("strike", "3", "--reason", "wrong row", "--json")
    assert again.exit_code == 2 and json.loads(again.stdout)["refusals"][0]["where"] == "field line"


def test_an_id_sent_twice_is_written_once(run: Run) -> None:
    built(run, "R7")
    words = ("write", "turned", "row=R7", "happened=2026-05-03T07:40", "--id", "phone-1", "--json")
    first, second = (json.loads(run(*words).stdout) for _ in range(2))
    assert (first["line"], first["known"], second["line"], second["known"]) == (3, False, 3, True)


def test_refusals_come_all_at_once_with_exit_2_and_nothing_written(run: Run, yard: str) -> None:
    wrong = run("write", "row-built", "row==x", "length=0 m", "colour=red", "--json")
    assert wrong.exit_code == 2
    assert len(json.loads(wrong.stdout)["refusals"]) == 3
    assert run("write", "note", "text").exit_code == 2
    assert run("take", "no/such/file.csv", "--row", "R7").exit_code == 2
    with Book.open(yard) as book:
        assert book.head().line == 1


def test_the_example_is_printed_without_a_yard_and_a_file_is_asked_for() -> None:
    shown = CliRunner().invoke(app, ["take", "--example"])
    assert shown.exit_code == 0 and "[[reading]]" in shown.stdout
    assert CliRunner().invoke(app, ["take"]).exit_code == 2


def test_a_file_of_tickets_is_told_the_way_in_for_rows_that_are_no_readings(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "tickets.csv"
    file.write_text("date,ticket,goods,net\n2026-05-03,K9,straw,12.4\n")
    answer = run("take", file, "--json")
    assert answer.exit_code == 2
    told = json.loads(answer.stdout)["refusals"][0]["do"]
    assert "--kind" in told and "--map" in told


def test_a_bad_file_leaves_the_book_as_it_was(run: Run, yard: str, tmp_path: Path) -> None:
    built(run, "R7")
    file = tmp_path / "log.csv"
    file.write_text("at,row,value,unit\n2026-05-03,R7,55,C\n2026-05-04,R99,55,C\n")
    assert run("take", file).exit_code == 2
    with Book.open(yard) as book:
        assert book.head().line == 2


LAB = """analyte,value,unit,basis,sampled
Cu,63.5,mg/kg,dry,2026-05-20
Faecal coliform,<20,MPN/g,dry,2026-05-20
"""


def test_a_labs_sheet_is_known_by_its_columns(run: Run, yard: str, tmp_path: Path) -> None:
    built(run, "R7")
    assert run("write", "lot-made", "lot=26-04", "sources=row R7: 30 t").exit_code == 0
    file = tmp_path / "sheet.csv"
    file.write_text(LAB)
    done = run("take", file, "--lot", "26-04", "--json")
    assert done.exit_code == 0, done.output
    assert json.loads(done.stdout) == {"lines": [4], "figures": 2, "known": 0, "notices": []}
    assert json.loads(run("take", file, "--lot", "26-04", "--json").stdout)["known"] == 2
    with Book.open(yard) as book:
        what = next(iter(book.lines(3))).entry.what
        assert isinstance(what, LabResult) and book.blob(what.blob) == file.read_bytes()


def test_a_self_heating_test_is_a_result_of_a_lot(run: Run, yard: str, tmp_path: Path) -> None:
    built(run, "R7")
    assert run("write", "lot-made", "lot=26-04", "sources=row R7: 30 t").exit_code == 0
    file = tmp_path / "vessel.csv"
    rows = "".join(f"2026-05-{10 + n}T08:00,{20 + 3 * (3 - abs(n - 3))},C\n" for n in range(8))
    file.write_text(f"at,value,unit\n{rows}")
    words = ("take", file, "--self-heating", "--ambient", "20 C", "--json")
    assert run(*words).exit_code == 2
    done = run(*words, "--lot", "26-04")
    assert done.exit_code == 0, done.output
    answer = json.loads(done.stdout)
    assert answer["figures"] == 1 and "9.0 °C over the air" in " ".join(answer["notices"])


def test_a_bad_sheet_leaves_the_book_as_it_was(run: Run, yard: str, tmp_path: Path) -> None:
    file = tmp_path / "sheet.csv"
    file.write_text(LAB.replace("mg/kg", ""))
    wrong = run("take", file, "--lot", "26-04", "--json")
    assert wrong.exit_code == 2 and len(json.loads(wrong.stdout)["refusals"]) == 3
    file.write_text("at,value,unit\n2026-05-03,55,C\n")
    assert run("take", file, "--lot", "26-04").exit_code == 2
    with Book.open(yard) as book:
        assert book.head().line == 1


def taken(run: Run, tmp_path: Path, file: Path, mapping: str, *more: str) -> dict[str, Any]:
    where = tmp_path / "map.toml"
    where.write_text(mapping)
    done = run("take", file, "--map", where, "--json", *more)
    assert done.exit_code == 0, done.output
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


@pytest.mark.needs_shared_data
def test_the_hot_bins_known_figures_through_the_book(
    run: Run, yard: str, tmp_path: Path, open_data: Path
) -> None:
    """Figures printed in the open data's own README (hot_bin_2015), held intervals, gaps over 2 h out."""
    built(run, "B15")
    file = open_data / "temperatures" / "hot_bin_2015.csv"
    assert taken(run, tmp_path, file, HOT, "--row", "B15")["readings"] == 2011
    assert taken(run, tmp_path, file, HOT, "--row", "B15") == {
        "lines": [], "readings": 0, "known": 2011, "notices": ["passed over: outside_probe_C."],
    }  # fmt: skip
    found = history(yard, "B15")
    at, value, day = found.readings.at, found.readings.value, found.readings.day
    held = np.diff(at) * (np.diff(at) <= 2 * 3600)
    hot = value >= 55 * MICRO
    assert (at[hot][0] - at[0]) / 86_400 == pytest.approx(4.6, abs=0.05)
    assert held[hot[:-1]].sum() / 3600 == pytest.approx(136.7, abs=0.05)
    assert held[value[:-1] >= 65 * MICRO].sum() / 3600 == pytest.approx(13.0, abs=0.05)
    highest = [value[day == d].max() for d in np.unique(day)]
    lowest = [value[day == d].min() for d in np.unique(day)]
    assert sum(v >= 55 * MICRO for v in highest) == 8 and sum(v >= 55 * MICRO for v in lowest) == 3
    assert len(found.turns) == 8


@pytest.mark.needs_shared_data
@pytest.mark.parametrize(
    ("name", "column", "want"),
    [
        ("hot_bin_2014", "core_C", 35),
        ("hot_bin_2015_curing", "core_C", 1005),
        ("worm_bin_winter_2015_16", "bed_core_C", 7600),
    ],
)
def test_the_other_logs_are_taken_whole(
    name: str, column: str, want: int, run: Run, yard: str, tmp_path: Path, open_data: Path
) -> None:
    """The winter log runs over the March night whose second hour Montreal's clock leaps over."""
    built(run, "B1")
    file = open_data / "temperatures" / f"{name}.csv"
    mapping = HOT.replace("core_C", column)
    assert taken(run, tmp_path, file, mapping, "--row", "B1")["readings"] == want
    with file.open() as lines:
        texts = [line.split(",")[1] for line in lines][1:]
    typed = sum(round(float(text) * 100) for text in texts)  # the file has two decimals at most
    assert int(history(yard, "B1").readings.value.sum()) == typed * 10_000


@pytest.mark.needs_shared_data
def test_the_pile_trial_by_group_replicate_and_day(
    run: Run, yard: str, tmp_path: Path, open_data: Path
) -> None:
    """Four groups, three probes, every second day from day 1 to day 59, as the file lists them."""
    groups = ("Ambient", "FC", "PL", "CM")
    built(run, *groups)
    file = open_data / "temperatures" / "pile_trial_60_days.csv"
    assert taken(run, tmp_path, file, PILES)["readings"] == 360
    for group in groups:
        found = history(yard, group).readings
        assert found.stations == ("1", "2", "3") and len(found) == 90 and not found.timed.any()
        assert int(found.day[-1] - found.day[0]) == 58

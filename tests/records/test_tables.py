"""The diary as tables: read back with another library they say what was typed."""

import csv
import io
from datetime import UTC, date, datetime

import polars as pl
import pytest

from turnrow.records.tables import TABLES, as_csv, as_parquet, dictionary
from turnrow.yard import entries, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, What

WHEN = datetime(2026, 5, 3, 7, 40, tzinfo=UTC)
BY_NAME = {table.name: table for table in TABLES}
SAID: list[What] = [
    entries.RowBuilt(
        row="R7", parts=(entries.Part("straw", Amount(4_250_000, "t"), "L1"),), stations=("1", "2")
    ),
    entries.Round(
        row="R7", unit="F", readings=(entries.Reading("1", 900, 131_000_000), entries.Reading("2", -1, 1))
    ),
    entries.Turned(row="R7", machine="=cmd()"),
    entries.Struck(line=3, reason="wrong row"),
    goods.LotMade(
        lot="A", sources=(goods.Share(row="R7", amount=Amount(3_000_000, "t")), goods.Share(lot="B"))
    ),
    goods.LabResult(
        lot="A",
        sampled=date(2026, 5, 1),
        results=(goods.Result(analyte="lead", amount=Amount(9_000_000, "mg/kg"), basis="dry", below=True),),
    ),
    goods.Released(
        lot="A", name="Ana", how="proven", rule="R", verdict="PASS", upto=5, limits=("one", "two")
    ),
]


@pytest.fixture
def diary() -> Diary:
    lines = [
        Line(n, WHEN, "", Entry(id=f"e{n}", happened=WHEN, who="Ana", what=what))
        for n, what in enumerate(SAID, 1)
    ]
    return Diary({}.__getitem__, lines)


def rows(name: str, diary: Diary) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv(BY_NAME[name], diary).decode())))


def test_a_reading_stands_as_typed_with_its_unit(diary: Diary) -> None:
    first, second = rows("readings", diary)
    assert (first["line"], first["station"], first["depth_mm"]) == ("2", "1", "900")
    assert (first["value"], first["value_unit"]) == ("131", "F")
    assert (second["depth_mm"], second["value"]) == ("", "0.000001")


def test_a_struck_line_stays_in_and_is_marked_and_formulas_are_guarded(diary: Diary) -> None:
    (turn,) = rows("turns", diary)
    assert turn["struck"] == "yes" and turn["machine"] == "'=cmd()"
    assert turn["water"] == "" and turn["water_unit"] == ""


def test_a_lots_sources_and_a_sheets_figures_are_a_row_each(diary: Diary) -> None:
    lots = rows("lots", diary)
    assert [(one["of_row"], one["of_lot"], one["amount"]) for one in lots] == [("R7", "", "3"), ("", "B", "")]
    (lead,) = rows("lab_results", diary)
    assert (lead["sampled"], lead["sign"], lead["amount"], lead["basis"]) == (
        "2026-05-01",
        "below",
        "9",
        "dry",
    )
    assert rows("releases", diary)[0]["limits"] == "one; two"


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_parquet_holds_the_same_rows_and_the_same_bytes_twice(name: str, diary: Diary) -> None:
    data = as_parquet(BY_NAME[name], diary)
    assert data == as_parquet(BY_NAME[name], diary)
    frame, plain = pl.read_parquet(io.BytesIO(data)), rows(name, diary)
    assert frame.columns == [column for column, _, _ in BY_NAME[name].head]
    assert frame["line"].to_list() == [int(one["line"]) for one in plain]
    for column, holds, _ in BY_NAME[name].head:
        if holds == "number":
            assert frame[column].to_list() == [float(one[column]) if one[column] else None for one in plain]


def test_the_dictionary_names_every_column_of_every_table() -> None:
    said = list(csv.DictReader(io.StringIO(dictionary().decode())))
    assert {(one["table"], one["column"]) for one in said} == {
        (table.name, column) for table in TABLES for column, _, _ in table.head
    }
    assert all(one["column_is"] and one["holds"] for one in said)

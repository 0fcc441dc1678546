"""The diary as tables: read back with another library they say what was typed."""

import csv
import io
import typing
from datetime import UTC, date, datetime

import numpy as np
import polars as pl
import pytest

from turnrow.records.tables import TABLES, as_csv, as_parquet, dictionary
from turnrow.yard import blocks, entries, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Entry, Line, What
from turnrow.yard.readings import Readings

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


def test_every_kind_of_entry_has_a_table_and_every_field_of_it_a_column() -> None:
    """By the union of kinds itself: a new kind without a table, or a new field without a column, fails here.

    Fields that make rows of their own (parts, sources, readings ...) have their columns under other names.
    """
    spread = {
        *("parts", "sources", "readings", "results", "advice"),
        *("up", "control_up", "weights", "control_weights"),
    }
    for kind in typing.get_args(What):
        tables = [table for table in TABLES if table.kind is kind]
        assert tables, f"{kind.__name__} has no table"
        columns = {name for table in tables for name, _, _ in table.columns}
        columns |= {"line"} if kind is entries.Struck else set()  # struck_line: "line" is its own
        missing = set(kind.__struct_fields__) - columns - spread
        assert not missing, f"{kind.__name__}: {missing}"


def test_every_reading_of_a_logger_is_a_row(packed: bytes) -> None:
    """A block of three readings: two in F, one without a depth, one of a day only."""
    name = blocks.name_of(packed)
    logged = entries.LoggerBlock(row="R7", blob=name, count=3, first=WHEN, last=WHEN, probe="P1")
    said = [entries.YardLaidOut(name="A", zone="Europe/Dublin"), logged]
    lines = [
        Line(n, WHEN, "", Entry(id=f"e{n}", happened=WHEN, who="Ana", what=what))
        for n, what in enumerate(said, 1)
    ]
    diary = Diary({name: packed}.__getitem__, lines)
    found = rows("logger_readings", diary)
    assert [one["at"] for one in found] == [
        "2026-05-03T08:40:00+01:00",  # Irish summer time is an hour ahead of UTC
        "2026-05-03T09:40:00+01:00",
        "2026-05-04",
    ]
    assert [(one["value"], one["value_unit"], one["depth_mm"]) for one in found] == [
        ("131", "F", "900"),
        ("130.8", "F", ""),
        ("55", "C", "900"),
    ]
    assert [one["station"] for one in found] == ["1", "2", "2"] and found[0]["probe"] == "P1"
    frame = pl.read_parquet(io.BytesIO(as_parquet(BY_NAME["logger_readings"], diary)))
    assert frame["value"].to_list() == [131.0, 130.8, 55.0]


@pytest.fixture
def packed() -> bytes:
    at = int(WHEN.timestamp())
    return blocks.pack(
        Readings(
            at=np.array([at, at + 3600, at + 86400], np.int64),
            day=np.zeros(3, np.int32),
            station=np.array([0, 1, 1], np.int32),
            depth=np.array([900, -1, 900], np.int32),
            value=np.array([131_000_000, 130_800_000, 55_000_000], np.int64),
            unit=np.array([1, 1, 0], np.int8),
            timed=np.array([True, True, False]),
            line=np.zeros(3, np.int32),
            item=np.arange(1, 4, dtype=np.int32),
            stations=("1", "2"),
        )
    )

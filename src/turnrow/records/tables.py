"""The whole diary as tables: one a kind of thing, every figure beside its line, with a data dictionary.

Figures stand as typed, number and unit in two columns, so nothing is turned into another unit. In CSV a
number is its own text; in Parquet it is a float64 of it. Struck lines stay in, marked.
"""

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any

import polars as pl

from turnrow.records.row_csv import guarded
from turnrow.records.table import COMMON, LOT, MOIST, ROW, A, Cell, T, Table, W, Y, one_row
from turnrow.records.tables_yard import MORE
from turnrow.yard import entries, evidence, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Line
from turnrow.yard.numbers import MICRO, plain


def _read(what: entries.Round, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    for one in what.readings:
        deep = None if one.depth_mm < 0 else one.depth_mm
        yield (
            what.row,
            one.station,
            deep,
            Amount(one.value, what.unit),
            what.probe,
            one.station in what.confirmed,
        )


def _parts(what: entries.RowBuilt, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    for part in what.parts:
        yield what.row, part.material, part.amount, part.load, part.lot


def _shares(what: goods.LotMade, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    for one in what.sources:
        yield what.lot, one.load, one.row, one.lot, one.amount, one.moisture


def _screened(what: goods.Screened, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    for one in what.sources:
        yield what.fines, what.overs, one.row, one.lot, one.load, one.amount, one.moisture


def _found(what: goods.LabResult, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    thing = (what.sample, what.lot, what.row, what.load, what.material)
    day = what.sampled.isoformat() if what.sampled else ""
    for one in what.results:
        sign = "below" if one.below else "above" if one.above else ""
        yield (*thing, day, what.lab, what.report, one.analyte, sign, one.amount, one.basis, one.method)


def _pots(what: goods.GrowthTest, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    thing = (what.sample, what.lot, what.row, what.plant, what.sown, what.grown)
    pots = (("compost", what.up, what.weights), ("control", what.control_up, what.control_weights))
    for in_, ups, masses in pots:
        for pot, up in enumerate(ups, start=1):
            yield (*thing, in_, pot, up, masses[pot - 1] if masses else None, what.leaves)


TABLES: tuple[Table, ...] = (
    Table("loads_in", "Loads that came in", entries.LoadIn, (
        ("load", T, "the load's name"), ("material", T, "what it is"), ("amount", A, "wet, as it came"),
        ("how", T, "weighed, counted or judged"), ("came_from", T, "where from"),
        ("refused", T, "why it was sent away; empty: taken"),
    ), one_row("load", "material", "amount", "how", "came_from", "refused")),
    Table("rows_built", "Rows as built", entries.RowBuilt, (
        ROW, ("length", A, "along the row"), ("width", A, "of the foot"), ("height", A, "of the crest"),
        ("volume", A, "of the row"), ("stations", T, "marked places"), ("strip", T, "where it stands"),
        ("process", T, "turned, static, slow or worm"), ("raw", Y, "holds material not proven hot"),
    ), one_row("row", "length", "width", "height", "volume", "stations", "strip", "process", "raw")),
    Table("row_parts", "What rows were built of", entries.RowBuilt, (
        ROW, ("material", T, "what it is"), ("amount", A, "wet, as laid"), ("load", T, "of which load"),
        ("of_lot", T, "of which lot, where overs went back in"),
    ), _parts),
    Table("readings", "Readings of rounds; those of loggers are in logger_readings", entries.Round, (
        ROW, ("station", T, "the place along the row"), ("depth_mm", W, "along the probe; empty: not said"),
        ("value", A, "temperature as typed"), ("probe", T, "which probe"),
        ("confirmed", Y, "a surprising number read again"),
    ), _read),
    Table("turns", "Turns", entries.Turned, (
        ROW, ("passes", W, "of the machine"), ("machine", T, "which"), ("water", A, "given in the same pass"),
    ), one_row("row", "passes", "machine", "water")),
    Table("waterings", "Waterings", entries.Watered, (ROW, ("water", A, "given")), one_row("row", "water")),
    Table("measured", "Hand measurements", entries.Measured, (
        ROW, ("quantity", T, "what was measured"), ("amount", A, "how much"), ("station", T, "where"),
        ("how", T, "by what means"), ("depth_mm", W, "along the probe; -1: not said"),
    ), one_row("row", "quantity", "amount", "station", "how", "depth_mm")),
    Table("lots", "What lots were made of", goods.LotMade, (
        LOT, ("of_load", T, "a load it took of"), ("of_row", T, "a row it took of"),
        ("of_lot", T, "a lot it took of"), ("amount", A, "taken; empty: all that was left"), MOIST,
    ), _shares),
    Table("screened", "Screenings", goods.Screened, (
        ("fines", T, "lot of what passed"), ("overs", T, "lot of what did not"), ("of_row", T, "a row taken"),
        ("of_lot", T, "a lot screened"), ("of_load", T, "a load screened"), ("amount", A, "taken"), MOIST,
    ), _screened),
    Table("weights", "Weights and surveys", goods.Weighed, (
        ("load", T, "of a load"), ("row", T, "of a row"), ("lot", T, "of a lot"), ("amount", A, "it held"),
        MOIST, ("how", T, "scale, survey, buckets or judged"), ("ticket", T, "of the scale"),
    ), one_row("load", "row", "lot", "amount", "moisture", "how", "ticket")),
    Table("lab_results", "Lab results, a figure a row", goods.LabResult, (
        ("sample", T, "its label"), LOT, ROW, ("load", T, "of a load"), ("material", T, "or material"),
        ("sampled", T, "the day it was taken"), ("lab", T, "which lab"), ("report", T, "its number"),
        ("analyte", T, "what was found"), ("sign", T, "below what can be seen, above what can be counted"),
        ("amount", A, "as the lab wrote it"), ("basis", T, "what its mass is of"), ("method", T, "as told"),
    ), _found),
    Table("growth_tests", "Growth tests, a pot a row", goods.GrowthTest, (
        ("sample", T, "its label"), LOT, ROW, ("plant", T, "what was sown"), ("sown", W, "seeds in a pot"),
        ("grown", W, "days from sowing to counting"), ("in", T, "compost or control"), ("pot", W, "from 1"),
        ("up", W, "seedlings that came up"), ("weight", A, "of its tops"), ("leaves", T, "as they were seen"),
    ), _pots),
    Table("releases", "Releases", goods.Released, (
        LOT, ("name", T, "who released it"), ("how", T, "proven, or treated as raw"), ("rule", T, "its rule"),
        ("verdict", T, "its standing then"), ("upto", W, "the last line read"), ("limits", T, "of use"),
        ("remark", T, "of who released it"),
    ), one_row("lot", "name", "how", "rule", "verdict", "upto", "limits", "remark")),
    Table("recalls", "Lots called back", goods.Recalled, (
        LOT, ("reason", T, "why"), ("told", T, "customers told"),
    ), one_row("lot", "reason", "told")),
    Table("loads_out", "Loads that left", goods.LoadOut, (
        ("ticket", T, "its number"), LOT, ("amount", A, "wet, as it left"), ("customer", T, "who took it"),
        ("product", T, "sold as"), ("order", T, "which order"), ("bags", W, "0: loose"), MOIST,
        ("unreleased", T, "why it left although the lot was not released"),
        ("all", Y, "all that lay there by the ledger, not weighed"), ("vehicle", T, "it left on"),
        ("price", A, "where it is not the list's"),
    ), one_row("ticket", "lot", "amount", "customer", "product", "order", "bags", "moisture", "unreleased",
            "all", "vehicle", "price")),
    Table("loads_back", "Loads that came back", goods.LoadBack, (
        ("ticket", T, "it left with"), ("amount", A, "that came back"), ("reason", T, "why"),
    ), one_row("ticket", "amount", "reason")),
    Table("costs", "Work and goods used", goods.Spent, (
        ("cost", T, "its kind"), ("amount", A, "used"), ("money", A, "where it was written"), ROW, LOT,
        ("what", T, "which machine or lab"), ("task", T, "what for"),
    ), one_row("cost", "amount", "money", "row", "lot", "what", "task")),
    Table("weather", "Weather written down", entries.Weather, (
        ("air", A, "temperature"), ("rain", A, "since the line before"), ("wind", A, "speed"),
        ("wind_from", T, "where it blew from"),
    ), one_row("air", "rain", "wind", "wind_from")),
    Table("complaints", "Complaints", entries.Complaint, (
        ("nature", T, "of what"), ("by", T, "by whom"), ("wind", T, "then"), ("done", T, "what was done"),
    ), one_row("nature", "by", "wind", "done")),
    Table("certifications", "Statements signed for lots", evidence.Certified, (
        LOT, ("name", T, "who signed"), ("clause", T, "that asks it"), ("words", T, "that were signed"),
    ), one_row("lot", "name", "clause", "words")),
    Table("certificates", "Certificates of compost bought in", evidence.Certificate, (
        ("load", T, "of this load"), ("material", T, "or of all of this material"), ("issuer", T, "of it"),
        ("number", T, "its number"), ("issued", T, "on which day"), ("until", T, "the last day it holds"),
        ("words", T, "what it vouches for"),
    ), one_row("load", "material", "issuer", "number", "issued", "until", "words")),
    Table("training", "Training", evidence.Trained, (
        ("name", T, "who was trained"), ("short", T, "as the diary names them"), ("subject", T, "in what"),
        ("by", T, "by whom"), ("until", T, "the last day it holds"),
    ), one_row("name", "short", "subject", "by", "until")),
    Table("cleanings", "Machines and places cleaned", evidence.Cleaned, (
        ("what", T, "was cleaned"), ("after", T, "what it had touched"),
        ("before", T, "what it was to touch"), ("how", T, "it was done"),
    ), one_row("what", "after", "before", "how")),
    Table("spread", "What was spread on fields", evidence.Spread, (
        LOT, ("ticket", T, "of its load out"), ("field", T, "which"), ("amount", A, "wet, as spread"),
        ("worked_in", T, "into the soil, on which day"), ("crop", T, "that follows"),
        ("harvest", T, "on which day"), ("touches_soil", Y, "what is eaten touches soil or its splash"),
    ), one_row("lot", "ticket", "field", "amount", "worked_in", "crop", "harvest", "touches_soil")),
    Table("incidents", "Incidents", entries.Incident, (
        ("what", T, "what happened"), ROW, ("done", T, "what was done"),
        ("danger", T, "as chosen; empty: not said"),
    ), one_row("what", "row", "done", "danger")),
    *MORE,
)  # fmt: skip


def filled(table: Table, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    """The table's rows in the order of the diary; amounts still whole."""
    for line, what in diary.each(table.kind):
        common = _common(line, diary)
        for row in table.rows(what, diary):
            yield (*common, *row)


def _common(line: Line, diary: Diary) -> tuple[Cell, ...]:
    entry = line.entry
    return line.number, entry.happened.isoformat(), entry.day_only, entry.who, diary.is_struck(line.number)


def as_csv(table: Table, diary: Diary) -> bytes:
    """RFC 4180, UTF-8, one header line; words a spreadsheet would run are guarded (see `row_csv`)."""
    return _csv([name for name, _, _ in table.head], (_texts(row, table) for row in filled(table, diary)))


def as_parquet(table: Table, diary: Diary) -> bytes:
    """The same rows as Parquet; the same diary gives the same bytes."""
    columns: list[list[Any]] = [[] for _ in table.head]
    for row in filled(table, diary):
        for place, cell in enumerate(_spread(row, table)):
            columns[place].append(cell)
    kinds = {"whole number": pl.Int64, "yes or no": pl.Boolean, "number": pl.Float64}
    frame = pl.DataFrame(
        [
            pl.Series(name, values, dtype=kinds.get(holds, pl.String))
            for (name, holds, _), values in zip(table.head, columns, strict=True)
        ]
    )
    made = io.BytesIO()
    frame.write_parquet(made, compression="zstd", statistics=False)
    return made.getvalue()


def dictionary() -> bytes:
    """What every column of every table is, as CSV."""
    rows = [
        (table.name, table.words, name, holds, words) for table in TABLES for name, holds, words in table.head
    ]
    return _csv(["table", "table_is", "column", "holds", "column_is"], rows)


def _spread(row: tuple[Cell, ...], table: Table) -> Iterator[Any]:
    """A row's cells, an amount as number and unit."""
    holds = [*("" for _ in COMMON), *(holds for _, holds, _ in table.columns)]
    for cell, kind in zip(row, holds, strict=True):
        if kind == "amount":
            yield cell.value / MICRO if isinstance(cell, Amount) else None
            yield cell.unit if isinstance(cell, Amount) else None
        else:
            yield cell


def _texts(row: tuple[Cell, ...], table: Table) -> Iterator[str]:
    holds = [*("" for _ in COMMON), *(holds for _, holds, _ in table.columns)]
    for cell, kind in zip(row, holds, strict=True):
        if kind == "amount":
            yield plain(cell.value) if isinstance(cell, Amount) else ""
            yield cell.unit if isinstance(cell, Amount) else ""
        elif isinstance(cell, bool):
            yield "yes" if cell else "no"
        elif isinstance(cell, str):
            yield guarded(cell)
        else:
            yield "" if cell is None else str(cell)


def _csv(head: Iterable[str], rows: Iterable[Iterable[str]]) -> bytes:
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(head)
    writer.writerows(rows)
    return made.getvalue().encode()

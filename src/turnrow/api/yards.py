"""A yard's book, open for looking: its rows, lots, readings and every table of the diary."""

from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any

import polars as pl

from turnrow.api.readings import frame_of
from turnrow.api.shown import html
from turnrow.foreman import in_stock
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.records.tables import TABLES, as_parquet
from turnrow.records.verdict import words
from turnrow.yard import days
from turnrow.yard.wrongs import refuse


class Yard:
    """A yard's book, read and never written; a context manager, which closes it.

    Raises Refused for a file that is no book, DamagedJournal for one that does not hold.
    """

    def __init__(self, path: Path | str) -> None:
        self._book = Book.open(str(path))
        self._desk = Desk(self._book)

    def __enter__(self) -> "Yard":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, wrong: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self._book.close()

    @property
    def name(self) -> str:
        return self._desk.diary.yard.name

    @property
    def rows(self) -> pl.DataFrame:
        """A polars frame, a row a line: row, process, built (date), readings, last_read (ISO 8601), turns,
        rule, verdict (PASS, FAIL, NOT_PROVEN, REVIEW, IN_PROGRESS), word, merged_into, became (the lot)."""
        return pl.DataFrame([self._row(name) for name in self._desk.diary.rows], schema=_ROWS)

    def _row(self, name: str) -> dict[str, Any]:
        history, found = self._desk.diary.history(name), self._desk.standing(name).standing
        built = history.built
        newest = int(history.readings.at.max()) if len(history.readings) else None
        return {
            "row": name,
            "process": built[1].process if built else None,
            "built": days.moment(built[0].at, history.zone).date() if built else None,
            "readings": len(history.readings),
            "last_read": None if newest is None else days.moment(newest, history.zone).isoformat(),
            "turns": len(history.turns),
            "rule": found.rule or None,
            "verdict": found.state if found.rule else None,
            "word": words(found)[0],
            "merged_into": history.merged_into[1] if history.merged_into else None,
            "became": history.lifted[1] if history.lifted else None,
        }

    @property
    def lots(self) -> pl.DataFrame:
        """A polars frame of the lots that hold something: lot, material, tonnes (null: not known), off_t (how
        far that may be off), moisture_pct (wet basis), volume_m3, released ("": not yet), stopped (why)."""
        held = in_stock.stock(self._desk, datetime.now(UTC))
        lots = [
            {
                "lot": one.lot,
                "material": one.material,
                "tonnes": one.wet_t,
                "off_t": one.off_t,
                "moisture_pct": None if one.moisture is None else 100.0 * one.moisture,
                "volume_m3": one.volume_m3,
                "released": one.out,
                "stopped": one.stopped,
            }
            for one in held
        ]
        return pl.DataFrame(lots, schema=_LOTS)

    @property
    def readings(self) -> pl.DataFrame:
        """Every temperature in force, of rounds and loggers: row, and the columns of `Readings.frame`."""
        every = []
        for name in self._desk.diary.rows:
            history = self._desk.diary.history(name)
            if len(history.readings):
                frame = frame_of(history.readings, history.zone)
                every.append(frame.select(pl.lit(name).alias("row"), pl.all()))
        return pl.concat(every) if every else pl.DataFrame()

    @property
    def tables(self) -> dict[str, str]:
        """Names of the diary's tables, and what each holds."""
        return {one.name: one.words for one in TABLES}

    def table(self, name: str) -> pl.DataFrame:
        """One table of the diary as a polars frame, its struck lines too; Refused where there is none of
        that name."""
        for one in TABLES:
            if one.name == name:
                return pl.read_parquet(as_parquet(one, self._desk.diary))
        raise refuse("table", name, f"Give one of {', '.join(self.tables)}.")

    def _repr_html_(self) -> str:
        return html(self.name) + self.rows._repr_html_()


_ROWS = {
    "row": pl.String,
    "process": pl.String,
    "built": pl.Date,
    "readings": pl.Int64,
    "last_read": pl.String,
    "turns": pl.Int64,
    "rule": pl.String,
    "verdict": pl.String,
    "word": pl.String,
    "merged_into": pl.String,
    "became": pl.String,
}
_LOTS = {
    "lot": pl.String,
    "material": pl.String,
    "tonnes": pl.Float64,
    "off_t": pl.Float64,
    "moisture_pct": pl.Float64,
    "volume_m3": pl.Float64,
    "released": pl.String,
    "stopped": pl.String,
}


def open_yard(path: Path | str) -> Yard:
    """Open a yard's book for looking; see `Yard`."""
    return Yard(path)

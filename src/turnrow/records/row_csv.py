"""A row's readings and days as CSV: RFC 4180, UTF-8, one header line, CRLF at each line's end.

A spreadsheet takes a cell that begins with = + - @ (or a tab or return) for a formula. Such a cell
of *words* (never a number) is written with one apostrophe before it; so is one that begins with an
apostrophe, which keeps it lossless: whoever reads the file back takes one leading apostrophe off.
Numbers are written bare, since a minus sign before digits is a number.
"""

import csv
import io
from collections.abc import Iterable, Sequence

from turnrow.records.daily import daily
from turnrow.records.row_paper import RowPaper
from turnrow.records.row_readings import RowReadings
from turnrow.yard.days import date_text

READING_HEAD = (
    *("at", "day", "station", "depth_cm", "value", "unit"),
    *("line", "item", "who", "device", "suspect", "counted"),
)
DAY_HEAD = (
    *("day", "station", "coldest", "coldest_unit", "coldest_line", "coldest_item"),
    *("hottest", "hottest_unit", "hottest_line", "hottest_item", "readings", "day_hot"),
)
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "'", "＝", "＋", "－", "＠")


def guarded(text: str) -> str:
    """Words a spreadsheet will not take for a formula."""
    return f"'{text}" if text.startswith(STARTS) else text


def row_csv(paper: RowPaper) -> bytes:
    """Every reading in force under READING_HEAD, in the order they happened."""
    rows = (
        (
            each.at,
            each.day,
            guarded(each.station),
            each.depth_cm,
            each.value,
            each.unit,
            each.line,
            each.item,
            guarded(each.who),
            guarded(each.device),
            guarded(each.suspect),
            "yes" if each.counted else "no",
        )
        for each in RowReadings(paper).every()
    )
    return _written(READING_HEAD, rows)


def days_csv(paper: RowPaper) -> bytes:
    """Coldest and hottest of each station and day under DAY_HEAD; a day not read stands with 0 readings.

    day_hot: yes, no, not known; empty where the standing has no table of days.
    """
    listed = RowReadings(paper)
    table = daily(listed.readings, paper.history.stations)
    stood = paper.standing.standing.table
    hot = {} if stood is None else dict(zip(stood.day.tolist(), stood.hot.tolist(), strict=True))
    said = {1: "yes", 0: "no", -1: "not known"}
    rows = []
    for place, day in enumerate(table.day.tolist()):
        for code, name in enumerate(table.stations):
            cells: list[object] = [date_text(day), guarded(name)]
            for index in (int(table.coldest[place, code]), int(table.hottest[place, code])):
                one = listed.one(index) if index >= 0 else None
                cells += [one.value, one.unit, one.line, one.item] if one else ["", "", "", ""]
            cells += [int(table.count[place, code]), said[hot[day]] if day in hot else ""]
            rows.append(cells)
    return _written(DAY_HEAD, rows)


def _written(head: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")

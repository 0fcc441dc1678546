"""The table of coldest readings: days down, stations across, each as typed with its line."""

from msgspec import Struct

from turnrow.records.daily import Daily, daily
from turnrow.records.row_picture import long_date, station_words
from turnrow.records.row_readings import RowReadings
from turnrow.sanitation.standing import Standing
from turnrow.yard.days import short_date

ACROSS = 8  # stations side by side; more go into a further table
FOLD = 3
ACROSS_LONG = 6  # where each cell also names the hottest
HOT = {1: "hot", 0: "not hot", -1: "not known"}


class Cell(Struct, frozen=True):
    value: str  # as typed; empty: not read
    where: str  # line.item
    more: str  # hottest and how many, in a long log
    suspect: bool


class GridRow(Struct, frozen=True):
    day: str
    hot: str
    cells: tuple[Cell, ...]


class Grid(Struct, frozen=True):
    """Up to ACROSS stations; `unit` where all readings share one, else each cell names its own."""

    heading: str
    stations: tuple[str, ...]
    rows: tuple[GridRow, ...]


def grids(listed: RowReadings, standing: Standing, *, with_hottest: bool) -> tuple[Grid, ...]:
    """The table, split by stations so that it fits a page's width."""
    table = daily(listed.readings, listed.paper.history.stations)
    if not len(table.day):
        return ()
    hot = {}
    if standing.table is not None:
        hot = dict(zip(standing.table.day.tolist(), standing.table.hot.tolist(), strict=True))
    units = (
        sorted({listed.readings.unit_of(i) for i in range(len(listed.readings))})
        if len(listed.readings)
        else []
    )
    one_unit = units[0] if len(units) == 1 else ""
    found = []
    across = ACROSS_LONG if with_hottest else ACROSS
    for start in range(0, len(table.stations), across):
        names = table.stations[start : start + across]
        said = "Coldest reading of each day" + (
            f", {'K' if one_unit == 'K' else '°' + one_unit}" if one_unit else ""
        )
        if len(table.stations) > across:
            said += f"; {station_words(names[0])} to {station_words(names[-1])}"
        rows = []
        for place, day in enumerate(table.day.tolist()):
            cells = tuple(
                _cell(listed, table, place, start + code, one_unit, with_hottest)
                for code in range(len(names))
            )
            first = place == 0 or short_date(day).startswith("1 ")
            rows.append(
                GridRow(long_date(day) if first else short_date(day), HOT.get(hot.get(day, 9), ""), cells)
            )
        found.append(Grid(said, tuple(station_words(name) for name in names), _folded(rows, table)))
    return tuple(found)


def _folded(rows: list[GridRow], table: Daily) -> tuple[GridRow, ...]:
    """FOLD or more days in a row on which no station at all was read, as one line that names both ends."""
    unread = (table.count.sum(axis=1) == 0).tolist()
    kept: list[GridRow] = []
    at = 0
    while at < len(rows):
        end = at
        while end < len(rows) and unread[end] and rows[end].hot == rows[at].hot:
            end += 1
        if end - at >= FOLD:
            kept.append(GridRow(f"{rows[at].day} to {rows[end - 1].day}", rows[at].hot, rows[at].cells))
            at = end
        else:
            kept.append(rows[at])
            at += 1
    return tuple(kept)


def _cell(
    listed: RowReadings, table: Daily, place: int, code: int, one_unit: str, with_hottest: bool
) -> Cell:
    index = int(table.coldest[place, code])
    if index < 0:
        return Cell("", "", "", False)
    low, high = listed.one(index), listed.one(int(table.hottest[place, code]))
    tail = "" if one_unit else ("K" if low.unit == "K" else f"°{low.unit}")
    more = ""
    if with_hottest and table.count[place, code] > 1:
        more = f"to {high.value} ({high.line}.{high.item}), {int(table.count[place, code])} read"
    return Cell(f"{low.value}{tail}", f"{low.line}.{low.item}", more, bool(low.suspect))

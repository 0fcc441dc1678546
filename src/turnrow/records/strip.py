"""The row as one picture: stations down, days across, each cell the station's coldest reading of the day.

Colour is temperature; nothing is said by colour alone: cells carry their figure, unread cells are
hatched, suspect ones have a notched corner, days proven hot a bar beneath, and the run a bracket
with words. A long row folds into bands of weeks; one too long or too wide for figures keeps a cell
a day and gives each station's extremes in figures, so that no hot or cold day is lost.
"""

from collections.abc import Iterator

import numpy as np

from turnrow.records import pen
from turnrow.records.cividis import COLDEST_C, HOTTEST_C, Colour, colour, colour_of_heat, figure_on, web
from turnrow.records.pen import Label, n
from turnrow.records.row_picture import RowPicture, long_date, run_words, station_words
from turnrow.yard.days import date_text, short_date
from turnrow.yard.temperature import NINTH

WIDTH = 960.0
WIDEST_CELL = 38.0
LEAST_FIGURED = 24.0  # a cell narrower than this carries no figure
FIGURED_ROWS = 36  # stations times bands that may carry figures
THIN_DAYS = 400  # days in one band without figures
RIGHT = 84.0  # room for the extremes, in a picture without figures


class _Plan:
    """Where everything stands: days folded into bands, sizes of cells."""

    def __init__(self, drawn: RowPicture, width: float) -> None:
        self.stations = drawn.daily.stations
        self.width = width
        first, last = drawn.span or (0, -1)
        count = last - first + 1
        longest = max((pen.width_of(station_words(name)) for name in self.stations), default=40.0)
        self.left = min(max(longest, 60.0), 130.0) + 10
        room = width - self.left - 4
        fit = int(room // LEAST_FIGURED)
        bands = max(1, -(-count // fit))
        most = 4 if width >= WIDTH / 2 else 8  # a phone's picture is tall rather than wide
        self.figures = bands <= most and bands * len(self.stations) <= FIGURED_ROWS
        if self.figures:
            per = fit if bands == 1 else max(7, fit // 7 * 7)
        else:
            room -= RIGHT
            per = THIN_DAYS
        self.bands = [(a, min(a + per - 1, last)) for a in range(first, last + 1, per)]
        self.cell = min(WIDEST_CELL, room / max(1, min(per, count)))
        rows = len(self.stations)
        self.height = 26.0 if rows <= 8 else 20.0 if rows <= 16 else 15.0

    def x(self, band: tuple[int, int], day: int) -> float:
        return self.left + (day - band[0]) * self.cell


def heat_strip(drawn: RowPicture, width: float = WIDTH) -> str:
    """The picture as SVG text, `width` px wide; the same input gives the same text."""
    if drawn.span is None or not drawn.daily.stations:
        said = strip_words(drawn)
        return pen.picture(width, 40, "strip", said, [pen.words(0, 24, said)])
    plan = _Plan(drawn, width)
    parts: list[str] = []
    top = 16.0
    for band in plan.bands:
        top = _band(drawn, plan, band, top, parts) + 22
    bottom = _key(drawn, plan, top - 6, parts)
    return pen.picture(width, bottom, "strip", strip_words(drawn), parts)


def _band(drawn: RowPicture, plan: _Plan, band: tuple[int, int], top: float, parts: list[str]) -> float:
    """One band of days from `top`; returns where it ends."""
    right = plan.x(band, band[1] + 1)
    parts += [pen.words(x, top, said, anchor="start") for x, said in _dates(plan, band)]
    y = top + 7
    for code, name in enumerate(plan.stations):
        label = pen.short(station_words(name), plan.left - 10)
        parts.append(pen.words(plan.left - 8, y + plan.height / 2 + 4, label, anchor="end"))
        _row(drawn, plan, band, code, y, parts)
        if not plan.figures:
            said = _extremes(drawn, band, code)
            parts.append(pen.words(right + 8, y + plan.height / 2 + 4, said))
        y += plan.height
    below = _hot_bars(drawn, plan, band, y + 4, parts)
    labels = []
    for mark in drawn.marks:
        if band[0] <= mark.day <= band[1]:
            x = plan.x(band, mark.day + 1)
            parts.append(pen.line(x, top + 3, x, below + 3, 1.8))
            labels.append(Label(x, mark.words))
    deepest = -1
    for tier, x, said in pen.tiers(labels, 0, plan.width):
        parts.append(pen.words(x, below + 15 + tier * 14, said, anchor="middle"))
        deepest = max(deepest, tier)
    below += 8 + (deepest + 1) * 14
    return _bracket(drawn, plan, band, below, parts)


def _row(
    drawn: RowPicture, plan: _Plan, band: tuple[int, int], code: int, y: float, parts: list[str]
) -> None:
    """One station's cells; neighbours alike are drawn as one where no figure stands in them."""
    for first, last, index in _alike(drawn, plan, band, code):
        x, wide = plan.x(band, first), (last - first + 1) * plan.cell
        if index < 0:
            parts.append(pen.hatch(x, y, wide - 1, plan.height - 1))
            continue
        heat = int(drawn.readings.heat[index])
        ground = colour_of_heat(heat)
        parts.append(_box(x, y, wide, plan, ground))
        if plan.figures:
            middle = x + (plan.cell - 1) / 2
            parts.append(
                pen.words(
                    middle,
                    y + plan.height / 2 + 3.5,
                    drawn.whole(heat),
                    anchor="middle",
                    fill=figure_on(ground),
                )
            )
    for day in range(band[0], band[1] + 1):
        if (day, code) in drawn.suspect_cells:
            parts.append(_notch(plan.x(band, day + 1) - 1, y, min(7.0, plan.cell)))


def _box(x: float, y: float, wide: float, plan: _Plan, ground: Colour) -> str:
    """A cell's ground; both edges rounded alike, so that neighbours without figures leave no slit."""
    left, right = round(x, 1), round(x + wide, 1)
    room = right - left - (1.0 if plan.figures else -0.1)
    return (
        f'<rect x="{n(left)}" y="{n(y)}" width="{n(room)}" height="{n(plan.height - 1)}" '
        f'fill="{web(ground)}"/>'
    )


def _alike(
    drawn: RowPicture, plan: _Plan, band: tuple[int, int], code: int
) -> Iterator[tuple[int, int, int]]:
    """First day, last day and a reading's index of cells drawn as one; index -1: unread."""
    start, index, shade = band[0], drawn.cell(band[0], code), ""
    shade = _shade(drawn, plan, index, band[0])
    for day in range(band[0] + 1, band[1] + 1):
        here = drawn.cell(day, code)
        if _shade(drawn, plan, here, day) != shade:
            yield start, day - 1, index
            start, index, shade = day, here, _shade(drawn, plan, here, day)
    yield start, band[1], index


def _shade(drawn: RowPicture, plan: _Plan, index: int, day: int) -> str:
    if index < 0:
        return "unread"
    return str(day) if plan.figures else web(colour_of_heat(int(drawn.readings.heat[index])))


def _notch(right: float, y: float, size: float) -> str:
    """A corner cut out of a suspect cell: black with a white edge, so that it shows on any colour."""
    return (
        f'<path class="suspect" d="M{n(right - size)} {n(y)}L{n(right)} {n(y)}L{n(right)} {n(y + size)}Z" '
        'fill="#000" stroke="#fff" stroke-width="0.8"/>'
    )


def _dates(plan: _Plan, band: tuple[int, int]) -> list[tuple[float, str]]:
    """Dates over the columns: the day of the month, with the month where it begins; never touching."""
    found: list[tuple[float, str]] = []
    end = -1e9
    step = next(s for s in (1, 2, 7, 14, 28, 10_000) if s * plan.cell >= 30)
    for day in range(band[0], band[1] + 1):
        said = short_date(day)
        begins = day == band[0] or said.startswith("1 ")
        if not begins and ((day - band[0]) % step or plan.cell < 8):
            continue
        x = plan.x(band, day)
        text = said if begins else said.split()[0]
        if x < end + 6:
            continue
        found.append((x + 1, text))
        end = x + pen.width_of(text)
    return found


def _extremes(drawn: RowPicture, band: tuple[int, int], code: int) -> str:
    """The lowest and highest reading of a station within a band, in figures."""
    table = drawn.daily
    rows = np.flatnonzero((table.day >= band[0]) & (table.day <= band[1]) & (table.count[:, code] > 0))
    if not len(rows):
        return "not read"
    low = int(drawn.readings.heat[table.coldest[rows, code]].min())
    high = int(drawn.readings.heat[table.hottest[rows, code]].max())
    return f"{drawn.whole(low)} to {drawn.whole(high)} {drawn.sign}"


def _hot_bars(drawn: RowPicture, plan: _Plan, band: tuple[int, int], y: float, parts: list[str]) -> float:
    """A bar beneath each day proven hot; returns where the rest may begin."""
    if not drawn.hot:
        return y
    parts.append(pen.words(plan.left - 8, y + 6, "proven hot", anchor="end"))
    for first, last in _together([d for d in range(band[0], band[1] + 1) if drawn.hot.get(d) == 1]):
        x, wide = plan.x(band, first), (last - first + 1) * plan.cell - 1
        parts.append(f'<rect class="hot" x="{n(x)}" y="{n(y)}" width="{n(wide)}" height="4"/>')
    return y + 6


def _together(days: list[int]) -> list[tuple[int, int]]:
    """First and last of each run of following days."""
    found: list[tuple[int, int]] = []
    for day in days:
        found = (
            [*found[:-1], (found[-1][0], day)] if found and day == found[-1][1] + 1 else [*found, (day, day)]
        )
    return found


def _bracket(drawn: RowPicture, plan: _Plan, band: tuple[int, int], y: float, parts: list[str]) -> float:
    """The run's bracket where it crosses this band; its words stand on its longest part."""
    standing = drawn.standing
    if standing is None or standing.run is None:
        return y
    pieces = [(max(a, standing.run[0]), min(b, standing.run[1])) for a, b in plan.bands]
    lengths = [b - a for a, b in pieces]
    here = pieces[plan.bands.index(band)]
    if here[0] > here[1]:
        return y
    left, right = plan.x(band, here[0]) + 1, plan.x(band, here[1] + 1) - 2
    start = f"M{n(left)} {n(y + 4)}V{n(y + 12)}" if here[0] == standing.run[0] else f"M{n(left)} {n(y + 12)}"
    end = f"H{n(right)}" + (f"V{n(y + 4)}" if here[1] == standing.run[1] else "")
    parts.append(pen.path(start + end, 1.5, "run"))
    if plan.bands.index(band) != lengths.index(max(lengths)):
        return y + 16
    said = run_words(standing)
    lines = [said] if pen.width_of(said) <= plan.width else said.split("; ")
    for number, text in enumerate(lines):
        half = pen.width_of(text) / 2
        middle = min(max((left + right) / 2, half), max(plan.width - half, half))
        parts.append(pen.words(middle, y + 26 + number * 14, text, anchor="middle"))
    return y + 16 + len(lines) * 14


def _key(drawn: RowPicture, plan: _Plan, y: float, parts: list[str]) -> float:
    """The scale with the limit named on it, and what the shapes mean, where they occur."""
    x, wide, pieces = plan.left, min(200.0, plan.width - plan.left - 46), 25
    for piece in range(pieces):
        shade = web(colour((piece + 0.5) / pieces))
        parts.append(
            f'<rect x="{n(x + piece * wide / pieces)}" y="{n(y)}" width="{n(wide / pieces + 0.3)}" '
            f'height="8" fill="{shade}"/>'
        )
    low, high = COLDEST_C * NINTH, HOTTEST_C * NINTH
    parts.append(pen.words(x - 6, y + 8, drawn.whole(low), anchor="end"))
    parts.append(pen.words(x + wide + 6, y + 8, f"{drawn.whole(high)} {drawn.sign}"))
    bottom = y + 12
    if drawn.limits:
        limit = drawn.limits[0]
        place = x + wide * min(max((limit.heat - low) / (high - low), 0.0), 1.0)
        parts.append(pen.line(place, y - 2, place, y + 13, 1.8))
        room = plan.width - x
        parts.append(pen.words(x, y + 26, pen.short(f"limit: {limit.words}", room)))
        bottom = y + 32
    said = [f"figures: the day's coldest {drawn.sign}, rounded down"] if plan.figures else []
    if any(
        drawn.cell(day, s) < 0
        for a, b in plan.bands
        for day in range(a, b + 1)
        for s in range(len(plan.stations))
    ):
        said.append("hatched: not read")
    if drawn.suspect_cells:
        said.append("cut corner: a suspect reading that day")
    where, at = x + wide + 74, y + 8
    if plan.width - where < 180:  # beside the scale there is no room
        where, at = 0.0, bottom + 10
    for number, text in enumerate(said):
        parts.append(pen.words(where, at + number * 14, pen.short(text, plan.width - where)))
    return max(bottom, at + 4 + len(said) * 14) + 2


def strip_words(drawn: RowPicture) -> str:
    """The picture in one sentence."""
    if not len(drawn.readings):
        return f"Row {drawn.row}: no temperature has been read."
    heat = drawn.readings.heat
    low, high = int(heat.argmin()), int(heat.argmax())
    table = drawn.daily
    unread = int((table.count.sum(axis=1) == 0).sum())
    said = (
        f"Row {drawn.row}, {long_date(int(table.day[0]))} to {long_date(int(table.day[-1]))}, "
        f"{len(table.stations)} station{'' if len(table.stations) == 1 else 's'}: "
        f"coldest {drawn.exact(int(heat[low]))} at {_station(drawn, low)}, "
        f"hottest {drawn.exact(int(heat[high]))} at {_station(drawn, high)}"
    )
    if unread:
        said += f"; {unread} day{'' if unread == 1 else 's'} not read"
    if drawn.standing and drawn.standing.run:
        said += f"; {run_words(drawn.standing)}"
    return said + "."


def _station(drawn: RowPicture, index: int) -> str:
    return station_words(drawn.readings.stations[int(drawn.readings.station[index])])


TABLE_HEAD = ("day", "station", "coldest", "hottest", "readings", "day proven hot", "suspect", "line")


def strip_rows(drawn: RowPicture) -> list[tuple[str, ...]]:
    """The picture as a table under TABLE_HEAD: a line a day and station, unread ones too; as typed."""
    proven = {1: "yes", 0: "no", -1: "not known"}
    table = drawn.daily
    rows: list[tuple[str, ...]] = []
    for place, day in enumerate(table.day.tolist()):
        for code, name in enumerate(table.stations):
            low, high = int(table.coldest[place, code]), int(table.hottest[place, code])
            rows.append(
                (
                    date_text(day),
                    name,
                    _as_typed(drawn, low),
                    _as_typed(drawn, high),
                    str(int(table.count[place, code])),
                    proven[drawn.hot[day]] if day in drawn.hot else "",
                    "suspect" if (day, code) in drawn.suspect_cells else "",
                    f"{drawn.readings.line[low]}.{drawn.readings.item[low]}" if low >= 0 else "",
                )
            )
    return rows


def _as_typed(drawn: RowPicture, index: int) -> str:
    if index < 0:
        return "not read"
    unit = drawn.readings.unit_of(index)
    return f"{drawn.typed(index)} {'K' if unit == 'K' else '°' + unit}"

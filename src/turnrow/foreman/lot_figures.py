"""Which lab figures speak for a lot: its own, and those of what it was made of and nothing else.

A row's figures count for a lot made of that row alone, where the sample was taken after the row's last
turn: what is sampled before a turn is not what lies there afterwards. Figures of one of several
sources, or from before screening, do not show a lot to be good; where they fail a limit they count.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from turnrow.handbook.quality import quality_figures
from turnrow.quality.bioassay import grown
from turnrow.quality.found import Figure
from turnrow.quality.limits import Stream
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Line


@dataclass(frozen=True)
class LotFigures:
    """The figures that speak for a lot.

    counted  its own, and those of its only source as they may be taken over
    partial  of a part of it, or from before it was screened: they count only where they fail
    rows     every row in it, through whatever lots
    notes    sentences on what was taken over and what was not, and why
    sampled  whether a sample of the lot itself, or one taken over, is on record
    lines    lines that made it, sampled it or tell a figure of it
    """

    counted: tuple[Figure, ...]
    partial: tuple[Figure, ...]
    rows: tuple[str, ...]
    notes: tuple[str, ...]
    sampled: bool
    lines: tuple[int, ...]


@dataclass(frozen=True)
class _Sheet:
    """One line of results: its figures, the day of the sample, and its moment where that is known."""

    line: int
    kind: str
    name: str
    day: int
    at_s: int | None
    figures: tuple[Figure, ...]


class Lab:
    """Every sheet of results of a diary as it stands, read once for any number of lots."""

    def __init__(self, diary: Diary) -> None:
        self.diary = diary
        self.made = {lot: (line, sources, sieved) for lot, line, sources, sieved in makers(diary)}
        self._of: dict[tuple[str, str], list[_Sheet]] = {}
        figures: list[Figure] = []
        for sheet in _sheets(diary):
            self._of.setdefault((sheet.kind, sheet.name), []).append(sheet)
            figures += sheet.figures if sheet.kind in ("row", "lot") else ()
        self.stream = Stream.made(figures)
        self.samples: dict[str, list[int]] = {}
        for line, what in diary.all(goods.Sampled):
            self.samples.setdefault(what.lot, []).append(line.number)

    def of(self, kind: str, name: str) -> "list[_Sheet]":
        return self._of.get((kind, name), [])


def lot_figures(lab: Lab, lot: str) -> LotFigures:
    """The figures that speak for a lot, with the reasons."""
    found = _Walk(lab)
    found.lot(lot, sole=True)
    return LotFigures(
        tuple(found.counted),
        tuple(found.partial),
        tuple(dict.fromkeys(found.rows)),
        tuple(dict.fromkeys(found.notes)),
        bool(found.counted) or lot in lab.samples,
        tuple(sorted(found.lines)),
    )


def makers(diary: Diary) -> Iterator[tuple[str, Line, tuple[goods.Share, ...], bool]]:
    """(lot, line, what it was made of, whether by a sieve) for every lot."""
    for line, made in diary.all(goods.LotMade):
        yield made.lot, line, made.sources, False
    for line, sieved in diary.all(goods.Screened):
        yield sieved.fines, line, sieved.sources, True
        if sieved.overs:
            yield sieved.overs, line, sieved.sources, True


class _Walk:
    def __init__(self, lab: Lab) -> None:
        self.lab, self.diary = lab, lab.diary
        self.counted: list[Figure] = []
        self.partial: list[Figure] = []
        self.rows: list[str] = []
        self.notes: list[str] = []
        self.lines: set[int] = set()
        self._seen: set[str] = set()

    def lot(self, lot: str, *, sole: bool) -> None:
        if lot in self._seen:
            return
        self._seen.add(lot)
        self.lines.update(self.lab.samples.get(lot, ()))
        for sheet in self.lab.of("lot", lot):
            self._take(sheet, sole, f"lot {lot}")
        if lot not in self.lab.made:
            return
        line, sources, sieved = self.lab.made[lot]
        self.lines.add(line.number)
        alone = sole and len(sources) == 1 and not sieved
        made_s = days.seconds(line.entry.happened)
        for share in sources:
            if share.lot:
                self.lot(share.lot, sole=alone)
            elif share.row:
                self.rows.append(share.row)
                for sheet in self.lab.of("row", share.row):
                    self._of_row(sheet, share.row, line, made_s, alone)

    def _take(self, sheet: _Sheet, sole: bool, what: str) -> None:
        self.lines.add(sheet.line)
        if sole:
            self.counted += sheet.figures
        else:
            self.partial += sheet.figures
            self.notes.append(
                f"Figures of {what} (line {sheet.line}) are of a part of this lot, or from before it was "
                "screened: they do not show it to be good, but count where they fail."
            )

    def _of_row(self, sheet: _Sheet, row: str, made: Line, made_s: int, alone: bool) -> None:
        made_day = days.day_of(made_s, self.diary.zone)
        turns = [e for e in self.diary.history(row).turns if e.at <= made_s] if row in self.diary.rows else []
        said = f"Figures of row {row} (line {sheet.line}, sampled {date.fromordinal(sheet.day).isoformat()})"
        if sheet.day > made_day:
            self.notes.append(f"{said} are from after the lot was lifted from it: not of this lot.")
            return
        if turns:
            last = turns[-1]
            timed = sheet.at_s is not None and last.timed
            after = sheet.at_s > last.at if timed and sheet.at_s is not None else sheet.day > last.day
            if not after:
                self.notes.append(
                    f"{said} are not from after its last turn (line {last.line.number}): what was sampled "
                    "then is not what lay there afterwards."
                )
                return
        if alone:
            self.notes.append(f"{said} are from after its last turn, and count for the lot made of it alone.")
        self._take(sheet, alone, f"row {row}")


def _sheets(diary: Diary) -> Iterator[_Sheet]:
    """Lab results and growth tests alike, in the order of the diary."""
    taken = {what.sample: (line, what) for line, what in diary.all(goods.Sampled)}
    zone = diary.zone
    grown_in = [(line, _as_result(what)) for line, what in diary.all(goods.GrowthTest)]
    told = sorted([*diary.all(goods.LabResult), *grown_in], key=lambda pair: pair[0].number)
    for line, what in told:
        row, lot, at_s = what.row, what.lot, None
        day = days.day_of(days.seconds(line.entry.happened), zone)
        if what.sampled:
            day = what.sampled.toordinal()
        if what.sample in taken:
            own, sample = taken[what.sample]
            row, lot = row or sample.row, lot or sample.lot
            moment = days.seconds(own.entry.happened)
            day, at_s = days.day_of(moment, zone), None if own.entry.day_only else moment
        kind = "lot" if lot else "row" if row else "load" if what.load else "material"
        name = lot or row or what.load or what.material
        sampled = date.fromordinal(day)
        figures = tuple(Figure(one, sampled, line.number, what.sample, what.lab) for one in what.results)
        yield _Sheet(line.number, kind, name, day, at_s, figures)


def _as_result(test: goods.GrowthTest) -> goods.LabResult:
    """A growth test's figures; none where its control did not do."""
    return goods.LabResult(
        results=grown(test, quality_figures()).results,
        sample=test.sample, row=test.row, lot=test.lot, sampled=test.sampled,
    )  # fmt: skip

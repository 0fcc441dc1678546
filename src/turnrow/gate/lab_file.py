"""A lab's sheet, CSV or XLSX, a figure or a sample a row: entries of results, or every reason against it."""

from collections.abc import Mapping
from datetime import date, datetime

from turnrow.gate import lab_cell
from turnrow.gate.at_column import moments_at
from turnrow.gate.goods import lots
from turnrow.gate.handed import Handed
from turnrow.gate.lab_cell import (
    as_told,
    basis_of,
    number_of,
    result_of,
    unit_and_basis,
    unit_written,
    units_of,
)
from turnrow.gate.lab_columns import LabMapped, lab_mapping, table_of
from turnrow.gate.lab_entries import Group, LabSheet, Read, agree, entries_of
from turnrow.gate.lab_shape import Shape, shape_of
from turnrow.gate.mapping import format_wrong
from turnrow.gate.names import name_wrong, near
from turnrow.gate.numbers_in import decimal_sign
from turnrow.gate.wrongs_list import WrongsList
from turnrow.handbook.analytes import analyte_named
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import LoadIn
from turnrow.yard.goods import Result
from turnrow.yard.wrongs import refuse

MOST_FIGURES = 20_000
THINGS = ("lot", "row", "load", "material")


def read_lab(handed: Handed, diary: Diary) -> LabSheet:
    """The entries of a lab's sheet, one for each sample and day; the same sheet twice adds nothing.

    Raises Refused with everything that is wrong.
    """
    name = handed.name
    mapped = lab_mapping(handed.mapping)
    if mapped.date_format and format_wrong(mapped.date_format):
        raise refuse("the mapping, date_format", mapped.date_format, format_wrong(mapped.date_format))
    table = table_of(handed.data, name, mapped)
    if len(table) > MOST_FIGURES:
        raise refuse(name, f"{len(table)} rows", f"A lab sheet may have {MOST_FIGURES} rows.")
    wrongs, notices = WrongsList(name), list[str]()
    shape = shape_of(table, mapped, wrongs, notices)
    wrongs.raise_any()
    if len(shape) > MOST_FIGURES:
        raise refuse(name, f"{len(shape)} figures", f"A lab sheet may have {MOST_FIGURES} figures.")
    reading = _Reading(shape, diary, handed.now, wrongs, notices, mapped)
    comma = decimal_sign(shape.values(), mapped.decimal, shape.table.first, wrongs, notices)
    groups = reading.groups(handed.lot, handed.row, comma=comma == ",")
    if not groups and not wrongs:
        wrongs.add(name, "no figure", "Export the sheet again: a figure a row, or a sample a row.")
    agree(groups, wrongs)
    wrongs.raise_any()
    return entries_of(groups, handed, diary, notices)


class _Reading:
    def __init__(
        self, shape: Shape, diary: Diary, now: datetime, wrongs: WrongsList, notices: list[str],
        mapped: LabMapped,
    ) -> None:  # fmt: skip
        self.table, self.shape, self.diary, self.now = shape.table, shape, diary, now
        self.wrongs, self.notices = wrongs, notices
        self.taken = {what.sample: (line, what) for line, what in diary.all(goods.Sampled)}
        self.known = {
            "lot": {lot for _, lot in lots(diary)},
            "row": set(diary.rows),
            "load": {load.load for _, load in diary.all(LoadIn)},
        }
        self.today = days.day_of(days.seconds(now), diary.zone)
        self.dates = {which: self._dates(which, mapped.date_format) for which in ("sampled", "tested")}
        self.basis = mapped.basis

    def _dates(self, which: str, form: str) -> list[int]:
        """The day of each row as a date ordinal; 0 where none is written."""
        heading = getattr(self.shape.columns, which)
        if not heading:
            return [0] * len(self.table)
        cells = self.table.column(heading)
        moments = moments_at(cells, heading, self.table, self.diary.zone, self.wrongs, [], form)
        found = days.days_of(moments.at, self.diary.zone)
        return [int(day) if good else 0 for day, good in zip(found, moments.good, strict=True)]

    def cell(self, which: str, place: int) -> str:
        return self.shape.cell(which, place)

    def wrong(self, place: int, which: str, got: object, do: str) -> None:
        self.wrongs.add(self.shape.where(which, place), got or "nothing", do)

    def groups(self, lot: str, row: str, *, comma: bool) -> dict[Group, Read]:
        found: dict[Group, Read] = {}
        of_row: dict[int, Group] = {}
        for place in range(len(self.shape)):
            at = self.shape.row(place)
            group = of_row.get(at) or self._group(place, lot, row)
            of_row[at] = group
            result = self._result(place, comma)
            if result is not None:
                found.setdefault(group, Read()).results.append((self.shape.item(place), result))
        return found

    def _group(self, place: int, lot: str, row: str) -> Group:
        things = {name: self.cell(name, place) for name in THINGS}
        sample = self.cell("sample", place)
        if not any(things.values()) and sample not in self.taken:
            things |= {"lot": lot, "row": row}
        sampled = self._day(place, "sampled")
        if sample in self.taken:
            line, what = self.taken[sample]
            for name in THINGS:
                if things[name] not in ("", getattr(what, name, "")):
                    self.wrong(
                        place, name, things[name], f"Line {line.number} took {sample} of something else."
                    )
            things |= {"lot": what.lot, "row": what.row}
            day = days.day_of(days.seconds(line.entry.happened), self.diary.zone)
            if sampled and sampled.toordinal() != day:
                said = date.fromordinal(day).isoformat()
                self.wrong(
                    place, "sampled", sampled.isoformat(), f"Line {line.number} took {sample} on {said}."
                )
            sampled = date.fromordinal(day)
        else:
            self._named(place, things, sample)
        tested = self._day(place, "tested")
        if sampled and tested and tested < sampled:
            self.wrong(
                place,
                "tested",
                tested.isoformat(),
                f"It is before the sample, {sampled.isoformat()}; see both.",
            )
        if sampled is None:
            self.wrong(place, "sampled", "nothing", "Write the day the sample was taken.")
        kept = sample if sample in self.taken else ""
        lab, report = self._short(place, "lab"), self._short(place, "report")
        return Group(**things, sample=kept, sampled=sampled, tested=tested, lab=lab, report=report)

    def _named(self, place: int, things: Mapping[str, str], sample: str) -> None:
        given = [name for name, text in things.items() if text]
        if len(given) != 1:
            do = "Name the lot, row or load: a column of that name, or --lot or --row for the whole sheet."
            if sample and not given:
                do = f"The yard took no such sample. {near(sample, sorted(self.taken))} {do}"
            self.wrong(place, given[-1] if given else "sample", ", ".join(given) or sample, do)
            return
        kind, text = given[0], things[given[0]]
        if name_wrong(text):
            self.wrong(place, kind, text, name_wrong(text))
        elif kind in self.known and text not in self.known[kind]:
            self.wrong(place, kind, text, f"No such {kind}. {near(text, sorted(self.known[kind]))}")
        if sample:
            said = f"sample {sample} is not in the diary; its figures are taken as of {kind} {text}."
            if said not in self.notices:
                self.notices.append(said)

    def _day(self, place: int, which: str) -> date | None:
        ordinal = self.dates[which][self.shape.row(place)]
        if not ordinal:
            return None
        if ordinal > self.today:
            self.wrong(place, which, date.fromordinal(ordinal).isoformat(), "That day is still to come.")
        return date.fromordinal(ordinal)

    def _short(self, place: int, which: str) -> str:
        text = self.cell(which, place)
        if len(text) > 120 or not text.isprintable():
            self.wrong(place, which, text, "Write a short text without control characters.")
            return ""
        return text

    def _result(self, place: int, comma: bool) -> Result | None:
        named, value = self.cell("analyte", place), self.cell("value", place)
        analyte = analyte_named(named) if named else None
        if analyte is None:
            self.wrong(
                place, "analyte", named, lab_cell.unknown(named) if named else "Write what was looked for."
            )
            return None
        written = self.cell("unit", place)
        analyte = as_told(analyte, value, written)
        number = (
            number_of(value, analyte, comma=comma) if value else "Write the figure, or leave the row out."
        )
        if isinstance(number, str):
            self.wrong(place, "value", value, number)
        unit, inside = unit_and_basis(unit_written(written, analyte), analyte)
        if unit is None:
            do = f"Write the unit the lab used. {analyte.name} comes in {units_of(analyte)}."
            self.wrong(place, "unit", written, do)
        told = self.cell("basis", place) or ("" if inside or analyte.group == "physical" else self.basis)
        basis, got, do = basis_of(told, inside, analyte, unit.unit if unit else "")
        if do and (unit is not None or got):
            self.wrong(place, "basis", got, do)
        method = self._short(place, "method")
        if isinstance(number, str) or unit is None or do:
            return None
        found = result_of(analyte, number[0], unit, basis, method, below=number[1], above=number[2])
        do = lab_cell.implausible(found, analyte, unit)
        if do:
            self.wrong(place, "value", f"{value} {written}", do)
        return found

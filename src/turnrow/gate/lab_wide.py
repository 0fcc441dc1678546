"""A lab sheet with a row a sample: which column is which analyte, in which unit and on which basis."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches

import polars as pl

from turnrow.gate.lab_cell import (
    NOT_SAID,
    PRESENCE,
    as_told,
    basis_named,
    basis_of,
    number_of,
    of_mass,
    unit_and_basis,
    unit_written,
    units_of,
)
from turnrow.gate.tables import Table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.handbook.analytes import Analyte, analyte_named, analytes, unit_named, units

PASS_OVER = "pass over"
NEAR = 0.8  # how like an analyte's a name must be to be taken for a slip of it; OWN
CLOCKS = {"at", "time", "datetime", "date time", "timestamp"}  # headings of a logger, not of a lab
ROWS_BELOW = {"unit": "unit", "units": "unit", "einheit": "unit", "basis": "basis", "method": "method"}
_BRACKETS = re.compile(r"(.+?)\s*[\[(](.+)[\])]\s*(.*)")


@dataclass(frozen=True)
class Measured:
    """One column of figures. unit as written, with the basis in it where it has one; at: its place."""

    at: int
    heading: str
    analyte: Analyte
    unit: str
    basis: str = ""
    method: str = ""


def _ways(text: str) -> Iterator[tuple[str, str]]:
    """Each way to part a heading into a name and what may be its unit, the longest name first."""
    yield text, ""
    if beside := _BRACKETS.fullmatch(text):
        yield beside[1], f"{beside[2]} {beside[3]}".strip()
    for mark in (",", ";"):
        if mark in text:
            yield text.rpartition(mark)[0], text.rpartition(mark)[2]
            yield text.partition(mark)[0], text.partition(mark)[2]
    words = text.split()
    for cut in range(len(words) - 1, 0, -1):
        yield " ".join(words[:cut]), " ".join(words[cut:])


def _like_a_unit(text: str) -> bool:
    return "/" in text or "%" in text


def said_by(heading: str) -> tuple[str, str] | None:
    """(name, unit with basis) of a heading such as "N total (% dm)" or "Cd mg/kg"; None when it names no
    analyte. A unit the analyte does not come in is told too, so that it can be refused."""
    ways = [(name.strip(" ,;:"), rest.strip(" ,;:")) for name, rest in _ways(" ".join(heading.split()))]
    known = [(analyte, rest) for name, rest in ways if name and (analyte := analyte_named(name))]
    for analyte, rest in known:
        if (found := of_mass(analyte, unit_named(rest, PRESENCE))) != analyte:
            return found.name, ""
        if not rest or unit_and_basis(rest, analyte)[0] or basis_named(rest):
            return analyte.name, rest
    return next(((analyte.name, rest) for analyte, rest in known if _like_a_unit(rest)), None)


def _misspelt(heading: str) -> str:
    """Which analyte a heading with a unit all but names; empty where it is near to none."""
    every = tuple({one.kind for one in units()})
    names = [name.casefold() for one in analytes().values() for name in (one.name, *one.aliases)]
    for name, rest in _ways(" ".join(heading.split())):
        unit = rest.strip(" ,;:").split(" ")[0]
        if _like_a_unit(unit) and unit_named(unit, every):
            close = get_close_matches(name.strip(" ,;:").casefold(), names, n=1, cutoff=NEAR)
            return f"Did you mean {close[0]}?" if close else ""
    return ""


def is_wide(headings: tuple[str, ...], subjects: set[str]) -> bool:
    """Whether headings beside a sample name a germ, an analyte with its unit, or three and more without."""
    found = [said for one in headings if one.casefold() not in subjects and (said := said_by(one))]
    certain = [
        name
        for name, rest in found
        if analytes()[name].group == "germ" or (rest and unit_and_basis(rest, analytes()[name])[0])
    ]
    of_sample = {one.casefold() for one in headings} & subjects
    logged = any(one.casefold() in CLOCKS for one in headings)
    return bool(of_sample) and not logged and (bool(certain) or len(found) >= 3)


def measured_of(
    table: Table,
    taken: set[str],
    mapped: Mapping[str, str],
    sheet_basis: str,
    has_basis_column: bool,
    wrongs: WrongsList,
    notices: list[str],
) -> tuple[list[Measured], int]:
    """The columns of figures, and the first row below those of units, bases and methods.

    taken        headings of the sample, its lot, its days
    mapped       heading -> "analyte, unit basis" or "pass over", as a mapping's [lab.analytes] says
    sheet_basis  basis of every figure that says none itself
    What lacks a unit or a basis, or stands twice, goes to `wrongs`, told once.
    """
    where = f"{table.name}, row {table.first - 1}"
    for heading in mapped:
        if heading not in table.headings:
            wrongs.add(
                "the mapping, [lab.analytes]", heading, f"Headings are {', '.join(table.headings[:12])}."
            )
    found: list[Measured] = []
    over: list[str] = []
    for at, heading in enumerate(table.headings):
        if not heading or heading in taken or mapped.get(heading, "").casefold() == PASS_OVER:
            continue
        said = said_by(mapped.get(heading, heading))
        if said is None and heading in mapped:
            do = f'Write the analyte and its unit, "Cd, mg/kg dry", or "{PASS_OVER}".'
            wrongs.add(f"the mapping, [lab.analytes] {heading}", mapped[heading], do)
        elif said is None and (meant := _misspelt(heading)):
            do = f'{meant} Or say "{PASS_OVER}" of it under [lab.analytes] in a mapping.'
            wrongs.add(where, heading, do)
        elif said is None:
            over.append(heading)
        else:
            found.append(_column(at, heading, *said))
    if over:
        notices.append(f"{table.name}: passed over: {', '.join(over[:10])}.")
    found, start = _below(table, found, taken, wrongs)
    found = [replace(one, analyte=_looked_for(one, table.columns[one.at].slice(start))) for one in found]
    checked = [_checked(one, where, sheet_basis, has_basis_column, wrongs) for one in found]
    good = [one for one in checked if one is not None]
    _each_once(good, where, wrongs)
    return good, start


def _column(at: int, heading: str, name: str, rest: str) -> Measured:
    basis = basis_named(rest) if rest else None
    return Measured(at, heading, analytes()[name], "" if basis else rest, basis or "")


def _below(
    table: Table, found: list[Measured], taken: set[str], wrongs: WrongsList
) -> tuple[list[Measured], int]:
    """Rows under the headings that hold units, bases or methods, taken up into the columns."""
    names = [at for at, heading in enumerate(table.headings) if heading in taken]
    for start in range(min(3, len(table))):
        cells = {one.at: str(table.columns[one.at][start] or "") for one in found}
        labels = {str(table.columns[at][start] or "").casefold().rstrip(":") for at in names} & set(
            ROWS_BELOW
        )
        holds = ROWS_BELOW[min(labels)] if labels else _held(found, cells)
        if not holds:
            return found, start
        found = [_taken_up(one, holds, cells[one.at], table.first + start, wrongs) for one in found]
    return found, min(3, len(table))


def _held(found: list[Measured], cells: Mapping[int, str]) -> str:
    """What a row without a label holds: "unit", "basis", or "" when it is a sample's."""
    full = [(one.analyte, cells[one.at]) for one in found if cells[one.at]]
    if any(not isinstance(number_of(cell, analyte, comma="," in cell), str) for analyte, cell in full):
        return ""
    if any(unit_and_basis(cell, analyte)[0] for analyte, cell in full):
        return "unit"
    named = [basis_named(cell) or cell.casefold() == NOT_SAID for _, cell in full]
    return "basis" if named and all(named) else ""


def _taken_up(one: Measured, holds: str, cell: str, row: int, wrongs: WrongsList) -> Measured:
    if not cell:
        return one
    before = {"unit": one.unit, "basis": one.basis, "method": one.method}[holds]
    if before and before.casefold() != cell.casefold():
        wrongs.add(f"row {row}, column {one.heading}", cell, f"The heading says {before}; keep one.")
        return one
    if holds == "unit":
        return replace(one, unit=cell)
    return replace(one, basis=cell) if holds == "basis" else replace(one, method=cell)


def _looked_for(one: Measured, cells: pl.Series) -> Analyte:
    """What a column is of: Salmonella all whose cells say "absent in 25 g" is Salmonella in 25 g."""
    told = {as_told(one.analyte, str(cell), one.unit) for cell in cells.drop_nulls().unique()}
    return told.pop() if len(told) == 1 else one.analyte


def _checked(
    one: Measured, where: str, sheet_basis: str, has_basis_column: bool, wrongs: WrongsList
) -> Measured | None:
    """The column with its unit and basis settled; None, told once, where one of them is not."""
    own = unit_written(one.unit, one.analyte)
    unit, inside = unit_and_basis(own, one.analyte)
    if unit is None:
        do = f"Write the unit the lab used beside it, or in a row below: {units_of(one.analyte)}."
        wrongs.add(where, one.heading, do)
        return None
    physical = one.analyte.group == "physical" and one.analyte.basis == "as received"
    basis = one.basis or ("" if inside or physical else sheet_basis)
    if has_basis_column and not basis:
        return replace(one, unit=own)
    _, got, do = basis_of(basis, inside, one.analyte, unit.unit)
    if do:
        wrongs.add(where, f"{one.heading}: {got or 'no basis'}", do)
        return None
    return replace(one, unit=own, basis=basis)


def _each_once(found: list[Measured], where: str, wrongs: WrongsList) -> None:
    seen: dict[tuple[str, str], str] = {}
    for one in found:
        basis = one.basis or unit_and_basis(one.unit, one.analyte)[1]
        key = (one.analyte.name, basis_named(basis) or basis)
        before = seen.setdefault(key, one.heading)
        if before is not one.heading:
            wrongs.add(where, f"{before}, {one.heading}", f"Keep one column of {one.analyte.name}.")

"""Which column of a lab sheet is which: by its heading, or as a mapping's [lab] says."""

from collections.abc import Mapping
from typing import Any, Literal

import msgspec
from msgspec import Struct

from turnrow.gate.headings import headings_of
from turnrow.gate.lab_cell import NOT_SAID, basis_named
from turnrow.gate.lab_wide import is_wide
from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import Table, read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.wrongs import refuse

HEADINGS: Mapping[str, tuple[str, ...]] = {
    "analyte": ("analyte", "parameter", "determinand", "parametro", "paramètre"),
    "value": ("value", "result", "wert", "ergebnis"),
    "unit": ("unit", "units", "einheit"),
    "basis": ("basis",),
    "method": ("method", "methode"),
    "sample": ("sample", "sample id", "sample label", "probe nr"),
    "lot": ("lot",),
    "row": ("row", "windrow"),
    "load": ("load",),
    "material": ("material",),
    "sampled": ("sampled", "sampled on", "date sampled", "sample date", "sampling date"),
    "tested": ("tested", "reported", "date reported", "report date", "analysed", "analyzed", "date tested"),
    "lab": ("lab", "laboratory", "labor"),
    "report": ("report", "report no", "report number", "certificate"),
}


OF_SAMPLE = {
    heading for name in ("sample", "lot", "load", "material", "sampled") for heading in HEADINGS[name]
}


class LabColumns(Struct, frozen=True, forbid_unknown_fields=True):
    """The heading of each column; empty where the sheet has none."""

    analyte: str = ""
    value: str = ""
    unit: str = ""
    basis: str = ""
    method: str = ""
    sample: str = ""
    lot: str = ""
    row: str = ""
    load: str = ""
    material: str = ""
    sampled: str = ""
    tested: str = ""
    lab: str = ""
    report: str = ""
    analytes: dict[str, str] = {}  # of a sheet with a sample a row: heading -> analyte, unit and basis


class LabMapped(Struct, frozen=True, forbid_unknown_fields=True):
    """A mapping of a lab sheet."""

    lab: LabColumns = LabColumns()
    decimal: Literal["", "point", "comma"] = ""
    separator: Literal["", ",", ";", "\t"] = ""
    encoding: Literal["", "utf-8", "cp1252", "latin-1"] = ""
    sheet: str = ""
    skip_rows: int = 0
    basis: str = ""  # of every figure of which the sheet does not say it
    date_format: str = ""  # empty: ISO, or a date whose order some row settles; else such as "%d/%m/%Y"


EXAMPLE = """\
# How to read one lab's sheet. Give it to `turnrow take FILE --map THIS.toml`.
# A sheet whose columns are analyte, value, unit, basis, sampled (and sample or lot) needs no mapping.
[lab]
analyte = "Parameter"
value = "Result"          # numbers; "<10" where less was found than the method can see
unit = "Units"
basis = "Basis"           # dry, as received or organic matter; may stand in the unit: "mg/kg dry"
sampled = "Date sampled"
# method = "Method"       # and: sample, lot, row, load, material, tested, lab, report
# A sheet with a sample a row needs no mapping where its headings name analyte and unit: "Cd mg/kg dry".
# [lab.analytes]          # heading -> analyte, unit and basis, or "pass over"
# "Nges" = "N total, % dry"
# "Remark" = "pass over"
# basis = "dry"           # above [lab]: of every figure of which the sheet does not say it
"""


def lab_mapping(mapping: Mapping[str, Any] | None) -> LabMapped:
    """The mapping checked; Refused where it does not fit."""
    try:
        found = msgspec.convert(dict(mapping or {}), LabMapped)
    except (msgspec.ValidationError, RecursionError) as wrong:
        raise refuse(
            "the mapping", str(wrong), "Write it as docs/intake.md shows for a lab sheet."
        ) from wrong
    if found.basis and found.basis.casefold() != NOT_SAID and basis_named(found.basis) is None:
        raise refuse("the mapping, basis", found.basis, "Write dry, as received, organic matter or not said.")
    if not 0 <= found.skip_rows <= 10_000:
        raise refuse("the mapping, skip_rows", found.skip_rows, "Write how many rows to pass over.")
    return found


def table_of(data: bytes, name: str, mapped: LabMapped) -> Table:
    """The sheet as texts; Refused when it is none."""
    opened = Mapped(
        separator=mapped.separator, encoding=mapped.encoding, sheet=mapped.sheet, skip_rows=mapped.skip_rows
    )
    return read_table(data, name, opened)


def is_lab_sheet(data: bytes, mapping: Mapping[str, Any] | None) -> bool:
    """Whether the mapping is a lab's, or the file's own headings name what was looked for and its value."""
    if mapping is not None:
        return "lab" in mapping
    headings = headings_of(data)
    return is_long(headings, LabColumns()) or is_wide(headings, OF_SAMPLE)


def is_long(headings: tuple[str, ...], mapped: LabColumns) -> bool:
    """Whether a sheet has a figure a row: a column of analytes or one of values is named."""
    folded = {heading.casefold() for heading in headings}
    named = [bool(folded & set(HEADINGS[name])) for name in ("analyte", "value")]
    return all(named) or bool(mapped.analyte or mapped.value)


def columns_of(
    table: Table, mapped: LabMapped, wrongs: WrongsList, notices: list[str], *, wide: bool = False
) -> LabColumns:
    """The heading of each column; what is lacking or stands twice goes to `wrongs`.

    wide  a sample a row: its columns of figures are not these
    """
    found: dict[str, str] = {}
    for name, known in HEADINGS.items():
        wanted = str(getattr(mapped.lab, name))
        alike = [h for h in table.headings if (h == wanted if wanted else h.casefold() in known)]
        if wanted and not alike:
            wrongs.add(
                f"the mapping, [lab] {name}", wanted, f"Headings are {', '.join(table.headings[:12])}."
            )
        if len(alike) > 1:
            wrongs.add(
                f"{table.name}, row {table.first - 1}", ", ".join(alike), f"Keep one column of {name}."
            )
        found[name] = alike[0] if alike else ""
    if wide:
        return msgspec.convert(found, LabColumns)
    for name in ("analyte", "value", "unit"):
        if not found[name] and not str(getattr(mapped.lab, name)):
            wrongs.add(
                f"{table.name}, row {table.first - 1}",
                ", ".join(table.headings[:8]),
                f'Head one column with {name}, or name it in a mapping: [lab] {name} = "...".',
            )
    others = [h for h in table.headings if h and h not in found.values()]
    if others:
        notices.append(f"{table.name}: passed over: {', '.join(others[:10])}.")
    return msgspec.convert(found, LabColumns)

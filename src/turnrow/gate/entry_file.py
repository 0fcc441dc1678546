"""A file with an entry a row, CSV or XLSX: weather, scale tickets, a diary kept in a spreadsheet.

Each row becomes the fields that a person would have typed for one entry; the forms judge them. The
columns are the fields of the entry's kind; a unit may stand in the heading: "rain (mm)", "amount_kg".
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from turnrow.gate.at_column import moments_at
from turnrow.gate.entry_columns import Entries, columns_of, entries_mapping, kinds_of
from turnrow.gate.mapping import Mapped
from turnrow.gate.moments import Moments
from turnrow.gate.tables import Table, read_table
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.wrongs import Refusal, refuse, shown

MOST_ROWS = 20_000


@dataclass(frozen=True)
class EntryRow:
    """One row: its number in the file, its kind, its fields as typed, and an id made of all of these."""

    item: int
    kind: str
    fields: Mapping[str, str]
    id: str


@dataclass(frozen=True)
class EntryFile:
    """The rows that can be read as fields, what is wrong with the others, and which columns are in none."""

    rows: tuple[EntryRow, ...]
    notices: tuple[str, ...]
    wrongs: WrongsList
    over: str

    def refuse(self, row: EntryRow, wrongs: Iterable[Refusal]) -> None:
        """Tell what a form found wrong; what is lacking may stand in a column that was passed over."""
        for one in wrongs:
            lacks = bool(self.over) and one.got == shown("nothing")
            do = f"{one.do} Its file has columns {self.over}" if lacks else one.do
            self.wrongs.add_told(f"row {row.item}", [Refusal(one.where, one.got, do)])


def read_entries(
    data: bytes, name: str, diary: Diary, *, mapping: Mapping[str, Any] | None = None, kind: str = ""
) -> EntryFile:
    """The rows of a file as fields. Raises Refused where it is no such file or its columns do not do."""
    mapped = entries_mapping(mapping)
    asked = mapped.entries
    opened = Mapped(
        separator=mapped.separator, encoding=mapped.encoding, sheet=mapped.sheet, skip_rows=mapped.skip_rows
    )
    table = read_table(data, name, opened)
    if len(table) > MOST_ROWS:
        raise refuse(name, f"{len(table)} rows", f"A file may have {MOST_ROWS} entries; take it in parts.")
    wrongs, notices = WrongsList(name), list[str]()
    kinds = kinds_of(table, kind or asked.kind, wrongs)
    if not any(kinds):
        wrongs.raise_any()
    columns, over = columns_of(table, asked, {one for one in kinds if one}, wrongs)
    notices += [f"{name}: {over}"] if over else []
    if "happened" not in columns:
        wrongs.raise_any()
    heading = columns["happened"][0]
    moments = moments_at(
        table.column(heading), heading, table, diary.zone, wrongs, notices, mapped.date_format
    )
    made = list(_rows(table, kinds, columns, asked, moments, diary, wrongs))
    return EntryFile(tuple(_named(made)), tuple(notices), wrongs, over)


def _rows(
    table: Table, kinds: list[str], columns: Mapping[str, tuple[str, str]], asked: Entries, moments: Moments,
    diary: Diary, wrongs: WrongsList,
) -> Iterator[tuple[int, str, dict[str, str]]]:  # fmt: skip
    cells = {name: (table.column(heading).to_list(), unit) for name, (heading, unit) in columns.items()}
    for place, kind in enumerate(kinds):
        if not kind or all(column[place] is None for column in table.columns):
            continue
        item = table.first + place
        if not moments.good[place]:
            if cells["happened"][0][place] is None:
                wrongs.add(
                    f"row {item}, column {columns['happened'][0]}", "nothing", "Write when it happened."
                )
            continue
        fields = dict(asked.always)
        for name, (values, unit) in cells.items():
            text = str(values[place] or "").strip()
            text = asked.means.get(name, {}).get(text, text)
            if text:
                fields[name] = f"{text} {unit}" if unit and text[-1:].isdigit() else text
        fields["happened"] = _when(int(moments.at[place]), bool(moments.timed[place]), diary)
        yield item, kind, fields


def _when(at: int, timed: bool, diary: Diary) -> str:
    if not timed:
        return date.fromordinal(days.day_of(at, diary.zone)).isoformat()
    return datetime.fromtimestamp(at, UTC).astimezone(diary.zone).isoformat()


def _named(made: list[tuple[int, str, dict[str, str]]]) -> Iterator[EntryRow]:
    """Each row with an id made of what it says; the second of two that say the same has its own."""
    seen: Counter[str] = Counter()
    for item, kind, fields in made:
        said = "\n".join([kind, *(f"{name}={fields[name]}" for name in sorted(fields))])
        seen[said] += 1
        id_ = "file-" + hashlib.sha256(f"{said}\n{seen[said]}".encode()).hexdigest()[:32]
        yield EntryRow(item, kind, fields, id_)

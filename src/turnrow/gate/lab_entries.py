"""Figures of a lab's sheet as entries: one for each sample and day, made of the sheet's own bytes."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from fractions import Fraction
from typing import NamedTuple

from turnrow.gate.handed import Handed
from turnrow.gate.lab_carbon import carbon_wrongs
from turnrow.gate.wrongs_list import WrongsList
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Line
from turnrow.yard.goods import LabResult, Result
from turnrow.yard.numbers import MICRO

APART = Fraction(1, 10)  # of each other one figure on two bases may be, with the moisture told; ASSUMED


class Group(NamedTuple):
    """What one entry is about: rows of a sheet with the same of all of these."""

    lot: str
    row: str
    load: str
    material: str
    sample: str
    sampled: date | None
    tested: date | None
    lab: str
    report: str


@dataclass
class Read:
    """A group's figures while the sheet is read, each with its row of the file."""

    results: list[tuple[int, Result]] = field(default_factory=list)


@dataclass(frozen=True)
class LabSheet:
    """All that one sheet adds; written together or not at all.

    known  figures the diary holds already from the very same sheet
    """

    entries: tuple[Entry, ...]
    blobs: Mapping[str, bytes]
    figures: int
    known: int
    notices: tuple[str, ...]


def agree(groups: Mapping[Group, Read], wrongs: WrongsList) -> None:
    """Refuse one figure told twice in two ways, two bases that cannot both be with the moisture told, and
    nitrogen, carbon and C:N that cannot be of one sample."""
    for group, read in groups.items():
        first = min((number for number, _ in read.results), default=0)
        day = group.sampled or group.tested or date.min
        for wrong in carbon_wrongs(f"row {first}", [one for _, one in read.results], day):
            wrongs.add(wrong.where, wrong.got, wrong.do)
        seen: dict[tuple[str, str, str], tuple[int, Result]] = {}
        for number, one in read.results:
            key = (one.analyte, one.basis, one.method)
            before = seen.setdefault(key, (number, one))
            if before[1] != one:
                do = f"Row {before[0]} says it otherwise; keep one, or name the method of each."
                wrongs.add(f"row {number}", f"{one.analyte} a second time", do)
        moisture = next((one for _, one in read.results if one.analyte == "moisture"), None)
        if moisture is None or moisture.amount.unit != "%" or moisture.below or moisture.above:
            continue
        share = Fraction(moisture.amount.value, 100 * MICRO)
        for (name, basis, method), (number, wet) in seen.items():
            dry = seen.get((name, "dry", method))
            if basis != "as received" or dry is None or dry[1].amount.unit != wet.amount.unit or share >= 1:
                continue
            back, told = wet.amount.value / (1 - share), Fraction(dry[1].amount.value)
            if not wet.below and abs(back - told) > APART * max(back, told):
                do = (
                    f"With the moisture told it cannot be both this and what row {dry[0]} says of dry matter."
                )
                wrongs.add(f"row {number}", f"{name} as received", do)


def entries_of(groups: Mapping[Group, Read], handed: Handed, diary: Diary, notices: list[str]) -> LabSheet:
    """An entry for each group the diary does not hold from this very sheet, the sheet itself beside them."""
    blob = hashlib.sha256(handed.data).hexdigest()
    now = handed.now.astimezone(diary.zone)
    held = {line.entry.id: line for line, _ in _every_result(diary)}
    entries, figures, known = [], 0, 0
    for group, read in groups.items():
        results = tuple(dict.fromkeys(one for _, one in read.results))
        key, turn = _id(blob, group), 0
        while handed.again and key in held and diary.is_struck(held[key].number):
            turn += 1
            key = _id(f"{blob} again {turn}", group)
        if key in held:
            known += len(results)
            if diary.is_struck(held[key].number):
                said = f"line {held[key].number} says the same and is struck; --again writes it anew."
                notices.append(said)
            continue
        noon = datetime.combine(group.tested, time(12), diary.zone) if group.tested else now
        what = LabResult(
            results=results, sample=group.sample, load=group.load, material=group.material, row=group.row,
            lot=group.lot, sampled=group.sampled, lab=group.lab, report=group.report, file=handed.name[-120:],
            blob=blob,
        )  # fmt: skip
        entries.append(
            Entry(
                id=key,
                happened=min(noon, now),
                who=handed.who,
                what=what,
                device=handed.device,
                day_only=group.tested is not None,
            )
        )
        figures += len(results)
    return LabSheet(tuple(entries), {blob: handed.data} if entries else {}, figures, known, tuple(notices))


def _every_result(diary: Diary) -> list[tuple[Line, LabResult]]:
    """Every line of results, struck ones too."""
    lines = (diary.line(number) for number in range(1, diary.head + 1))
    return [(line, what) for line in lines if isinstance(what := line.entry.what, LabResult)]


def _id(blob: str, group: Group) -> str:
    said = "\n".join([blob, *(str(one) for one in group)])
    return "lab-" + hashlib.sha256(said.encode()).hexdigest()[:32]

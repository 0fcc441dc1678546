"""A logger's file of a self-heating test as a lot's result: the rise, what makes it doubtful, its classes."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import ceil

import numpy as np

from turnrow.gate.amounts import DEGREES, amount
from turnrow.gate.files import read_temperatures
from turnrow.gate.goods import lots
from turnrow.gate.handed import Handed
from turnrow.gate.lab_entries import Group, LabSheet, Read, entries_of
from turnrow.gate.names import near
from turnrow.gate.wrongs_list import WrongsList
from turnrow.handbook.quality import quality_figures, schemes
from turnrow.quality.maturity import rise_step
from turnrow.quality.self_heating import Rise, rise
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.goods import Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH, UNITS, ninths

AIR = ("air", "ambient", "room", "outside")
ANALYTE = "self-heating rise"


def read_self_heating(handed: Handed, diary: Diary) -> LabSheet:
    """One line of results of a lot (or row): the rise of each vessel in the file.

    Raises Refused with everything that is wrong.
    """
    name, lot, row = handed.name, handed.lot, handed.row
    wrongs = WrongsList(name)
    _known(diary, lot, row, wrongs)
    still = _ambient(handed.ambient, wrongs)
    intake = read_temperatures(handed.data, name, zone=diary.zone, mapping=handed.mapping)
    read = next(iter(intake.rows.values())) if len(intake.rows) == 1 else None
    if read is None:
        wrongs.add(
            name, f"readings of {len(intake.rows)} rows", "Give the file of one test, without a row column."
        )
    wrongs.raise_any()
    if read is None:
        raise ValueError("a test without readings passed its own check, want it refused")
    vessels, air = _parted(read)
    _air(name, handed.ambient, still, air, wrongs)
    if not vessels:
        wrongs.add(name, ", ".join(read.stations), "Name the vessel's own column or station as a vessel.")
    if int(read.at[-1]) > days.seconds(handed.now):
        wrongs.add(
            name, "a reading still to come", "Set the logger's clock, or give the format in a mapping."
        )
    wrongs.raise_any()
    over = still if still is not None else air
    results, notices = _results(vessels, over if over is not None else Fraction(0), name, wrongs)
    wrongs.raise_any()
    first, last = (date.fromordinal(int(read.day[place])) for place in (0, -1))
    group = Group(lot, "" if lot else row, "", "", "", first, last, "", "")
    sheet = entries_of({group: Read(list(enumerate(results, 1)))}, handed, diary, notices)
    return replace(sheet, notices=(*intake.notices, *sheet.notices))


def _known(diary: Diary, lot: str, row: str, wrongs: WrongsList) -> None:
    made = sorted({one for _, one in lots(diary)})
    if bool(lot) == bool(row):
        wrongs.add(
            "--lot", lot or "nothing", "Say which lot (or row) the test is of: one of --lot and --row."
        )
    elif lot and lot not in made:
        wrongs.add("--lot", lot, f"No such lot. {near(lot, made)}")
    elif row and row not in diary.rows:
        wrongs.add("--row", row, f"No such row. {near(row, diary.rows)}")


def _ambient(text: str, wrongs: WrongsList) -> Fraction | None:
    if not text:
        return None
    found = amount(text, DEGREES)
    unit = None if isinstance(found, str) else next((one for one in UNITS if one == found.unit), None)
    if isinstance(found, str) or unit is None:
        wrongs.add("--ambient", text, "Write the air's temperature with its unit, such as 20 C.")
        return None
    return Fraction(ninths(found.value, unit), NINTH)


def _parted(read: Readings) -> tuple[dict[str, Readings], Readings | None]:
    """The vessels by name, and the air where a station is named so."""
    parts = {
        station: read.pick(np.flatnonzero(read.station == code)) for code, station in enumerate(read.stations)
    }
    air = next((part for station, part in parts.items() if station.casefold() in AIR), None)
    return {station: part for station, part in parts.items() if station.casefold() not in AIR}, air


def _air(name: str, ambient: str, still: Fraction | None, air: Readings | None, wrongs: WrongsList) -> None:
    if ambient and air is not None:
        wrongs.add("--ambient", ambient, "The file has the air's own readings; leave it out.")
    elif still is None and air is None:
        do = f'Give --ambient "20 C", or name the air\'s station one of {", ".join(AIR)}.'
        wrongs.add(name, "no temperature of the air", do)


def _results(
    vessels: Mapping[str, Readings], over: Readings | Fraction, name: str, wrongs: WrongsList
) -> tuple[list[Result], list[str]]:
    results, notices = [], list[str]()
    for vessel, part in vessels.items():
        try:
            found = rise(part, over, quality_figures())
        except ValueError as wrong:
            wrongs.add(f"{name}, {vessel}", str(wrong), "Log the air beside the vessel, or give --ambient.")
            continue
        shown = max(ceil(found.rise * MICRO), 0)
        which = f", {vessel}" if len(vessels) > 1 else ""
        method = f"vessel from a logger, {float(found.days):.1f} d, air {float(found.ambient):.1f} °C{which}"
        results.append(Result(analyte=ANALYTE, amount=Amount(shown, "C"), method=method))
        notices += _said(vessel, found)
    return results, notices


def _said(vessel: str, found: Rise) -> list[str]:
    over = max(found.rise, Fraction(0))
    words = [
        f"{scheme.name}: {rise_step(scheme.name, over).word}"
        for scheme in schemes().values()
        if scheme.name.startswith("Self-heating")
    ]
    rose = f"{vessel}: {float(found.highest):.1f} °C at most, {float(found.rise):.1f} °C over the air."
    return [f"{rose} {'; '.join(words)}.", *(f"{vessel}: {doubt}" for doubt in found.doubts)]

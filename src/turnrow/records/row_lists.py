"""The lists of a row sheet: readings, doings, struck and late lines, each row a tuple of text."""

import hashlib

from turnrow.records import said
from turnrow.records.row_csv import row_csv
from turnrow.records.row_paper import RowPaper
from turnrow.records.row_picture import station_words
from turnrow.records.row_readings import RowReadings
from turnrow.records.seal import in_groups
from turnrow.sanitation.beside import late_seconds
from turnrow.sanitation.counts import with_defaults
from turnrow.yard import entries
from turnrow.yard.days import moment

FULL_LIST = 2_000  # readings printed one by one; above, figures by station and day
Rows = tuple[tuple[str, ...], ...]


def suspects(listed: RowReadings) -> Rows:
    found = []
    for suspect in listed.paper.standing.suspects:
        first, last = listed.one(suspect.first), listed.one(suspect.last)
        found.append(
            (
                station_words(suspect.station),
                f"{first.at[:16].replace('T', ' ')} (line {first.line}.{first.item})",
                f"{last.at[:16].replace('T', ' ')} (line {last.line}.{last.item})",
                suspect.check,
                suspect.sentence,
                "flagged" if suspect.fault else "explained, not a fault",
            )
        )
    return tuple(found)


def readings(listed: RowReadings) -> Rows:
    rows = []
    for one in listed.every():
        marks = [f"suspect: {one.suspect}"] if one.suspect else []
        if not one.counted:
            marks.append("before the proof began anew")
        rows.append(
            (
                one.at[:16].replace("T", " "),
                one.station,
                one.depth_cm or "not said",
                one.value,
                "K" if one.unit == "K" else f"°{one.unit}",
                f"{one.line}.{one.item}",
                one.who,
                one.device,
                "; ".join(marks),
            )
        )
    return tuple(rows)


def readings_note(paper: RowPaper, listed: RowReadings, *, full: bool) -> str:
    count = len(listed.readings)
    digest = hashlib.sha256(row_csv(paper)).hexdigest()
    if not count:
        return "No reading has been written down."
    offsets = sorted(
        {
            f"{moment(int(at), paper.history.zone):%z}"
            for at in (listed.readings.at[0], listed.readings.at[-1])
        }
    )
    times = f"Times are the yard's own ({paper.history.zone.key}, {' and '.join(offsets)})."
    if full:
        return (
            f"All {count} readings in force, as typed. {times} The same readings as a file (CSV) have the "
            f"SHA-256 {in_groups(digest)}."
        )
    return (
        f"{count} readings are more than the {FULL_LIST} that are printed one by one. The tables before this "
        "give, for each station and day, the coldest and the hottest reading as typed, where each stands, "
        f"and how many there are. Every one of the {count} stands in the row's CSV file, whose SHA-256 is "
        f"{in_groups(digest)}. {times}"
    )


def events(paper: RowPaper, *kinds: type[entries.Kind]) -> Rows:
    return tuple(
        (
            said.happened(event.line.entry, paper.history.zone),
            said.saying(event.line.entry.what),
            event.line.entry.who,
            str(event.line.number),
        )
        for event in paper.history.events
        if isinstance(event.line.entry.what, kinds)
    )


def struck(paper: RowPaper) -> Rows:
    by_line = {what.line: (event.line, what) for event, what in paper.history.of(entries.Struck)}
    rows = []
    for line in paper.history.struck:
        striking, what = by_line.get(line.number, (None, None))
        entry = line.entry
        said_of = (said.saying(entry.what), said.happened(entry, paper.history.zone), entry.who)
        rows.append(
            (
                str(line.number),
                ", ".join(said_of),
                f"{striking.entry.who}, line {striking.number}" if striking else "a line not of this row",
                what.reason if what else "",
            )
        )
    return tuple(rows)


def late(paper: RowPaper) -> Rows:
    """Lines written long after what they tell of: line, what, happened, written, how late."""
    zone, settings = paper.history.zone, with_defaults(paper.settings)
    return tuple(
        (
            str(line.number),
            said.saying(line.entry.what),
            said.happened(line.entry, zone),
            said.written(line, zone),
            said.late_words(line),
        )
        for line in paper.history.lines
        if late_seconds(line, settings)
    )

"""Every kind of entry the diary holds; frozen, and read the same way for ever.

Here stands what happens to rows and to the yard; what leaves a row, is tested, sold and paid for
stands in `yard/goods.py`.

Numbers are `Amount`s: millionths of the unit typed, and the unit. Lengths of text are bounded at
the gate. Field names are the keys of the stored JSON: to change one is a new format (`v`), read
by `journal/upgrade.py`; stored bytes never change.
"""

from datetime import date, datetime
from typing import Literal

from msgspec import Struct, field

from turnrow.yard import goods
from turnrow.yard.evidence import Evidence
from turnrow.yard.kind import Amount as Amount
from turnrow.yard.kind import Kind as Kind
from turnrow.yard.kind import Moment as Moment
from turnrow.yard.temperature import Unit

FORMAT = 1  # of entries written today


class YardLaidOut(Kind, frozen=True, tag="yard laid out"):
    name: str
    zone: str  # IANA; the calendar the yard's days are counted on
    place: str = ""
    invented: bool = False  # demonstration data; said on every page and paper


class LoadIn(Kind, frozen=True, tag="load in"):
    load: str
    material: str
    amount: Amount  # a mass or a volume
    how: Literal["weighed", "counted", "judged"] = "judged"
    came_from: str = ""
    refused: str = ""  # why it was sent away; empty: taken


class Part(Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """One material of a row's blend; `amount` as laid, wet. `lot`: overs or compost that went back in."""

    material: str
    amount: Amount
    load: str = ""
    lot: str = ""


class RowBuilt(Kind, frozen=True, tag="row built"):
    row: str
    parts: tuple[Part, ...] = ()
    length: Amount | None = None  # m or ft
    width: Amount | None = None
    height: Amount | None = None
    volume: Amount | None = None  # a volume; without it, from the section
    stations: tuple[str, ...] = ()
    strip: str = ""  # the ground it stands on
    process: Literal["turned", "static", "slow", "worm"] = "turned"
    raw: bool = True  # holds material not yet proven hot


class Reading(Struct, frozen=True, array_like=True, gc=False):
    """One number of a round; depth along the probe, -1 when not said."""

    station: str
    depth_mm: int
    value: int  # millionths of the round's unit


class Round(Kind, frozen=True, tag="round"):
    """One walk over a row's stations; stations planned but not read are in `skipped`."""

    row: str
    unit: Unit
    readings: tuple[Reading, ...]
    skipped: tuple[str, ...] = ()
    probe: str = ""
    confirmed: tuple[str, ...] = ()  # stations whose surprising number the walker confirmed


class LoggerBlock(Kind, frozen=True, tag="logger block"):
    """Readings from a file: columns in a blob named by its hash (see `yard/blocks.py`)."""

    row: str
    blob: str  # sha256 of the packed columns
    count: int
    first: Moment
    last: Moment
    file: str = ""
    file_hash: str = ""
    probe: str = ""


class Turned(Kind, frozen=True, tag="turned"):
    row: str
    passes: int = 1
    machine: str = ""
    water: Amount | None = None  # given in the same pass; L or m3


class Watered(Kind, frozen=True, tag="watered"):
    row: str
    water: Amount


class Measured(Kind, frozen=True, tag="measured"):
    """A hand measurement: squeeze score 1-5, moisture %, oxygen %, length, height, C:N ..."""

    row: str
    quantity: str
    amount: Amount
    station: str = ""
    depth_mm: int = -1
    how: str = ""


class Merged(Kind, frozen=True, tag="merged"):
    """`sources` were pushed into `row`, which may be one of them; a source that is not ends here."""

    row: str
    sources: tuple[str, ...]


class MovedToCuring(Kind, frozen=True, tag="moved to curing"):
    row: str
    place: str = ""


class Covered(Kind, frozen=True, tag="covered"):
    row: str
    cover: str = ""
    taken_off: bool = False


class Note(Kind, frozen=True, tag="note"):
    text: str
    row: str = ""
    photo: str = ""  # sha256 of the picture's bytes
    photo_kind: str = ""  # media type
    photo_taken: str = ""  # what the camera's clock said, without a zone: "2026-05-03 07:40:12"


class Complaint(Kind, frozen=True, tag="complaint"):
    nature: str
    by: str = ""
    wind: str = ""
    done: str = ""


class Incident(Kind, frozen=True, tag="incident"):
    what: str
    row: str = ""
    done: str = ""
    danger: Literal["", "fire", "injury", "spill", "none"] = ""  # "": not said, so read from the words


class Weather(Kind, frozen=True, tag="weather"):
    air: Amount | None = None  # C, F or K
    rain: Amount | None = None  # mm or in, since the line before
    wind: Amount | None = None  # m/s, km/h or mph
    wind_from: str = ""


class Advice(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """One job on a day sheet: a sentence with its numbers, why, and the lines it rests on."""

    key: str  # stable through the day: row and job, "R7 turn"
    row: str
    job: str
    text: str
    why: str
    because: tuple[int, ...] = ()
    urgent: bool = False
    rule: str = ""


class SheetIssued(Kind, frozen=True, tag="advice given"):
    """The day sheet as issued: what was said, on what it rested."""

    day: date
    advice: tuple[Advice, ...]
    upto: int  # last line it had read
    edition: str  # of the handbook


class JobDone(Kind, frozen=True, tag="job done"):
    """A job ticked (or put off, with the reason); `entries` are the ids written with it."""

    key: str
    sheet: int = 0  # line of the day sheet; 0: not from a sheet
    done: bool = True
    reason: str = ""
    entries: tuple[str, ...] = ()


class RuleChosen(Kind, frozen=True, tag="rule chosen"):
    """The rule a row (or, with no row, the yard) works to, with the policies its text leaves open."""

    rule: str
    row: str = ""
    policies: dict[str, str] = field(default_factory=dict)
    facts: dict[str, str] = field(default_factory=dict)  # as typed: cn_initial, length_ft ...


class SettingChosen(Kind, frozen=True, tag="setting chosen"):
    """The yard's own value for a handbook setting."""

    name: str
    amount: Amount
    reason: str = ""


class ProbeChecked(Kind, frozen=True, tag="probe checked"):
    """Calibration: what a probe said in a bath of known temperature."""

    probe: str
    bath: Amount
    read: Amount


class Reviewed(Kind, frozen=True, tag="reviewed"):
    """A supervisor has read the lines of a row up to `upto` and signs for them."""

    row: str
    upto: int


class Struck(Kind, frozen=True, tag="struck"):
    """Withdraws a line; it stays readable and no longer counts."""

    line: int
    reason: str


What = (
    YardLaidOut
    | LoadIn
    | RowBuilt
    | Round
    | LoggerBlock
    | Turned
    | Watered
    | Measured
    | Merged
    | MovedToCuring
    | Covered
    | Note
    | Complaint
    | Incident
    | Weather
    | SheetIssued
    | JobDone
    | RuleChosen
    | SettingChosen
    | ProbeChecked
    | Reviewed
    | Struck
    | goods.Goods
    | Evidence
)


class Entry(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True, gc=False):
    """One thing that happened, as it goes into the book.

    id        made where the entry was made; sent twice, written once
    happened  the walker's clock, with its offset
    day_only  only the date of `happened` is known; its time is a stand-in
    who       the person's short name or role; device: what it was entered with
    """

    id: str
    happened: Moment
    who: str
    what: What
    device: str = ""
    day_only: bool = False
    v: int = field(default_factory=lambda: FORMAT)  # a factory, so that it is never left out of the bytes


class Line(Struct, frozen=True, gc=False):
    """An entry once it is in the book: its number, the server's clock, its seal."""

    number: int
    written: datetime
    seal: str
    entry: Entry


def row_of(what: What) -> tuple[str, ...]:
    """The rows an entry speaks of; empty for the yard's own entries."""
    if isinstance(what, Merged):
        return tuple(dict.fromkeys((what.row, *what.sources)))
    if isinstance(what, goods.RowSplit):
        return (what.row, what.new)
    if isinstance(what, (goods.LotMade, goods.Screened)):
        return goods.rows_taken(what.sources)
    name = getattr(what, "row", "")
    return (name,) if name else ()

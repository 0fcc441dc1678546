"""A form's fields, read one by one; what is wrong is gathered and told at the end."""

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from msgspec import Struct

from turnrow.gate.amounts import Measure, amount
from turnrow.gate.names import name_wrong, near
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refusal, Refused, shown

LONG_TEXT = 2_000
EARLIEST_YEAR = 1990
AHEAD = timedelta(days=1)
_YES = {
    "yes": True,
    "true": True,
    "1": True,
    "on": True,
    "no": False,
    "false": False,
    "0": False,
    "off": False,
}
_PARTED = re.compile(r"\s*[;,]\s*")
MOST_NAMES = 200


class Field(Struct, frozen=True):
    """One field of a form. `name` ends in ".*" where what follows the point is the person's own."""

    name: str
    holds: str  # in words
    needed: bool = False


class Fields:
    """The fields given, each asked for by the form that knows what it holds.

    Asking for a field returns a stand-in when it is wrong; `finish` then raises Refused with all.
    """

    def __init__(self, given: Mapping[str, str], diary: Diary, now: datetime) -> None:
        self.diary, self.now = diary, now
        self._given = {name.strip(): text for name, text in given.items()}
        self._wrong: list[Refusal] = []
        self.asked: list[Field] = []

    @property
    def zone(self) -> ZoneInfo:
        return self.diary.zone

    def wrong(self, name: str, got: object, do: str) -> None:
        self._wrong.append(Refusal(f"field {name}", shown(got), do))

    def has(self, name: str) -> bool:
        return bool(self._given.get(name, "").strip())

    def finish(self, kind: str) -> None:
        """Raises Refused with every wrong field, fields the form does not have among them."""
        known = [field.name for field in self.asked]
        starts = tuple(name[:-1] for name in known if name.endswith(".*"))
        for name in self._given:
            if name not in known and not (starts and name.startswith(starts)):
                self.wrong(name, self._given[name], f"A {kind} entry has the fields {', '.join(known)}.")
        if self._wrong:
            raise Refused(self._wrong)

    def _ask(self, name: str, holds: str, needed: bool) -> str:
        self.asked.append(Field(name, holds, needed))
        text = self._given.get(name, "").strip()
        if needed and not text:
            self.wrong(name, "nothing", f"Write {holds}.")
        return text

    def text(self, name: str, holds: str = "a text", *, needed: bool = False, longest: int = 200) -> str:
        """A text of at most `longest` characters; only long ones may have several lines."""
        text = self._ask(name, holds, needed)
        if len(text) > longest:
            self.wrong(name, f"{len(text)} characters", f"Write {longest} at most.")
        lines = text.splitlines() if longest >= LONG_TEXT else [text]
        if not all(line.isprintable() for line in lines):
            self.wrong(name, text, "Leave out control characters.")
        return text

    def named(self, name: str, holds: str = "a name", *, needed: bool = False) -> str:
        text = self._ask(name, holds, needed)
        if text and name_wrong(text):
            self.wrong(name, text, name_wrong(text))
        return text

    def names(self, name: str, holds: str, *, needed: bool = False) -> tuple[str, ...]:
        """Names between commas; "1..4" stands for 1, 2, 3, 4. None may stand twice."""
        text = self._ask(name, holds, needed)
        found: list[str] = []
        for one in filter(None, _PARTED.split(text)):
            span = re.fullmatch(r"([0-9]{1,3})\.\.([0-9]{1,3})", one)
            if span and int(span[1]) <= int(span[2]):
                found += [str(number) for number in range(int(span[1]), int(span[2]) + 1)]
            elif name_wrong(one):
                self.wrong(name, one, name_wrong(one))
            else:
                found.append(one)
        if len(found) > MOST_NAMES:
            self.wrong(name, f"{len(found)} names", f"Write {MOST_NAMES} at most.")
        twice = sorted({one for one in found if found.count(one) > 1}) if len(found) <= MOST_NAMES else []
        if twice:
            self.wrong(name, ", ".join(twice), "Name each once.")
        return tuple(found)

    def row(self, name: str = "row", *, needed: bool = True, new: bool = False) -> str:
        """A row the diary knows; with `new`, one it has not seen built."""
        text = self.named(name, "a row's name", needed=needed)
        if not text or name_wrong(text):
            return text
        known = text in self.diary.rows
        line = (
            self.diary.history(text).built or self.diary.history(text).split_from if new and known else None
        )
        if line is not None:
            self.wrong(
                name,
                text,
                f"Line {line[0].line.number} made it. Strike that line first, or give this row its own name.",
            )
        alike = next((r for r in self.diary.rows if r != text and r.casefold() == text.casefold()), "")
        if new and not known and alike:
            self.wrong(name, text, f"It reads like row {alike}. Give it a name of its own.")
        if not new and not known:
            self.wrong(name, text, f"No such row. {near(text, self.diary.rows)}")
        return text

    def standing_row(self, when: datetime) -> str:
        """A row that stood at `when`: built by that day, not pushed into another or made a lot before."""
        text = self.row()
        if text in self.diary.rows:
            self.built_by(text, when)
            gone = self.diary.history(text).merged_into
            if gone and gone[0].at < when.timestamp():
                self.wrong(
                    "row",
                    text,
                    f"Line {gone[0].line.number} pushed it into {gone[1]}; write it for that row.",
                )
            lifted = self.diary.history(text).lifted
            if lifted and lifted[0].at < when.timestamp():
                do = f"Line {lifted[0].line.number} made lot {lifted[1]} of all of it; write it for the lot."
                self.wrong("row", text, do)
        return text

    def built_by(self, row: str, when: datetime) -> None:
        """Wrong where a row of the diary was built, or moved apart from another, after the day of `when`."""
        history = self.diary.history(row)
        first = history.built or history.split_from
        sound = all(one.where != "field happened" for one in self._wrong)
        if first and sound and days.day_of(days.seconds(when), self.diary.zone) < first[0].day:
            how = "built" if history.built else "moved apart"
            said = f"Row {row} was {how} on {days.date_text(first[0].day)} (line {first[0].line.number})"
            do = f"{said}. Give the day it happened, or strike that line and write when it was {how}."
            self.wrong("happened", when.isoformat(), do)

    def amount(self, name: str, allowed: Measure, *, needed: bool = False) -> Amount | None:
        """A number with its unit; the unit may stand in a field of its own, `<name>_unit`."""
        text = self._ask(name, allowed.words(), needed)
        unit = self._ask(f"{name}_unit", " or ".join(allowed.units), False) if len(allowed.units) > 1 else ""
        if not text:
            return None
        found = amount(text, allowed, unit)
        if isinstance(found, str):
            self.wrong(name, text, found)
            return None
        return found

    def whole(
        self, name: str, holds: str, low: int, high: int, default: int = 0, *, needed: bool = False
    ) -> int:
        text = self._ask(name, holds, needed)
        if not text:
            return default
        if not re.fullmatch(r"[+-]?[0-9]{1,9}", text) or not low <= int(text) <= high:
            self.wrong(name, text, f"Write a whole number from {low} to {high}.")
            return default
        return int(text)

    def day(self, name: str, holds: str) -> date | None:
        """A day of the calendar, 2026-05-03; None when nothing is said."""
        text = self._ask(name, f"{holds}: 2026-05-03", False)
        if not text:
            return None
        try:
            found = date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text) else None
        except ValueError:
            found = None
        if found is None or found.year < EARLIEST_YEAR:
            self.wrong(name, text, f"Write a day as 2026-05-03, from {EARLIEST_YEAR} on.")
            return None
        return found

    def choice(self, name: str, allowed: tuple[str, ...], default: str) -> str:
        text = self._ask(name, " or ".join(allowed), False).casefold() or default
        if text not in allowed:
            self.wrong(name, text, f"Write {' or '.join(allowed)}.")
            return default
        return text

    def flag(self, name: str, holds: str, default: bool = False) -> bool:
        text = self._ask(name, f"yes or no: {holds}", False).casefold()
        if text and text not in _YES:
            self.wrong(name, text, "Write yes or no.")
        return _YES.get(text, default)

    def own(self, start: str, holds: str) -> dict[str, str]:
        """Every field `start.NAME`, by NAME, blank ones left out."""
        self.asked.append(Field(f"{start}.*", holds))
        found = {}
        for name, text in self._given.items():
            if name.startswith(f"{start}.") and text.strip():
                key = name[len(start) + 1 :].strip()
                if not key or len(key) > 60 or len(text) > 400 or not (key + text).isprintable():
                    self.wrong(name, text, "Write a short name and a short text.")
                found[key] = text.strip()
        return found

    def parsed(self, name: str, holds: str, read: Callable[[str], str], *, needed: bool = False) -> str:
        """A text that `read` finds nothing wrong with."""
        text = self.text(name, holds, needed=needed)
        said = read(text) if text else ""
        if said:
            self.wrong(name, text, said)
        return text

    def happened(self) -> tuple[datetime, bool]:
        """The moment it happened and whether only the day is known; now, when nothing is said."""
        text = self._ask("happened", "when: 2026-05-03T07:40, 2026-05-03 or nothing for now", False)
        if not text:
            return self.now.astimezone(self.zone), False
        when, day_only, said = _moment(text, self.zone)
        if said:
            self.wrong("happened", text, said)
        elif when.year < EARLIEST_YEAR:
            self.wrong("happened", text, f"Write a day from {EARLIEST_YEAR} on.")
        elif when > self.now + AHEAD:
            self.wrong("happened", text, "That is more than a day ahead; write it once it has happened.")
        return (self.now.astimezone(self.zone), False) if said else (when, day_only)


def _moment(text: str, zone: ZoneInfo) -> tuple[datetime, bool, str]:
    """(when, day only, what is wrong). A clock time that the zone shows twice or never is wrong."""
    never = datetime(EARLIEST_YEAR, 1, 1, tzinfo=zone)
    ask = "Write 2026-05-03T07:40, with its offset if you like, or 2026-05-03."
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        try:
            day = date.fromisoformat(text)
        except ValueError:
            return never, True, "There is no such day."
        return datetime(day.year, day.month, day.day, 12, tzinfo=zone), True, ""
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?(Z|[+-]\d{2}:\d{2})?", text):
        return never, False, ask
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return never, False, "There is no such time."
    if when.tzinfo is not None:
        return (when, False, "") if 1 < when.year < 9999 else (never, False, ask)
    if not 1 < when.year < 9999:
        return never, False, ask
    first, second = when.replace(tzinfo=zone), when.replace(tzinfo=zone, fold=1)
    if first.utcoffset() != second.utcoffset():
        back = first.astimezone(_UTC).astimezone(zone).replace(tzinfo=None)
        if back != when:
            return never, False, "The clock leapt over that time that night; write the time with its offset."
        return (
            never,
            False,
            f"The clock showed that time twice; write {first.isoformat()} or {second.isoformat()}.",
        )
    return first, False, ""


_UTC = ZoneInfo("UTC")

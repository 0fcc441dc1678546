"""The three kinds of wrong, drawn once.

    bad input            Refused         every Refusal at once: where, what was got, what to do
      a failing store    NotStored       a kind of Refused: nothing is wrong with the input, send it again
    a broken promise     ValueError      inside the heart: names value, unit and limit
    a damaged journal    DamagedJournal  stops and names the line

The command line turns Refused into exit 2 and the others into exit 1; the pages turn Refused into 422,
but NotStored, which time or a person at the disk can mend, is a 503.
"""

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct


class Refusal(Struct, frozen=True):
    """One input turned away.

    where  the place in the input: "row 14, column value", "field length", "--rule"
    got    what stood there, shortened
    do     what the person can do about it
    """

    where: str
    got: str
    do: str

    def sentence(self) -> str:
        return f"{self.where}: got {self.got}. {self.do}"


class Refused(Exception):
    """Bad input; carries all refusals, and nothing was written."""

    def __init__(self, refusals: Iterable[Refusal]) -> None:
        self.refusals = tuple(refusals)
        if not self.refusals:
            raise ValueError("Refused without a refusal, want at least 1")
        super().__init__("; ".join(r.sentence() for r in self.refusals[:3]))


Store = Literal["busy", "full", "moved", "disk", "rights"]


class NotStored(Refused):
    """The book's file or its disk did not take what was sent, or could not be read.

    kind  busy: another program is writing; full: no space left; moved: the file was deleted, moved or
          replaced while it was open; disk: the disk reported an error; rights: it may not be written or read
    """

    def __init__(self, kind: Store, refusal: Refusal) -> None:
        super().__init__([refusal])
        self.kind: Store = kind


def refuse(where: str, got: object, do: str) -> Refused:
    """A Refused with one refusal, for the places where only one thing can be wrong."""
    return Refused([Refusal(where, shown(got), do)])


def shown(got: object, limit: int = 60) -> str:
    """What was got, in quotes, cut to `limit` characters, control characters made visible."""
    try:
        text = repr(got if isinstance(got, str) else str(got))
    except RecursionError:
        text = "'a thing within a thing, too deep to show'"
    return text if len(text) <= limit else text[: limit - 1] + "…"


class DamagedJournal(Exception):
    """The journal's bytes are not what was sealed; `line` is the first that is wrong, 0 the whole file."""

    def __init__(self, line: int, what: str) -> None:
        self.line = line
        self.what = what
        super().__init__(f"line {line}: {what}" if line else what)

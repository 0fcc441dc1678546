"""The three kinds of wrong, drawn once.

    bad input            Refused         every Refusal at once: where, what was got, what to do
    a broken promise     ValueError      inside the heart: names value, unit and limit
    a damaged journal    DamagedJournal  stops and names the line

The command line turns Refused into exit 2 and the others into exit 1; the pages turn Refused into 422.
"""

from collections.abc import Iterable

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

"""What one part of a judgement found, before the parts are put together."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from turnrow.sanitation.standing import WORST, Verdict


@dataclass(frozen=True)
class Found:
    """A part's verdict, its figures and its reasons.

    final  it failed on what no further day could mend
    """

    verdict: Verdict
    hot_days: int = 0
    longest: int = 0
    turns: int = 0
    turn_lines: tuple[int, ...] = ()  # of the turns counted; 0 for a plain file
    days_needed: int = 0
    turns_needed: int = 0
    short_of: tuple[str, ...] = ()
    because: tuple[str, ...] = ()
    run: tuple[int, int] | None = None
    warnings: tuple[str, ...] = ()
    final: bool = False


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of several: one part that fails is not mended by another that is only unproven."""
    return max(verdicts, key=WORST.index)


def bracket(proven: bool, possible: bool) -> Verdict:
    """Met by what was read; or only by what unread time could at best have been; or by neither."""
    if proven:
        return "PASS"
    return "NOT_PROVEN" if possible else "FAIL"


def counted(many: int, thing: str, things: str = "") -> str:
    """ "1 day", "3 days"."""
    return f"{many} {thing if many == 1 else things or thing + 's'}"


def listed(names: Sequence[object], most: int = 5, of: int = 0) -> str:
    """ "1, 2 and 3", cut to `most`; `of`: how many there are, where `names` is only the first of them."""
    every = [str(n) for n in names[:most]]
    rest = max(of, len(names)) - len(every)
    if rest > 0:
        return f"{', '.join(every)} and {rest} more"
    return " and ".join(filter(None, (", ".join(every[:-1]), every[-1]))) if every else "none"

"""The diary's matter folded into a ledger, with the handbook's figures where nobody measured."""

from collections.abc import Mapping

from turnrow.handbook.feedstocks import Figure, feedstocks, find
from turnrow.lots.kept import Kept
from turnrow.lots.ledger import READ, events_of
from turnrow.lots.matter import Tolerance, Typical
from turnrow.yard import history as fold
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Line, SettingChosen, Struck, YardLaidOut

ANEW = (Struck, SettingChosen, YardLaidOut)  # that may change what was posted


class Matter:
    """The ledger of a diary, kept along with it."""

    def __init__(self, diary: Diary) -> None:
        self.diary = diary
        self._kept: Kept | None = None
        self._head = 0

    def kept(self, settings: Mapping[str, Amount]) -> Kept:
        """The ledger as of the diary's newest line: lines added since are posted on it; a struck line, a
        setting or another calendar makes it be folded anew."""
        diary = self.diary
        added = [diary.line(n) for n in range(self._head + 1, diary.head + 1)]
        self._head = diary.head
        if self._kept is None or any(self._anew(line) for line in added):
            self._kept = Kept(events_of(diary), Tolerance.of(settings), typical)
            return self._kept
        for line in added:
            if isinstance(line.entry.what, READ) and diary.counts(line.number):
                self._kept.add(fold.event(line, diary.zone))
        return self._kept

    def _anew(self, line: Line) -> bool:
        what = line.entry.what
        if isinstance(what, Struck) and 1 <= what.line <= self.diary.head:
            return isinstance(self.diary.line(what.line).entry.what, (*READ, *ANEW))
        return isinstance(what, ANEW)


def typical(material: str) -> Typical | None:
    """What the handbook takes for a material; None where it does not know the name."""
    feedstock = find(material, feedstocks())
    if feedstock is None:
        return None
    wet, density = feedstock.figure("moisture"), feedstock.figure("density")
    return Typical(
        f"the handbook’s {feedstock.key}",
        None if wet is None else wet.value / 100,
        None if density is None else density.value / 1000,
        _off(density),
    )


def _off(figure: Figure | None) -> float:
    """Half its range as a share of it; 0 where the handbook gives none."""
    if figure is None or figure.low is None or figure.high is None or not figure.value:
        return 0.0
    return float((figure.high - figure.low) / 2 / figure.value)

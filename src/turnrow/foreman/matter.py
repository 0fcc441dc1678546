"""The diary's matter folded into a ledger, with the handbook's figures where nobody measured."""

from collections.abc import Mapping

from turnrow.handbook.feedstocks import Figure, feedstocks, find
from turnrow.lots.ledger import READ, Ledger, ledger
from turnrow.lots.matter import Tolerance, Typical
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Kind, SettingChosen, Struck, YardLaidOut

CHANGING: tuple[type[Kind], ...] = (*READ, Struck, SettingChosen, YardLaidOut)


def folded(diary: Diary, settings: Mapping[str, Amount]) -> Ledger:
    return ledger(diary, Tolerance.of(settings), typical)


def said_since(diary: Diary, line: int) -> bool:
    """Whether a line after `line` can change the ledger."""
    return any(isinstance(diary.line(n).entry.what, CHANGING) for n in range(line + 1, diary.head + 1))


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

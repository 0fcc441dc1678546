"""Growth tests: how seedlings do in the compost, in percent of how they do in a control."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from turnrow.quality.found import number


@dataclass(frozen=True)
class OfControl:
    """Percent of the control, exact; `doubts` say why it may not count."""

    percent: Fraction
    sentence: str
    doubts: tuple[str, ...] = ()


def emergence(
    up: Sequence[int], control: Sequence[int], sown: int, figures: Mapping[str, Fraction]
) -> OfControl:
    """Seedlings up in each pot of the compost against each pot of the control, `sown` seeds in every pot.

    ValueError for counts above what was sown, no pots, or a control in which nothing came up.
    """
    for many in (*up, *control):
        if not 0 <= many <= sown:
            raise ValueError(f"{many} seedlings of {sown} seeds, want 0 to {sown}")
    found = of_control(list(map(Fraction, up)), list(map(Fraction, control)), "emergence")
    share = 100 * Fraction(sum(control), sown * len(control))
    least = figures["control_emergence"]
    if share < least:
        said = f"Only {number(share)} % came up in the control, under {number(least)} %: sow the test again."
        return OfControl(found.percent, found.sentence, (*found.doubts, said))
    return found


def of_control(treated: Sequence[Fraction], control: Sequence[Fraction], what: str) -> OfControl:
    """Mean of the pots in compost over the mean of the control's, for weight, height or number.

    ValueError without pots, for a negative figure, or a control of nothing.
    """
    if not treated or not control:
        raise ValueError(f"{what} of {len(treated)} pots against {len(control)}, want at least 1 each")
    if min((*treated, *control)) < 0 or sum(control) == 0:
        raise ValueError(f"{what} below 0 or nothing in the control, want figures above 0")
    percent = 100 * (sum(treated, Fraction(0)) / len(treated)) / (sum(control, Fraction(0)) / len(control))
    few = min(len(treated), len(control))
    doubts = ("One pot says little; three or more of each are usual.",) if few < 2 else ()
    return OfControl(percent, f"{what}: {number(percent)} % of the control.", doubts)

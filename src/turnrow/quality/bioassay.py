"""Growth tests: how seedlings do in the compost, in percent of how they do in a control."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from turnrow.quality.found import number
from turnrow.quality.herbicide import HARM
from turnrow.yard.goods import GrowthTest, Result
from turnrow.yard.kind import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import size

NO_SCHEME = (
    "Each scheme has its own plant, mix, pots and days; a test of your own is told in its words and is not "
    "its test."
)


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
    share, least = _share_up(control, sown), figures["control_emergence"]
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


@dataclass(frozen=True)
class Grown:
    """A growth test read: its figures, what is said of it, and what it may not count for.

    results    emergence, vigour and abnormal plants; none where the control did not do
    sentences  the percentages and what was seen
    doubts     why it may not count, or for what
    harm       whether leaves were as a herbicide leaves them
    """

    results: tuple[Result, ...]
    sentences: tuple[str, ...]
    doubts: tuple[str, ...]
    harm: bool


def grown(test: GrowthTest, figures: Mapping[str, Fraction]) -> Grown:
    """What a growth test says. A percentage is cut, never raised, to the millionths a figure is kept in.

    figures  the handbook's: `control_emergence`, the least share of a control's seeds that must come up
    ValueError for counts that cannot be.
    """
    rate = emergence(test.up, test.control_up, test.sown, figures)
    found = [("emergence", rate)]
    if test.weights:
        masses = (_grams(test.weights), _grams(test.control_weights))
        found.append(("vigour", of_control(*masses, "vigour")))
    counts = _share_up(test.control_up, test.sown) >= figures["control_emergence"]
    told = f"{test.plant}, {len(test.up)} pots of {test.sown}" + (f", {test.grown} d" if test.grown else "")
    results = [
        Result(analyte=name, amount=Amount(int(one.percent * MICRO), "%"), method=told) for name, one in found
    ]
    if test.abnormal is not None:
        plants = Amount(test.abnormal * MICRO, "plants")
        results.append(Result(analyte="abnormal plants", amount=plants, method=told))
    harm = test.leaves == "cupped or twisted"
    doubts = dict.fromkeys(doubt for _, one in found for doubt in one.doubts)
    looked = () if test.leaves != "not looked at" else ("Leaves were not looked at for herbicide damage.",)
    return Grown(
        tuple(results) if counts else (),
        (*(one.sentence[:1].upper() + one.sentence[1:] for _, one in found), *((HARM,) if harm else ())),
        (*doubts, *looked, NO_SCHEME),
        harm,
    )


def _share_up(control: Sequence[int], sown: int) -> Fraction:
    return 100 * Fraction(sum(control), sown * len(control))


def _grams(weights: Sequence[Amount]) -> list[Fraction]:
    return [one.value * size(one.unit, "g") for one in weights]

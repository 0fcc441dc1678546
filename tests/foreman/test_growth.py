"""A growth test in a lot's quality: scheme's words, what a bent leaf stops, and the lot paper."""

from msgspec.structs import replace

from turnrow.foreman.lot_papers import lot_paper
from turnrow.foreman.quality import LotQuality
from turnrow.records.lot_papers import lot_sheet
from turnrow.yard import entries as e
from turnrow.yard import goods as g

from .conftest import Yard
from .test_quality import hot, lift, look

SOUND = g.GrowthTest(
    plant="tomato", sown=10, up=(9, 8, 10), control_up=(10, 10, 10), abnormal=0, leaves="sound", lot="26-04"
)
BENT = g.GrowthTest(plant="beans", sown=4, up=(4, 4, 4), control_up=(4, 4, 4), leaves="cupped or twisted")


def told(found: LotQuality, scheme: str) -> str:
    return next(one.sentence for one in found.classes if one.scheme == scheme)


def test_its_figures_count_in_each_scheme_s_own_words(yard: Yard) -> None:
    """27 of 30 seedlings against 30: 90 %, "mature" to one scheme (over 90 is "very mature"); the growth
    test of another asks for the weight of the tops too, and says so."""
    hot(yard)
    lift(yard)
    line = yard.say(45, SOUND).lines[0].number
    found = look(yard)
    assert {one.result.analyte for one in found.figures.counted} == {"emergence", "abnormal plants"}
    assert {one.line for one in found.figures.counted} == {line}
    words = {one.scheme: {test.analyte: test.word for test in one.tests} for one in found.classes}
    assert words["CCQC maturity index"] == {"emergence": "mature"}
    assert words["PAS 100 growth"] == {"emergence": "met", "abnormal plants": "met"}
    assert "vigour" in told(found, "PAS 100 growth")
    assert found.herbicide.tested and found.release.can_be == "proven"


def test_bent_leaves_stop_the_lot_and_call_it_back_once_it_has_left(yard: Yard) -> None:
    """In a test of the lot, or of a row in it before its last turn: turning undoes no herbicide."""
    hot(yard)
    bent = yard.say(5, replace(BENT, row="R7"))
    lift(yard)
    found = look(yard)
    assert found.release.can_be == "not at all"
    (ask,) = found.release.of("failed")
    assert ask.lines == (bent.lines[0].number,) and "Do not sell" in ask.sentence
    yard.say(46, e.Struck(line=bent.lines[0].number, reason="it was drought"))
    assert look(yard).release.can_be == "proven"


def test_the_lot_paper_says_what_was_grown_or_that_nothing_was(yard: Yard) -> None:
    hot(yard)
    lift(yard)

    def part() -> str:
        yard.desk.refresh()
        parts = lot_sheet(lot_paper(yard.desk, "26-04")).parts
        return " ".join(fact.text for one in parts if one.title == "Growth tests" for fact in one.facts)

    assert "No growth test of it is on record" in part() and "horse manure" in part()
    yard.say(45, SOUND)
    said = part()
    assert "of 10 seeds a pot 9, 8, 10 came up" in said and "90 % of the control" in said
    assert "PAS 100 growth (from memory): emergence 90 %: met." in said and "is not its test" in said

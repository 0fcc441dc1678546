"""A growth test read: its figures by pencil, what it may not count for, and leaves that a herbicide bends."""

from dataclasses import replace as changed
from fractions import Fraction

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnrow.handbook.quality import herbicide_inputs, quality_figures, raw_use
from turnrow.quality import herbicide
from turnrow.quality.bioassay import grown
from turnrow.quality.herbicide import HerbicideCheck
from turnrow.quality.release import Heated, LotFacts, may_release
from turnrow.yard.entries import Amount
from turnrow.yard.goods import GrowthTest

FIGURES = quality_figures()


def grams(*weights: str) -> tuple[Amount, ...]:
    return tuple(Amount(int(Fraction(one) * 1_000_000), "g") for one in weights)


TEST = GrowthTest(plant="cress", sown=10, up=(9, 8, 10), control_up=(10, 10, 10))


def figures(test: GrowthTest) -> dict[str, Fraction]:
    return {one.analyte: Fraction(one.amount.value, 1_000_000) for one in grown(test, FIGURES).results}


def test_percent_of_the_control_by_pencil() -> None:
    """27 of 30 against 30 of 30: 90 %. 36 g over 40 g, the same number of pots: 90 %."""
    weighed = msgspec.structs.replace(
        TEST, weights=grams("12", "11", "13"), control_weights=grams("13", "13", "14"), abnormal=2
    )
    assert figures(weighed) == {"emergence": 90, "vigour": 90, "abnormal plants": 2}


def test_pounds_and_grams_give_the_same_vigour() -> None:
    """12 g beside a control of one pound, 453.59237 g: 2.6455 %."""
    test = msgspec.structs.replace(
        TEST, up=(9,), control_up=(9,), weights=grams("12"), control_weights=(Amount(1_000_000, "lb"),)
    )
    assert float(figures(test)["vigour"]) == pytest.approx(1200 / 453.59237, abs=1e-6)


def test_a_share_is_cut_and_never_raised_to_a_limit() -> None:
    """Two of three are 66.666666 %, not 66.666667."""
    test = msgspec.structs.replace(TEST, sown=3, up=(2,), control_up=(3,))
    assert figures(test)["emergence"] == Fraction(66_666_666, 1_000_000)


def test_a_control_that_did_not_do_gives_no_figure() -> None:
    """23 of 30 is 76.7 %, under 80: compost with the same 23 would otherwise be 100 % of it."""
    found = grown(msgspec.structs.replace(TEST, up=(8, 8, 7), control_up=(8, 8, 7)), FIGURES)
    assert found.results == () and any("sow the test again" in one for one in found.doubts)
    edge = grown(msgspec.structs.replace(TEST, control_up=(8, 8, 8)), FIGURES)
    assert edge.results  # 80 % is enough


def test_what_it_may_not_count_for_is_said() -> None:
    one_pot = grown(msgspec.structs.replace(TEST, up=(9,), control_up=(10,)), FIGURES)
    assert any("One pot says little" in one for one in one_pot.doubts)
    assert any("not looked at" in one for one in one_pot.doubts)
    assert any("is not its test" in one for one in one_pot.doubts)


def test_bent_leaves_are_harm_even_where_the_control_failed() -> None:
    bent = msgspec.structs.replace(TEST, leaves="cupped or twisted", control_up=(1, 1, 1))
    found = grown(bent, FIGURES)
    assert found.harm and any("Do not sell" in one for one in found.sentences) and found.results == ()
    assert not grown(msgspec.structs.replace(TEST, leaves="sound"), FIGURES).harm


def released(check: HerbicideCheck) -> str:
    heat = Heated("PASS", "A-RULE", "It was hot.", (1,))
    return may_release(LotFacts(lot="A", heat=heat, herbicide=check), raw_use()).can_be


def test_a_lot_with_bent_leaves_does_not_leave() -> None:
    """Whatever heat and limits say; advice alone forbids nothing."""
    advised = herbicide.check([("hay", 3)], herbicide_inputs())
    assert advised.advised and not advised.tested and released(advised) == "proven"
    harmed = herbicide.check([("wood chips", 3)], herbicide_inputs(), tested=True, harmed=(41,))
    assert harmed.advised and "Line 41" in harmed.sentences[0] and released(harmed) == "not at all"
    assert released(changed(harmed, harmed=())) == "proven"


@given(
    st.integers(1, 50).flatmap(
        lambda sown: st.tuples(
            st.just(sown),
            st.lists(st.integers(0, sown), min_size=1, max_size=8),
            st.lists(st.integers(0, sown), min_size=1, max_size=8).filter(any),
        )
    )
)
def test_figures_only_of_a_control_that_did(drawn: tuple[int, list[int], list[int]]) -> None:
    sown, up, control = drawn
    found = grown(
        GrowthTest(plant="beans", sown=sown, up=tuple(up), control_up=tuple(control)), FIGURES
    ).results
    assert bool(found) == (100 * sum(control) >= 80 * sown * len(control))
    if found:
        exact = Fraction(100 * sum(up) * len(control), len(up) * sum(control))
        assert 0 <= exact - Fraction(found[0].amount.value, 1_000_000) < Fraction(1, 1_000_000)

"""What a lot may leave as: never against a failure, unproven only as raw, with the limits printed."""

from dataclasses import replace
from datetime import date

import pytest

from turnrow.handbook.quality import limit_sets, raw_use, sampling_plans, schemes
from turnrow.quality.limits import judge
from turnrow.quality.maturity import scheme_class
from turnrow.quality.release import Heat, Heated, LotFacts, Release, Wanted, fails_after_release, may_release
from turnrow.quality.sampling import Made, plan

from .conftest import DAY, Make

HOT = Heated("PASS", "US-503-PFRP-WINDROW", "All of it was proven hot.", (12, 30))
GERMS = limit_sets()["ca-germs"]


def asked(facts: LotFacts) -> Release:
    return may_release(facts, raw_use())


@pytest.mark.parametrize(
    ("verdict", "can_be"),
    [
        ("PASS", "proven"),
        ("NOT_PROVEN", "treated as raw"),
        ("REVIEW", "treated as raw"),
        ("FAIL", "not at all"),
    ],
)
def test_heat_decides_what_a_lot_may_be(verdict: Heat, can_be: str) -> None:
    found = asked(LotFacts("26-04", replace(HOT, verdict=verdict)))
    assert found.can_be == can_be and found.asks[0].lines == (12, 30)
    assert ("120 days" in " ".join(found.limits)) == (can_be == "treated as raw")
    assert ("Only its heat" in " ".join(found.limits)) == (can_be == "proven")


def test_what_is_from_memory_is_said_with_a_proven_lot() -> None:
    found = asked(LotFacts("26-04", replace(HOT, known="MEMORY", rule="UK-PAS100")))
    assert found.can_be == "proven"
    assert any("from memory: UK-PAS100" in one for one in found.limits)


def test_without_a_rule_nothing_is_proven() -> None:
    assert asked(LotFacts("26-04", None)).can_be == "treated as raw"


def test_the_limits_of_raw_are_printed_with_what_was_not_shown() -> None:
    """7 CFR 205.203(c)(1): 120 and 90 days (READ)."""
    text = " ".join(asked(LotFacts("26-04", replace(HOT, verdict="NOT_PROVEN"))).limits)
    assert "120 days" in text and "90 days" in text and "112.56" in text
    assert "Not shown of this lot: heat." in text and "from memory" in text


def test_a_test_that_was_not_done_leaves_it_unproven_and_a_failed_one_keeps_it_here(figure: Make) -> None:
    low, high = figure("fecal coliform", "<20 MPN/g dry"), figure("fecal coliform", "1000 MPN/g dry")
    salmonella = figure("Salmonella", "<1 MPN/4 g dry")
    good = asked(LotFacts("L", HOT, (judge(GERMS, [low, salmonella], DAY),)))
    assert good.can_be == "proven" and len(good.of("proven")) == 3
    untested = asked(LotFacts("L", HOT, (judge(GERMS, [low], DAY),)))
    assert untested.can_be == "treated as raw" and [a.what for a in untested.of("missing")] == ["Salmonella"]
    failed = asked(LotFacts("L", HOT, (judge(GERMS, [high, salmonella], DAY),)))
    assert failed.can_be == "not at all" and "1000 MPN/g" in failed.sentence
    assert [a.what for a in fails_after_release(failed)] == ["fecal coliform"]


def test_what_is_not_ripe_can_still_ripen(figure: Make) -> None:
    found = scheme_class(schemes()["O2 classes"], [figure("O2 uptake", "1.2 mg O2/g OM/h")])
    assert found.rank == 3
    assert asked(LotFacts("L", HOT, wanted=(Wanted(found, 3),))).can_be == "proven"
    short = asked(LotFacts("L", HOT, wanted=(Wanted(found, 2),)))
    assert short.can_be == "treated as raw" and "cure on" in short.of("missing")[0].sentence


def test_a_lot_called_back_stays(figure: Make) -> None:
    found = asked(LotFacts("L", HOT, held=(("glass in a bag", 88),)))
    assert found.can_be == "not at all" and 88 in found.lines
    assert fails_after_release(found) == ()


def test_california_wants_the_result_in_hand_before_removal(figure: Make) -> None:
    """14 CCR 17868.1 (READ)."""
    plans = sampling_plans()
    due = plan(plans["ca-17868-1"], plans["any"], Made(9000, 10), date(2026, 8, 1), date(2026, 1, 1), DAY)
    assert asked(LotFacts("L", HOT, due=due, sampled=False)).can_be == "not at all"
    tested = judge(GERMS, [figure("fecal coliform", "<20 MPN/g dry")], DAY)
    assert asked(LotFacts("L", HOT, (tested,), due=due, sampled=True)).can_be == "not at all"
    both = [figure("fecal coliform", "<20 MPN/g dry"), figure("Salmonella", "<1 MPN/4 g dry")]
    assert asked(LotFacts("L", HOT, (judge(GERMS, both, DAY),), due=due, sampled=True)).can_be == "proven"


def test_an_overdue_sample_leaves_it_unproven() -> None:
    plans = sampling_plans()
    due = plan(plans["us-503-16"], plans["any"], Made(2000, 500), date(2026, 1, 1), date(2026, 1, 1), DAY)
    found = asked(LotFacts("L", HOT, due=due, sampled=True))
    assert found.can_be == "treated as raw" and found.of("missing")[0].what == "sampling"

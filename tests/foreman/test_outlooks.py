"""Who speaks of a yard's row: chosen by its own earlier mornings, and all that is shown rests on it."""

from dataclasses import replace

import numpy as np
import pytest

from turnrow.foreman import outlooks as made_by
from turnrow.foreman.outlook_plan import Plan, plan_of
from turnrow.foreman.outlooks import Outlooks, RowOutlook
from turnrow.heap.as_chosen import BACK_H
from turnrow.heap.believed import Prior
from turnrow.heap.fit import Fitted
from turnrow.heap.known import Known
from turnrow.heap.log_says import SPEAKS_H
from turnrow.heap.scored import Choice, choice

from .conftest import Yard, at

SAWTOOTH = ("58", "62", "59", "63", "60", "64")


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(made_by, "MEMBERS", 64)
    monkeypatch.setattr(made_by, "PAST_MEMBERS", 64)


@pytest.fixture
def plan(yard: Yard) -> Plan:
    yard.build("R7")
    for day in range(1, 13):
        yard.read("R7", day, *(SAWTOOTH[(day + place) % 6] for place in (0, 2)))
    yard.desk.refresh()
    found = plan_of(yard.desk, "R7", at(12, 8))
    assert found is not None
    return found


def told(plan: Plan, monkeypatch: pytest.MonkeyPatch, used: str = "") -> RowOutlook:
    """The outlook scored; with a choice of ours where one is named."""

    def ours(model: list[float], log: list[float], first: str) -> Choice:
        return replace(choice(model, log, first), used=used or first)

    monkeypatch.setattr(made_by, "choice", ours)
    outlooks = Outlooks()
    return outlooks.scored(outlooks.made(plan))


def test_the_choice_is_made_by_both_scores_of_the_rows_own_mornings(plan: Plan) -> None:
    outlooks = Outlooks()
    before = outlooks.made(plan)
    assert before.ahead.choice is None and before.outlook.used == "process model"
    after = outlooks.scored(before).ahead
    assert after.choice is not None and after.choice.count >= 12  # mornings and hours ahead, not places
    assert after.choice.count < sum(one.count for one in after.scores)
    assert np.isfinite([after.choice.model_k, after.choice.log_k]).all()
    assert after.outlook.used == after.choice.used and after.outlook.why == after.choice.why


@pytest.mark.parametrize("used", ["statistical", "both"])
def test_where_the_log_speaks_fan_scores_and_limits_are_of_it_and_what_ifs_the_models(
    plan: Plan, monkeypatch: pytest.MonkeyPatch, used: str
) -> None:
    model, other = told(plan, monkeypatch), told(plan, monkeypatch, used)
    a, b = model.outlook, other.outlook
    assert b.used == used and not np.array_equal(a.fan[:SPEAKS_H], b.fan[:SPEAKS_H])
    assert np.array_equal(a.fan[BACK_H - 1 :], b.fan[BACK_H - 1 :])
    assert a.moisture == b.moisture and a.curing_chance == b.curing_chance and a.notices == b.notices
    assert [one.count for one in model.ahead.scores] == [one.count for one in other.ahead.scores]
    assert [one.crps for one in model.ahead.scores] != [one.crps for one in other.ahead.scores]
    assert model.usual == other.usual and other.fitted.members == 64


def test_nothing_written_or_read_later_changes_what_an_earlier_morning_says(
    yard: Yard, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two mornings on, the log says of the mornings both plans have what it said, to the last bit."""
    mornings = {one.at_s: one for one in plan.mornings}
    yard.read("R7", 13, "30", "31")
    yard.read("R7", 14, "29", "30")
    yard.desk.refresh()
    later = plan_of(yard.desk, "R7", at(14, 8))
    assert later is not None
    before, after = (
        {says.at_s: says for says in made_by._log_says(one, [then.at_s for then in one.mornings])[1:]}
        for one in (plan, later)
    )
    both = set(before) & set(after)
    assert len(both) >= 7 and both <= set(mornings)
    assert all(np.array_equal(before[moment].ahead_c, after[moment].ahead_c) for moment in both)


def test_a_morning_the_model_could_not_follow_is_left_out_of_both_scores(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    fitted_of, mornings = made_by.fit, [one.at_s for one in plan.mornings]

    def broken(known: Known, belief: Prior, *, now_s: int, members: int) -> Fitted:
        if now_s == mornings[2]:
            raise ValueError("no guess")
        return fitted_of(known, belief, now_s=now_s, members=members)

    monkeypatch.setattr(made_by, "fit", broken)
    outlooks = Outlooks()
    found = outlooks.scored(outlooks.made(plan))
    assert found.mornings == len(mornings) - 1 and found.ahead.choice is not None
    assert outlooks.scored(found).ahead.choice == found.ahead.choice

"""What stands beside a verdict wherever it goes: late lines, a rule or a reading of it changed afterwards."""

from dataclasses import replace
from datetime import timedelta

import pytest

from turnrow.foreman.lot_page import lot_list
from turnrow.foreman.lot_papers import lot_paper
from turnrow.foreman.lots import lot_standing, proof_beside, recalled
from turnrow.foreman.papers import row_paper
from turnrow.foreman.quality import lot_quality
from turnrow.foreman.rules import choices_against
from turnrow.foreman.season import season_book
from turnrow.handbook.book import handbook
from turnrow.records.label import label_sheet
from turnrow.records.lot_papers import lot_sheet, story_sheet
from turnrow.records.row_sheet import row_sheet
from turnrow.records.season_book import season_sheet
from turnrow.yard import entries as e
from turnrow.yard import goods as g
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at

WINDROW = "US-503-PFRP-WINDROW"
TURNED = (2, 5, 8, 11, 14)


def hot(yard: Yard, row: str = "R1", skip: int = 0, late_days: float = 0.0) -> None:
    """Fifteen days at 60 °C with five turns; one day may be unread, and all may be written later."""
    yard.build(row)
    for day in range(1, 17):
        read = tuple(e.Reading(n, 600, 60_000_000) for n in ("1", "2"))
        if day != skip:
            write(yard, day, e.Round(row=row, unit="C", readings=read, probe="P1"), late_days)
        if day in TURNED:
            write(yard, day, e.Turned(row=row), late_days)


def write(yard: Yard, day: int, what: e.What, late_days: float = 0.0, hour: float = 7) -> int:
    number = yard.book.head().line + 1
    entry = e.Entry(id=f"e{number}", happened=at(day, hour), who="ana", what=what)
    yard.book.append([entry], written=at(day, hour) + timedelta(days=late_days))
    yard.desk.refresh()
    return number


def beside(yard: Yard, row: str = "R1") -> list[str]:
    yard.desk.refresh()
    return [said for said, _ in yard.desk.standing(row).beside]


@pytest.mark.parametrize(
    ("late_days", "said"),
    [
        (0, None),
        (1, None),  # exactly 24 h, the setting `late_hours` (common practice)
        (1.01, "32 of 32 readings and 5 of 5 turns that it rests on were written late, up to 24 hours after"),
        (60, "32 of 32 readings and 5 of 5 turns that it rests on were written late, up to 60 days after"),
    ],
)
def test_late_lines_are_counted_and_measured(yard: Yard, late_days: float, said: str | None) -> None:
    """21 CFR 112.161(a)(4) (READ): records are made when the work is done."""
    hot(yard, late_days=late_days)
    assert yard.desk.standing("R1").standing.verdict == "PASS"
    found = beside(yard)
    assert (found == []) if said is None else found[0].startswith(said)


def test_only_lines_the_verdict_rests_on_are_counted(yard: Yard) -> None:
    hot(yard)
    yard.build("R2")
    write(yard, 30, e.Round(row="R1", unit="C", readings=(e.Reading("1", 600, 40_000_000),)), 9)
    assert beside(yard) == []  # day 30 is not of the run
    write(yard, 3, e.Note(row="R1", text="steam"), 9)
    assert beside(yard) == []


def test_the_yards_own_setting_says_what_is_late(yard: Yard) -> None:
    hot(yard, late_days=2)
    assert beside(yard)
    write(yard, 0, e.SettingChosen(name="late_hours", amount=e.Amount(72_000_000, "h")))
    assert beside(yard) == []


def choose(yard: Yard, day: int, rule: str = WINDROW, row: str = "R1", **policies: str) -> int:
    return write(yard, day, e.RuleChosen(rule=rule, row=row, policies=policies))


def test_a_policy_changed_after_the_readings_is_said(yard: Yard) -> None:
    """A day unread splits the run; read cumulatively afterwards it is met, and the change stands beside."""
    choose(yard, 0, continuity="consecutive")
    hot(yard, skip=9)
    assert yard.desk.standing("R1").standing.verdict == "NOT_PROVEN" and beside(yard) == []
    line = choose(yard, 17, continuity="cumulative")
    ((said, lines),) = yard.desk.standing("R1").beside
    assert yard.desk.standing("R1").standing.verdict == "PASS"
    assert said == (
        "Changed after 30 readings of it were on record: continuity was consecutive and is now cumulative."
    )
    assert lines == (line,)


def test_a_choice_back_dated_before_the_readings_is_said_by_when_it_was_written(yard: Yard) -> None:
    hot(yard, skip=9)
    choose(yard, 0, continuity="cumulative")
    assert "continuity was consecutive and is now cumulative" in beside(yard)[0]


def test_a_rule_changed_for_the_yard_is_said_of_its_rows(yard: Yard) -> None:
    hot(yard)
    choose(yard, 20, "US-257-PFRP-WINDROW", row="")
    assert f"the rule was {WINDROW} and is now US-257-PFRP-WINDROW" in beside(yard)[0]
    choose(yard, 20, "US-257-PFRP-WINDROW")  # the same for the row alone: nothing changes
    assert len(beside(yard)) == 1


def test_what_was_chosen_before_the_first_reading_or_changes_nothing_is_not_said(yard: Yard) -> None:
    choose(yard, 0, continuity="cumulative")
    choose(yard, 0, continuity="consecutive")
    hot(yard)
    choose(yard, 20, continuity="consecutive")
    choose(yard, 20)
    assert beside(yard) == []


def test_a_choice_struck_after_the_readings_is_a_change_too(yard: Yard) -> None:
    line = choose(yard, 0, continuity="consecutive")
    choose(yard, 0, "US-257-PFRP-WINDROW", row="")
    hot(yard)
    assert beside(yard) == []
    strike = write(yard, 18, e.Struck(line=line, reason="wrong rule"))
    ((said, lines),) = yard.desk.standing("R1").beside
    assert f"the rule was {WINDROW} and is now US-257-PFRP-WINDROW" in said and lines == (strike,)


def test_it_goes_with_the_row_into_what_receives_it(yard: Yard) -> None:
    hot(yard, late_days=60)
    hot(yard, "R2")
    write(yard, 40, e.Merged(row="R2", sources=("R1", "R2")))
    found = yard.desk.standing("R2")
    assert found.standing.verdict == "PASS"
    assert any(said.startswith("Row R1: 32 of 32 readings") for said in beside(yard, "R2"))


@pytest.fixture
def made(yard: Yard) -> Yard:
    """A lot of a row written 60 days late, its policy changed after the readings; released as proven."""
    choose(yard, 0, continuity="consecutive")
    hot(yard, skip=9, late_days=60)
    choose(yard, 17, continuity="cumulative")
    write(yard, 80, g.LotMade(lot="26-01", sources=(g.Share(row="R1"),), amount=e.Amount(9_000_000, "t")))
    name, verdict = "Ana", "PASS"
    write(yard, 81, g.Released(lot="26-01", name=name, how="proven", rule=WINDROW, verdict=verdict, upto=40))
    return yard


SAID = ("continuity was consecutive and is now cumulative", "30 of 30 readings")


def test_it_stands_beside_the_verdict_everywhere(made: Yard) -> None:
    desk, now = made.desk, at(82)
    paper = lot_paper(desk, "26-01")
    shown = {
        "row sheet": " ".join(row_sheet(row_paper(desk, "R1")).verdict.beside),
        "lot": " ".join(said for said, _ in lot_standing(desk, "26-01").beside),
        "list of lots": " ".join(said for said, _ in lot_list(desk, now)[0].beside),
        "release": next(a.sentence for a in lot_quality(desk, "26-01", now).release.asks if a.what == "heat"),
        "lot paper": repr(lot_sheet(paper)),
        "story": repr(story_sheet(paper)),
        "season book": repr(season_sheet(season_book(desk, 2026))),
        "recall": " ".join(said for said, _ in proof_beside(desk, recalled(desk, "lot 26-01")[0])),
        "recall of the row": " ".join(said for said, _ in proof_beside(desk, recalled(desk, "row R1")[0])),
    }
    label = label_sheet(replace(paper, lost=()))  # as if all else were shown of it
    assert label.state == "Compost, proven hot"
    shown["label"] = " ".join(label.beside)
    for where, text in shown.items():
        for said in SAID:
            assert said in text, where


def test_a_reading_no_text_leaves_open_is_refused_and_named_where_it_was_brought_in(yard: Yard) -> None:
    """The mean, chosen after the readings, made "proven hot" of 51 °C; every form refuses it."""
    yard.build("R1")
    fields = {"rule": WINDROW, "row": "R1", "policy.station": "mean"}
    with pytest.raises(Refused, match="station"):
        yard.desk.write("rule chosen", fields, now=at(3), who="Ana")
    for day in range(1, 16):
        yard.read("R1", day, "64", "51")
    line = choose(yard, 16, station="mean")  # as another book would bring it in
    found = yard.desk.standing("R1").standing
    assert (found.verdict, found.rule) == ("REVIEW", "")
    ((said, lines),) = choices_against(yard.desk.diary, handbook())
    assert lines == (line,) and "never a verdict" in said

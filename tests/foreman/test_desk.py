"""What the desk keeps, and what makes it look again: late lines, strikes, merges, choices."""

from typing import Any

import pytest

from turnrow.foreman.intake import take
from turnrow.gate.handed import Handed
from turnrow.yard import entries as e

from .conftest import at


def _two_rows(yard: Any) -> None:
    for row in ("R7", "R8"):
        yard.build(row)
        for day in range(1, 5):
            yard.read(row, day, "60", "61")
    yard.desk.refresh()


def test_a_new_line_makes_only_its_row_be_read_anew(yard: Any) -> None:
    _two_rows(yard)
    before = {row: yard.desk.standing(row) for row in ("R7", "R8")}
    assert yard.desk.standing("R7") is before["R7"]
    yard.read("R7", 5, "60", "61")
    yard.desk.refresh()
    assert yard.desk.standing("R7") is not before["R7"]
    assert yard.desk.standing("R8") is before["R8"]
    assert yard.desk.standing("R7").standing.hot_days == 5


def test_a_late_line_stands_where_it_happened(yard: Any) -> None:
    """d3 was walked and not written down; it closes the gap."""
    yard.build("R7")
    for day in (1, 2, 4):
        yard.read("R7", day, "60", "61")
    yard.desk.refresh()
    assert yard.desk.standing("R7").standing.longest_run_days == 2
    yard.read("R7", 3, "60", "61")
    yard.desk.refresh()
    assert yard.desk.standing("R7").standing.longest_run_days == 4


def test_a_struck_round_no_longer_counts(yard: Any) -> None:
    _two_rows(yard)
    cold = yard.read("R7", 5, "60", "40").lines[0].number
    yard.desk.refresh()
    assert "R7 restart" in yard.today(5)
    yard.say(5, e.Struck(line=cold, reason="read in row R9"), 9)
    jobs = yard.today(5)
    assert "R7 restart" not in jobs and "R7 probe" in jobs


def test_a_row_pushed_in_unproven_starts_the_proof_anew_and_has_no_jobs_itself(yard: Any) -> None:
    _two_rows(yard)
    yard.say(4, e.Merged(row="R7", sources=("R7", "R8")), 12)
    yard.read("R7", 5, "60", "61")
    jobs = yard.today(5)
    assert {job.row for job in jobs.values()} <= {"R7", ""}
    standing = yard.desk.standing("R7")
    assert standing.since > 0 and standing.standing.hot_days == 1


def test_a_line_on_a_merged_row_reaches_the_row_it_went_into(yard: Any) -> None:
    _two_rows(yard)
    yard.say(4, e.Merged(row="R7", sources=("R7", "R8")), 12)
    yard.desk.refresh()
    before = yard.desk.standing("R7")
    yard.say(2, e.Turned(row="R8"), 13)  # told late
    yard.desk.refresh()
    assert yard.desk.standing("R7") is not before


def test_the_rule_is_the_rows_then_the_yards_then_the_default(yard: Any) -> None:
    _two_rows(yard)
    assert yard.desk.rule_for("R7")[0] == "US-503-PFRP-WINDROW"
    yard.say(5, e.RuleChosen(rule="US-FSMA-TURNED"))
    yard.say(5, e.RuleChosen(rule="UK-PAS100", row="R7", facts={"cn_initial": "31"}))
    yard.desk.refresh()
    assert yard.desk.rule_for("R7")[0] == "UK-PAS100" and yard.desk.rule_for("R8")[0] == "US-FSMA-TURNED"
    assert yard.desk.rule_for("R7")[2]["cn_initial"] == "31"
    assert yard.desk.standing("R8").standing.rule == "US-FSMA-TURNED"
    yard.say(6, e.RuleChosen(rule="US-257-PFRP-WINDROW", row="R7"))
    yard.desk.refresh()
    rule, _, facts = yard.desk.rule_for("R7")
    assert rule == "US-257-PFRP-WINDROW" and facts["cn_initial"] == "31"


@pytest.mark.parametrize("process", ["static", "slow", "worm"])
def test_a_heap_that_is_not_turned_has_no_rule_until_one_is_chosen(yard: Any, process: str) -> None:
    yard.build("S1", process=process)
    yard.desk.refresh()
    assert yard.desk.rule_for("S1")[0] == ""
    standing = yard.desk.standing("S1").standing
    assert standing.verdict == "REVIEW" and f"which is a {process} heap" in standing.because[0]
    yard.say(1, e.RuleChosen(rule="US-503-PFRP-STATIC", row="S1"))
    yard.desk.refresh()
    assert yard.desk.standing("S1").standing.rule == "US-503-PFRP-STATIC"


def test_a_rule_or_policy_that_does_not_fit_hides_no_other_row(yard: Any) -> None:
    _two_rows(yard)
    yard.say(5, e.RuleChosen(rule="NO-SUCH-RULE", row="R7"))
    yard.say(5, e.RuleChosen(rule="US-503-PFRP-WINDROW", row="R8", policies={"continuity": "sometimes"}))
    yard.read("R7", 5, "60", "66")
    jobs = yard.today(5)
    assert "R7 turn" in jobs and any(job.row == "R8" for job in jobs.values())
    assert "NO-SUCH-RULE, is not in this handbook" in yard.desk.standing("R7").standing.because[0]
    assert "sometimes" in yard.desk.standing("R8").standing.because[0]


def test_facts_are_gathered_from_the_diary_as_typed(yard: Any) -> None:
    what = e.RowBuilt(row="R7", length=e.Amount(450_000_000, "ft"), volume=e.Amount(300_500_000, "m3"))
    yard.say(0, what)
    yard.say(1, e.Measured(row="R7", quantity="C:N", amount=e.Amount(31_500_000, "")))
    yard.say(2, e.Measured(row="R7", quantity="C:N", amount=e.Amount(24_000_000, "")))
    yard.say(9, e.MovedToCuring(row="R7"))
    yard.read("R7", 10, "41", "38")
    yard.desk.refresh()
    assert yard.desk.rule_for("R7")[2] == {
        "length_ft": "450",
        "volume_m3": "300.5",
        "cn_initial": "31.5",
        "curing_recorded": "true",
    }


def test_curing_is_on_record_once_it_was_read_and_stayed_below_131_f(yard: Any) -> None:
    # 21 CFR 112.54(b): adequate curing, which falls and stays below 131 °F (55 °C)
    yard.build("R7")
    yard.read("R7", 1, "60", "60")
    yard.say(2, e.MovedToCuring(row="R7"))

    def on_record() -> bool:
        yard.desk.refresh()
        return "curing_recorded" in yard.desk.rule_for("R7")[2]

    assert not on_record()  # moved, and never read since
    yard.read("R7", 3, "54", "55")
    assert not on_record()  # exactly 131 °F is not below it
    yard.read("R7", 4, "54", "54.9")
    assert on_record()
    yard.read("R7", 5, "54", "58")
    assert not on_record()  # it did not stay below


def test_the_yards_own_settings_overlay_the_handbooks(yard: Any) -> None:
    yard.build("R7")
    yard.read("R7", 1, "60", "63")
    assert "R7 turn" not in yard.today(1)
    yard.say(1, e.SettingChosen(name="turn_limit", amount=e.Amount(62_000_000, "C"), reason="dry summer"))
    assert "the limit is 62 °C" in yard.today(1)["R7 turn"].text
    assert yard.desk.settings()["fire_stop"] == e.Amount(80_000_000, "C")


def test_weather_of_the_day_holds_the_turner(yard: Any) -> None:
    yard.build("R7")
    yard.read("R7", 1, "60", "66")
    yard.say(1, e.Weather(wind=e.Amount(12_000_000, "m/s")), 6)
    assert "R7 wait" in yard.today(1)


def test_a_probe_is_asked_for_its_check_until_it_is_checked(yard: Any) -> None:
    yard.build("R7")
    yard.read("R7", 1, "60", "61")
    assert "probe P1 check" in yard.today(1)
    receipt = yard.desk.tick(
        "probe P1 check", at(1, 9), "ana", fields={"probe": "P1", "bath": "0 C", "read": "0.2 C"}
    )
    assert [type(line.entry.what).__name__ for line in receipt.lines] == ["ProbeChecked", "JobDone"]
    assert "boiling water" in yard.today(2)["probe P1 check"].text
    yard.desk.tick(
        "probe P1 check", at(2, 9), "ana", fields={"probe": "P1", "bath": "100 C", "read": "99.5 C"}
    )
    assert "probe P1 check" not in yard.today(2, 10)
    assert "probe P1 check" not in yard.today(20)


def test_a_file_taken_in_is_seen_at_once(yard: Any) -> None:
    yard.build("R7")
    data = b"at,station,depth_cm,value,unit\n2026-05-01T07:00,1,60,66.5,C\n2026-05-01T07:00,2,60,60,C\n"
    yard.desk.refresh()
    take(yard.desk.book, yard.desk.diary, Handed(data, "round.csv", at(1, 8), "ana", row="R7"))
    yard.desk.refresh()
    assert "66.5 °C at station 1" in yard.today(1)["R7 turn"].text


def test_an_unknown_row_is_a_key_error(yard: Any) -> None:
    with pytest.raises(KeyError):
        yard.desk.standing("R99")

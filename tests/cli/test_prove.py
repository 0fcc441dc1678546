"""`turnrow prove`: what it answers and what it turns away. Records here are invented."""

from itertools import product
from pathlib import Path
from typing import Any

import pytest

from tests.cli.asked import Command, Files

KEYS = {
    "rule",
    "verdict",
    "policies",
    "hot_days",
    "longest_run_days",
    "hot_hours",
    "turns_counted",
    "short_of",
    "because",
}
WINDROW = "US-503-PFRP-WINDROW"
DAYS = ("calendar", "elapsed")  # the policy's values


ASKED = Command("prove")
run, answer, refusals = ASKED.run, ASKED.answer, ASKED.refusals


@pytest.fixture
def file(tmp_path: Path) -> Files:
    return Files(tmp_path)


def fifteen(value: str = "58", unit: str = "C") -> str:
    return "at,value,unit\n" + "".join(f"2026-05-{d:02},{value},{unit}\n" for d in range(1, 16))


def turns(*days: int) -> str:
    return "at\n" + "".join(f"2026-05-{d:02}\n" for d in days)


def test_the_answer_has_its_keys_and_names_its_policies(file: Any) -> None:
    found = answer(file(fifteen()), "--rule", WINDROW, "--turns", file(turns(3, 6, 9, 12, 14), "t.csv"))
    assert set(found) >= KEYS
    assert (found["verdict"], found["hot_days"], found["turns_counted"]) == ("PASS", 15, 5)
    assert found["policies"]["continuity"] == "consecutive"
    assert found["short_of"] == []
    assert found["because"]


def test_a_chosen_policy_is_used_and_named(file: Any) -> None:
    record = file(fifteen().replace("2026-05-08,58,C\n", "") + "2026-05-16,58,C\n")
    marks = file(turns(2, 5, 8, 11, 14), "t.csv")
    assert answer(record, "--rule", WINDROW, "--turns", marks)["verdict"] == "NOT_PROVEN"
    found = answer(record, "--rule", WINDROW, "--turns", marks, "--continuity", "cumulative")
    assert (found["verdict"], found["policies"]["continuity"]) == ("PASS", "cumulative")


def test_all_policies_give_a_list_with_one_answer_each(file: Any) -> None:
    found = answer(file(fifteen()), "--rule", WINDROW, "--all-policies")
    read = [(f["policies"]["continuity"], f["policies"]["day"], f["policies"]["turn_count"]) for f in found]
    assert read == list(product(("consecutive", "cumulative"), DAYS, ("visit", "literal", "recovery")))
    assert {f["policies"]["station"] for f in found} == {"min"}


def test_a_fact_is_asked_for_by_name(file: Any) -> None:
    record, marks = file(fifteen("140", "°F")), file(turns(3, 6, 9, 12, 14), "t.csv")
    found = answer(record, "--rule", "US-NOP-WINDROW", "--turns", marks)
    assert found["verdict"] == "NOT_PROVEN"
    assert any("say cn_initial" in text for text in found["short_of"])
    told = answer(record, "--rule", "US-NOP-WINDROW", "--turns", marks, "--fact", "cn_initial=30")
    assert told["verdict"] == "PASS"


def test_a_fact_the_rule_has_no_use_for_is_noticed(file: Any) -> None:
    found = answer(file(fifteen()), "--rule", WINDROW, "--fact", "moon=full")
    assert any("moon" in notice for notice in found["notices"])


def test_rules_of_figures_alone_need_no_readings() -> None:
    found = answer(
        "--rule",
        "US-503-CLASS-A-MICRO",
        "--fact",
        "fecal_coliform_mpn_g=999",
        "--fact",
        "salmonella_mpn_4g=5",
    )
    assert found["verdict"] == "PASS"


def test_everything_wrong_with_the_options_is_told_at_once(file: Any) -> None:
    told = refusals(
        file(fifteen()),
        "--rule",
        WINDROW,
        "--continuity",
        "sometimes",
        "--day",
        "lunar",
        "--fact",
        "cn",
        "--zone",
        "Mars",
    )
    text = " ".join(told)
    assert all(word in text for word in ("continuity", "policy day", "--fact"))


def test_an_unknown_rule_names_those_near_to_it() -> None:
    (told,) = refusals("--rule", "US-503-PFRP-WINDROWS")
    assert WINDROW in told


def test_a_policy_the_text_settles_is_not_chosen_away(file: Any) -> None:
    (told,) = refusals(file(fifteen()), "--rule", "US-FSMA-STATIC", "--continuity", "cumulative")
    assert "consecutive only" in told


def test_a_malformed_fact_is_refused_by_name(file: Any) -> None:
    (told,) = refusals(file(fifteen()), "--rule", "US-NOP-WINDROW", "--fact", "cn_initial=about 30")
    assert "cn_initial" in told


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "at,value,unit\n2026-05-01,58,C\n2026-05-02,hot,C\n2026-05-32,58,C\n",
            ("row 3, column value", "row 4, column at"),
        ),
        ("at,value,value,unit\n2026-05-01,58,58,C\n", ("2 columns named value",)),
        ("", ("log.csv",)),
        ("at,value,unit\n", ("no row",)),
        ("2026-05-01,58,C\n2026-05-02,58,C\n", ("at",)),
        ("at,value,unit\n2026-05-01,58,X\n", ("column unit",)),
        ("at,value,unit\n2026-05-01,58,\n", ("no unit",)),
        ("at,value,unit\n2026-05-01,1e99,C\n", ("column value",)),
    ],
)  # fmt: skip
def test_a_bad_file_is_refused_with_its_places(file: Any, text: str, words: tuple[str, ...]) -> None:
    told = " | ".join(refusals(file(text), "--rule", WINDROW))
    assert all(word in told for word in words), told


def test_bad_readings_and_bad_turns_are_told_together(file: Any) -> None:
    told = refusals(
        file("at,value,unit\n2026-05-01,warm,C\n"),
        "--rule",
        WINDROW,
        "--turns",
        file("2026-05-03\n2026-05-06\n", "t.csv"),
    )
    assert any("column value" in one for one in told)
    assert any("t.csv, row 1" in one for one in told)


def test_a_file_that_is_not_there_is_refused() -> None:
    (told,) = refusals("nowhere.csv", "--rule", WINDROW)
    assert "READINGS" in told


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffat,value,unit\n2026-05-01,57.5,C\n2026-05-02,57.5,C\n2026-05-03,57.5,C\n",
        "at;value;unit\n2026-05-01;57,5;°C\n2026-05-02;57,5;°C\n2026-05-03;57,5;°C\n",
        "at,value,unit\r\n2026-05-01,57.5,C\r\n2026-05-02,57.5,C\r\n2026-05-03,57.5,C\r\n",
        "unit,remark,value,at\nK,a,330.65,2026-05-01\nF,b,135.5,2026-05-02\nC,c,57.5,2026-05-03\n",
    ],
)
def test_a_mark_semicolons_commas_and_units_are_read(file: Any, text: str) -> None:
    assert answer(file(text), "--rule", "US-503-PFRP-STATIC")["verdict"] == "PASS"


def test_days_are_those_of_the_clock_the_times_stand_at(file: Any) -> None:
    text = "at,value,unit\n" + "".join(f"2026-05-0{d}T22:30:00-05:00,58,C\n" for d in (1, 2, 3))
    assert answer(file(text), "--rule", "US-503-PFRP-STATIC")["run"] == ["2026-05-01", "2026-05-03"]
    there = answer(file(text), "--rule", "US-503-PFRP-STATIC", "--zone", "Europe/Dublin")
    assert there["run"] == ["2026-05-02", "2026-05-04"]


def test_54_99_with_thirteen_nines_is_not_55(file: Any) -> None:
    text = "at,value,unit\n" + "".join(f"2026-05-0{d},54.9999999999999,C\n" for d in (1, 2, 3))
    found = answer(file(text), "--rule", "US-503-PFRP-STATIC")
    assert found["verdict"] == "FAIL"


def test_a_file_of_several_rows_asks_which(file: Any) -> None:
    text = "row,at,value,unit\n" + "".join(
        f"R{r},2026-05-0{d},{v},C\n" for r, v in ((1, 58), (2, 50)) for d in (1, 2, 3)
    )
    (told,) = refusals(file(text), "--rule", "US-503-PFRP-STATIC")
    assert "R1, R2" in told
    assert answer(file(text), "--rule", "US-503-PFRP-STATIC", "--row", "R1")["verdict"] == "PASS"
    assert answer(file(text), "--rule", "US-503-PFRP-STATIC", "--row", "R2")["verdict"] == "FAIL"


def test_a_row_of_a_yard_is_judged_by_its_own_rule_and_lines(tmp_path: Path) -> None:
    from datetime import UTC, datetime, timedelta

    from turnrow.journal.book import Book
    from turnrow.yard import entries as e

    d0 = datetime(2026, 4, 30, 7, tzinfo=UTC)
    with Book.create(str(tmp_path / "yard")) as book:
        said: list[tuple[int, e.What]] = [(0, e.YardLaidOut(name="Invented", zone="UTC", invented=True))]
        said += [(0, e.RowBuilt(row="R1", stations=("1",)))]
        said += [(0, e.RuleChosen(row="R1", rule="US-503-PFRP-STATIC"))]
        said += [
            (d, e.Round(row="R1", unit="C", readings=(e.Reading("1", 600, 58_000_000),))) for d in (1, 2, 3)
        ]
        entries = [
            e.Entry(id=str(n), happened=d0 + timedelta(days=d), who="ana", what=what)
            for n, (d, what) in enumerate(said)
        ]
        book.append(entries, written=d0)
    found = answer("--yard", str(tmp_path / "yard"), "--row", "R1")
    assert (found["rule"], found["verdict"], found["lines"]) == ("US-503-PFRP-STATIC", "PASS", [4, 5, 6])
    (told,) = refusals("--yard", str(tmp_path / "yard"), "--row", "R7")
    assert "R1" in told
    other = answer("--yard", str(tmp_path / "yard"), "--row", "R1", "--rule", WINDROW)
    assert (other["rule"], other["verdict"]) == (WINDROW, "FAIL")


def test_the_example_runs(file: Any) -> None:
    text = run("--example").stdout
    assert answer(file(text), "--rule", "US-503-PFRP-STATIC")["verdict"] == "PASS"


def test_the_list_says_clause_source_and_how_the_text_is_known() -> None:
    listed = {one["rule"]: one for one in answer("--list")["rules"]}
    assert listed["AU-AS4454-PASTEUR"]["known"] == "MEMORY"
    assert listed[WINDROW]["known"] == "READ"
    assert all(one["clause"] and one["sources"] for one in listed.values())


def test_people_get_a_table_with_the_caution(file: Any) -> None:
    said = run(file(fifteen("82")), "--rule", WINDROW).stdout
    assert "FAIL" in said
    assert "fire" in said
    assert "not legal advice" in said


def test_the_days_of_a_long_record_are_told_with_their_year(file: Any) -> None:
    """A day and a month alone would be two days of a record of more than a year."""
    log = "at,value,unit\n2024-05-03,60,C\n2025-05-03,40,C\n2026-05-03,75,C\n"
    said = answer(file(log), "--rule", WINDROW)
    assert any("Not hot: 3 May 2025 (40.0 °C" in reason for reason in said["because"])
    assert "on 3 May 2026" in said["warnings"][0]


@pytest.mark.parametrize("tail", ["", "2026-05-16,5.8e1,C\n", "2026-05-16,58,X\n"])
def test_a_large_file_is_answered_as_a_small_one(
    file: Any, monkeypatch: pytest.MonkeyPatch, tail: str
) -> None:
    """Whether it is plain, is for the careful way, or is wrong."""
    path = file(fifteen() + tail)
    small = run(path, "--rule", "US-503-PFRP-STATIC", "--json")
    monkeypatch.setattr("turnrow.cli.prove_input.LARGE", 10)
    large = run(path, "--rule", "US-503-PFRP-STATIC", "--json")
    assert (large.exit_code, large.stdout) == (small.exit_code, small.stdout)


def test_the_mean_of_the_stations_cannot_be_chosen(file: Any) -> None:
    done = run(file(fifteen()), "--rule", WINDROW, "--station", "mean")
    assert done.exit_code == 2 and "never a verdict" in done.output


def test_a_policy_the_text_does_not_leave_open_is_refused(file: Any) -> None:
    done = run(file(fifteen()), "--rule", "US-503-PFRP-STATIC", "--policy", "over_limit_day=disqualifies")
    assert done.exit_code == 2 and "leaves open: continuity, day" in done.output


def test_the_verdict_without_the_readings_that_may_not_be_the_heaps(file: Any) -> None:
    """A fall of 30 °C in an hour is doubted and takes no day; without 999 °C two days are left."""
    log = [f"2026-05-{day:02}T07:00,58,C" for day in (1, 2)]
    log += ["2026-05-03T07:00,88,C", "2026-05-03T08:00,58,C"]
    found = answer(file("at,value,unit\n" + "\n".join(log) + "\n"), "--rule", "US-503-PFRP-STATIC")
    assert found["verdict"] == "PASS" and found["suspects"] and found["without_suspects"] == "PASS"
    alone = "\n".join(["2026-05-01T07:00,58,C", "2026-05-02T07:00,58,C", "2026-05-03T07:00,999,C"])
    found = answer(file(f"at,value,unit\n{alone}\n"), "--rule", "US-503-PFRP-STATIC")
    assert (found["verdict"], found["without_suspects"]) == ("NOT_PROVEN", "FAIL")

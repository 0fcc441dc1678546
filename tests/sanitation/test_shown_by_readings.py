"""What a record does not show: unread time, one number alone, a turn before the heat, a second pass."""

import pytest

from turnrow.handbook.book import handbook
from turnrow.sanitation import policies as choices
from turnrow.sanitation.record import Record, TurnAt
from turnrow.yard.days import DAY_S, EPOCH_DAY

from . import rows
from .rows import DAY_0, record, standing, verdict

STATIC, WINDROW, FRANCE = "US-503-PFRP-STATIC", "US-503-PFRP-WINDROW", "FR-COMPOST-TURNED"
TURNS = (2, 5, 8, 11, 14)
BY_HOURS = {"day": "elapsed"}  # the policy, not a clock


def turn(day, hour=None):
    at = (DAY_0 + day - EPOCH_DAY) * DAY_S + round((12 if hour is None else hour) * 3600)
    return TurnAt(at, DAY_0 + day, hour is not None)


def timed(days, passes, value="58"):
    """One reading a day at 07:00 on each of `days`."""
    return Record(rows.readings([(day, 7, "1", value, "C") for day in days]), tuple(passes))


@pytest.mark.parametrize(
    ("text", "turns", "wanted"),
    [
        ("58*21", (5, 10, 15), "PASS"),
        ("58*20", (5, 10, 15), "FAIL"),
        ("58*8", (1, 5, 21), "NOT_PROVEN"),  # a turn on day 21 and no reading near it
        ("58*7", (1, 4, 20), "FAIL"),  # readings and turns together span 20 days
        ("58*21", (5, 10, 22), "NOT_PROVEN"),  # the third turn lies after what the readings show
        ("58*21", (5, 10, 21), "PASS"),
        ("", (1, 11, 21), "NOT_PROVEN"),
    ],
)
def test_three_weeks_are_shown_by_readings(text, turns, wanted):
    """Arrete of 20 April 2012, annex I (READ): three weeks of aerobic fermentation, three turns in it."""
    assert verdict(FRANCE, record(text, turns)) == wanted


@pytest.mark.parametrize("rule", ["US-NOP-WINDROW", "US-NOP-STATIC"])
def test_an_upper_limit_is_each_stations(rule):
    """The mean of 180 and 120 °F is 150; 131-170 °F held neither station (7 CFR 205.203(c)(2), READ)."""
    found = standing(rule, record("180,120*15", TURNS, unit="F"), {"cn_initial": "30"})
    assert (found.verdict, found.hot_days) == ("FAIL", 0)
    assert not any("mean of the stations" in sentence for sentence in found.because)


def test_a_station_at_51_is_cold_whatever_the_mean():
    assert verdict(WINDROW, record("64,63,65,51*15", TURNS)) == "FAIL"


@pytest.mark.parametrize(
    ("last", "wanted"),
    [
        ("95", "PASS"),
        ("95.000001", "NOT_PROVEN"),
        ("156", "NOT_PROVEN"),
        ("999", "NOT_PROVEN"),
        ("-", "FAIL"),
    ],
)
def test_one_reading_over_95_proves_no_day(last, wanted):
    """The limit is ours (setting `lone_reading`); the fifteenth day is the one in question."""
    assert verdict(WINDROW, record(f"58*14 {last}", TURNS)) == wanted
    assert verdict(STATIC, record(f"58 {last} 58")) == ("NOT_PROVEN" if last == "-" else wanted)


def test_a_second_reading_that_day_proves_it():
    each = [(day, hour, "1", "58", "C") for day in (1, 2) for hour in (7, 19)]
    assert verdict(STATIC, Record(rows.readings([*each, (3, 7, "1", "156", "C")]))) == "NOT_PROVEN"
    two = [*each, (3, 7, "1", "156", "C"), (3, 19, "1", "97", "C")]
    assert verdict(STATIC, Record(rows.readings(two))) == "PASS"
    other = [
        *each,
        *((d, h, "2", v, u) for d, h, _, v, u in each),
        (3, 7, "1", "156", "C"),
        (3, 8, "2", "60", "C"),
    ]
    assert (
        verdict(STATIC, Record(rows.readings(other))) == "NOT_PROVEN"
    )  # the other station's is not a second


def test_a_lone_reading_is_neither_hot_time_nor_a_cold_place_in_it():
    """By elapsed time three days from the 1st to the 4th: with 999 °C on the 3rd they are not shown."""
    whole = [(day, 7, "1", "58", "C") for day in (1, 2, 3, 4)]
    odd = [*whole[:2], (3, 7, "1", "999", "C"), whole[3]]
    assert verdict(STATIC, Record(rows.readings(whole)), **BY_HOURS) == "PASS"
    assert verdict(STATIC, Record(rows.readings(odd)), **BY_HOURS) == "NOT_PROVEN"


def test_a_lone_reading_still_warns_of_fire():
    found = standing(STATIC, record("58 156 58"))
    assert any("call the fire service" in said for said in found.warnings)
    assert any("second reading" in sentence for sentence in found.because)


@pytest.mark.parametrize(
    ("hour", "wanted"), [(5, "NOT_PROVEN"), (6.99, "NOT_PROVEN"), (7, "PASS"), (9, "PASS")]
)
def test_a_turn_before_the_first_hot_reading_is_not_shown_to_be_in_the_heat(hour, wanted):
    """30 °C the evening before, a turn at 05:00, 58 °C at 07:00: at five it was not shown to be hot."""
    read = [(1, 19, "1", "30", "C"), *((day, 7, "1", "58", "C") for day in range(2, 17))]
    passes = (turn(2, hour), *(turn(day) for day in (5, 8, 11, 14)))
    found = standing(WINDROW, Record(rows.readings(read), passes))
    assert found.verdict == wanted
    assert found.turns_counted == (5 if wanted == "PASS" else 4)


@pytest.mark.parametrize(
    ("hours", "turns"),
    [
        ((9, 9), 5),
        ((9, 15), 5),
        ((9, 15.01), 6),
        ((9, 12, 15), 5),
        ((9, 14, 16), 6),
        ((None, 9), 5),
        ((None, None), 5),
    ],
)
def test_passes_of_one_visit_are_one_turn(hours, turns):
    """Six hours from the first pass, the handbook's setting `visit_hours` (OWN)."""
    passes = [turn(day, 9) for day in (2, 5, 8, 11)] + [turn(14, hour) for hour in hours]
    found = standing(WINDROW, timed(range(1, 16), passes))
    assert found.turns_counted == turns
    assert any("are one turn" in sentence for sentence in found.because)
    letter = standing(WINDROW, timed(range(1, 16), passes), turn_count="literal")
    assert letter.turns_counted == 4 + len(hours)


def test_a_visit_may_pass_midnight():
    passes = [turn(2, 23.5), turn(3, 0.5), turn(8), turn(11), turn(14)]
    assert standing(WINDROW, timed(range(1, 16), passes)).turns_counted == 4


@pytest.mark.parametrize(
    ("first", "last", "warned"), [(23.98, 0.01, True), (13.01, 7, True), (13, 7, False), (7, 7, False)]
)
def test_three_days_in_24_hours_are_warned_of(first, last, warned):
    """Read 23:59, noon and 00:01 three calendar days were met by 24.03 h; 42 h are (3 - 1) x 24 less 6."""
    read = [(1, first, "1", "58", "C"), (2, 12, "1", "58", "C"), (3, last, "1", "58", "C")]
    found = standing(STATIC, Record(rows.readings(read)))
    assert found.verdict == "PASS"
    assert any("span" in said for said in found.warnings) == warned


@pytest.mark.parametrize(
    ("facts", "text", "wanted"),
    [
        ({}, "58*3", "REVIEW"),
        ({"certifier_agreed": "yes"}, "58*3", "PASS"),
        ({"certifier_agreed": "no"}, "58*3", "FAIL"),
        ({}, "58*2", "FAIL"),
        ({}, "", "NOT_PROVEN"),
    ],
)
def test_a_managed_pile_waits_for_its_certifier(facts, text, wanted):
    """NOP 5021 (its body MEMORY): other managed piles by the certifier's agreement."""
    assert verdict("US-NOP5021-MANAGED", record(text), facts) == wanted


@pytest.mark.parametrize("name", handbook().rules)
def test_only_what_a_rules_file_lists_can_be_chosen(name):
    rule = handbook().rules[name]
    for policy, values in choices.POLICIES.items():
        for value in values:
            wrong = choices.refusals(rule, {policy: value})
            free = value in choices.allowed(rule, policy) and policy in choices.asked(rule)
            assert bool(wrong) != free, (policy, value)
    assert choices.refusals(rule, {"station": "mean"})
    assert set(rule.open) <= set(choices.asked(rule))

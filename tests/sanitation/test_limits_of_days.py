"""Each behaviour at met, one short, exactly at the limit, nothing read."""

import pytest

from turnrow.handbook.book import handbook
from turnrow.handbook.rules import Spatial
from turnrow.sanitation import policies as choices
from turnrow.sanitation.judge import HEATED, judge_all
from turnrow.sanitation.record import Record, TurnAt
from turnrow.sanitation.stations import stations_needed
from turnrow.sanitation.turns import TurnCount, counting
from turnrow.yard.wrongs import Refused

from . import rows
from .rows import record, standing, verdict

STATIC, WINDROW = "US-503-PFRP-STATIC", "US-503-PFRP-WINDROW"
TURNS = (2, 5, 8, 11, 14)
BY_HOURS = {"day": "elapsed"}  # the policy, not a clock
CA = handbook().rules["US-CA-17868-3"].spatial


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("58*15", "PASS"), ("58*14", "FAIL"), ("55*15", "PASS"), ("54.999999*15", "FAIL"), ("", "NOT_PROVEN")],
)
def test_days_met_short_exact_and_unread(text, wanted):
    assert verdict(WINDROW, record(text, TURNS)) == wanted


@pytest.mark.parametrize(("turns", "wanted"), [(TURNS, "PASS"), (TURNS[1:], "FAIL"), ((), "FAIL")])
def test_turns_met_short_and_none(turns, wanted):
    assert verdict(WINDROW, record("58*15", turns)) == wanted


@pytest.mark.parametrize(
    ("turns", "wanted"), [((2, 5, 8), "PASS"), ((2, 4, 7), "FAIL"), ((2, 2, 5, 5, 8), "PASS")]
)
def test_french_turns_are_spaced_by_three_calendar_days(turns, wanted):
    """Arrêté of 20 April 2012, annex I (READ): "Au moins 3 retournements espacés d'au moins 3 jours"."""
    assert verdict("FR-COMPOST-TURNED", record("58*21", turns)) == wanted


@pytest.mark.parametrize(
    ("turns", "wanted"),
    [((2, 4, 6), "PASS"), ((2, 3, 4), "FAIL"), ((2, 3, 4, 5, 6), "PASS"), ((6, 8, 9), "FAIL")],
)
def test_welsh_turns_are_spaced_by_two_calendar_days_inside_the_eight(turns, wanted):
    """WSI 2006/1293 Sch. 1 Part II (READ): "turned at least 3 times at no less than 2 days intervals"."""
    assert verdict("UK-CATERING-HOUSED-WINDROW", record("60*8", turns)) == wanted


def test_spacing_counts_days_of_the_calendar_and_not_hours():
    """23:30 on day 10 and 00:30 on day 13: 49 hours, and three days on. The texts name no hours."""
    late, early, next_day = TurnAt(0, 10, True), TurnAt(49 * 3600, 13, True), TurnAt(25 * 3600, 12, True)
    assert counting((late, early), None, TurnCount(3)) == (late, early)
    assert counting((late, next_day, early), None, TurnCount(3)) == (late, early)


@pytest.mark.parametrize("rule", [r for r, x in handbook().rules.items() if isinstance(x.proof, HEATED)])
def test_with_nothing_read_nothing_is_proven(rule):
    found = standing(rule, Record.empty())
    assert found.verdict == "NOT_PROVEN"
    assert found.short_of or found.because


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("58,_*3", "PASS"),
        ("58,58 58,_ 58,58", "NOT_PROVEN"),
        ("58,58 54,_ 58,58", "FAIL"),
        ("58 - 58 58", "NOT_PROVEN"),
    ],
)
def test_a_station_or_day_not_read(text, wanted):
    assert verdict(STATIC, record(text)) == wanted


def test_a_cold_station_given_up_is_still_asked_for():
    found = standing(WINDROW, record("58,51*5 58,_*15", (7, 10, 13, 16, 19)))
    assert found.verdict == "NOT_PROVEN"
    assert any("not read" in sentence for sentence in found.because)


def test_unread_days_after_the_last_reading_are_not_hoped_for():
    assert verdict(STATIC, record("58 58 - -")) == "FAIL"


def test_the_mean_is_said_beside_and_never_decides():
    """Every clause of the heat rules speaks of the material, none of a mean of stations."""
    warm = record("60,51*3")
    found = standing(STATIC, warm)
    assert found.verdict == "FAIL"
    assert any("mean of the stations" in sentence for sentence in found.because)
    heat = [name for name, rule in handbook().rules.items() if "station" in choices.asked(rule)]
    assert len(heat) > 10
    for rule in heat:
        with pytest.raises(Refused, match="never a verdict"):
            standing(rule, warm, station="mean")


@pytest.mark.parametrize(("policy", "wanted"), [("not_counted", "PASS"), ("disqualifies", "FAIL")])
def test_a_day_over_the_organic_limit(policy, wanted):
    """7 CFR 205.203(c)(2), READ: 131 to 170 °F; what a day over it does is not said."""
    of = record("140*15 171 140", (3, 6, 9, 12, 14))
    of = Record(
        rows.readings([(k, None, "1", v, "F") for k, v in enumerate(["140"] * 15 + ["171"], 1)]), of.turns
    )
    assert verdict("US-NOP-WINDROW", of, {"cn_initial": "30"}, over_limit_day=policy) == wanted


@pytest.mark.parametrize(
    ("cn", "wanted"),
    [(None, "NOT_PROVEN"), ("25", "PASS"), ("40", "PASS"), ("24.999999", "FAIL"), ("40.1", "FAIL")],
)
def test_the_starting_ratio(cn, wanted):
    facts = {} if cn is None else {"cn_initial": cn}
    assert verdict("US-NOP-STATIC", record("60*3"), facts) == wanted


def test_cold_is_cold_whatever_fact_is_missing():
    assert verdict("US-NOP-STATIC", record("50*3")) == "FAIL"


@pytest.mark.parametrize(("length_ft", "wanted"), [(1, 1), (150, 1), (151, 2), (450, 3), (451, 4)])
def test_stations_by_length(length_ft, wanted):
    """14 CCR 17868.3, READ: one for each 150 ft, a part counting as a whole."""
    assert (
        stations_needed(CA, length_mm=length_ft * 3048 // 10 + (length_ft * 3048 % 10 > 0)).by_length
        == wanted
    )


def test_stations_in_metres_and_by_volume():
    """46 m is more than 150 ft (45.72 m); 200 yd³ is one station, READ as above."""
    assert stations_needed(CA, length_mm=46_000).by("length") == 2
    assert stations_needed(CA, length_mm=45_720).by("length") == 1
    hot = record("58,58,58*15", TURNS)
    for yd3, wanted in (("600", "PASS"), ("601", "NOT_PROVEN")):
        facts = {"volume_yd3": yd3, "depth_in": "18"}
        assert verdict("US-CA-17868-3", hot, facts, stations_by="volume") == wanted
    both = {"volume_yd3": "200", "length_ft": "451", "depth_in": "12"}
    assert verdict("US-CA-17868-3", hot, both, stations_by="both") == "NOT_PROVEN"


@pytest.mark.parametrize(
    ("depth", "wanted"), [("12", "PASS"), ("24", "PASS"), ("11", "NOT_PROVEN"), ("25", "NOT_PROVEN")]
)
def test_the_depth_of_the_probe(depth, wanted):
    facts = {"length_ft": "100", "depth_in": depth}
    assert verdict("US-CA-17868-3", record("58*15", TURNS), facts) == wanted


def test_the_depth_of_each_reading_counts_where_it_is_known():
    shallow = [(k, None, "1", "58", "C", 200) for k in range(1, 16)]
    deep = [(k, None, "2", "58", "C", 457) for k in range(1, 16)]
    turns = record("-", TURNS).turns
    facts = {"length_ft": "200"}
    assert verdict("US-CA-17868-3", Record(rows.readings(deep), turns), {"length_ft": "100"}) == "PASS"
    assert verdict("US-CA-17868-3", Record(rows.readings(shallow + deep), turns), facts) == "NOT_PROVEN"
    assert isinstance(CA, Spatial)


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ({"start": "2025-10-31", "end": "2026-02-28"}, "PASS"),
        ({"start": "2025-10-31", "end": "2026-02-27"}, "FAIL"),
        ({"days": "123"}, "PASS"),
        ({"days": "122"}, "REVIEW"),
        ({"days": "118"}, "FAIL"),
        ({}, "NOT_PROVEN"),
    ],
)
def test_four_months_by_the_calendar(given, wanted):
    """NOSB 2002, READ: four months in an indoor container; the last of a shorter month counts."""
    assert verdict("US-NOP5021-VERMI", Record.empty(), {"system": "indoor_container", **given}) == wanted


def test_all_policies_are_those_the_text_leaves_open():
    found = judge_all(handbook().rules[STATIC], record("58*3"))
    assert [(f.policies["continuity"], f.policies["day"], f.verdict) for f in found] == [
        ("consecutive", "calendar", "PASS"),
        ("consecutive", BY_HOURS["day"], "NOT_PROVEN"),
        ("cumulative", "calendar", "PASS"),
        ("cumulative", BY_HOURS["day"], "NOT_PROVEN"),
    ]


def test_four_daily_rounds_prove_three_whole_days():
    assert verdict(STATIC, record("58*4"), **BY_HOURS) == "PASS"
    assert verdict(STATIC, record("58*2"), **BY_HOURS) == "NOT_PROVEN"
    assert verdict(STATIC, record("58"), **BY_HOURS) == "FAIL"
    assert verdict(STATIC, record("58 58 - 58 58"), **BY_HOURS) == "NOT_PROVEN"


def test_a_held_time_wants_a_log():
    """70 °C for 60 minutes, EU 142/2011 Annex V (MEMORY): a daily round is not enough."""
    facts = {"max_particle_mm": "12"}
    log = [(1, 8 + k / 6, "1", "70", "C") for k in range(7)]
    assert verdict("EU-ABP-142", Record(rows.readings(log)), facts) == "PASS"
    assert verdict("EU-ABP-142", Record(rows.readings(log[:-1])), facts) == "NOT_PROVEN"
    dip = [*log[:3], (1, 8.5, "1", "69.9", "C"), *log[4:]]
    closed = [(1, 7.9, "1", "60", "C"), *dip, (1, 9.1, "1", "60", "C")]
    assert verdict("EU-ABP-142", Record(rows.readings(closed)), facts) == "FAIL"
    assert verdict("EU-ABP-142", record("70*3"), facts) == "NOT_PROVEN"


def test_facts_and_policies_that_cannot_be_read_are_refused():
    with pytest.raises(Refused) as told:
        standing("US-CA-17868-3", record("58*15"), {"length_ft": "long", "depth_in": "-3"})
    assert {r.where for r in told.value.refusals} == {"fact length_ft", "fact depth_in"}
    with pytest.raises(Refused):
        standing(STATIC, record("58*3"), continuity="blocks")


@pytest.mark.parametrize(
    ("value", "word"), [("66", "turn the row"), ("71", "cool the row"), ("80", "call the fire service")]
)
def test_the_heat_that_harms_is_warned_of_and_is_no_verdict(value, word):
    found = standing(STATIC, record(f"{value}*3"))
    assert found.verdict == "PASS"
    assert len(found.warnings) == 1
    assert word in found.warnings[0]
    assert standing(STATIC, record("65.4*3")).warnings == ()


@pytest.mark.parametrize(("last", "wanted"), [(14, "PASS"), (13, "NOT_PROVEN"), (11, "FAIL")])
def test_peak_hours_are_proven_between_two_readings_that_exceed(last, wanted):
    """40 CFR 503 App. B, READ: 4 h above 55 °C. Hourly readings above it from 10:00 to 14:00 are 4 h;
    to 13:00 they are 3, and up to 5 with the hours either side; to 11:00 at most 3."""
    log = [
        (day, hour, "1", "56" if day == 3 and 10 <= hour <= last else "41", "C")
        for day in range(1, 6)
        for hour in range(24)
    ]
    assert verdict("US-503-PSRP", Record(rows.readings(log))) == wanted

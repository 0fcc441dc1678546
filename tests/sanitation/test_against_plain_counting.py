"""The columnar judgement against a plain day-by-day counting, and laws that hold for every record."""

from fractions import Fraction

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from turnrow.handbook.book import handbook
from turnrow.sanitation.record import Record
from turnrow.sanitation.standing import WORST

from . import rows

RULES = (
    "US-503-PFRP-STATIC",
    "US-NOP-STATIC",
    "UK-CATERING-HOUSED-WINDROW",
    "US-503-PFRP-WINDROW",
    "DE-BIOABFV",
    "EU-CMC3",
    "US-503-VAR-AEROBIC",
    "AU-AS4454-PASTEUR",
)
FACTS = {"cn_initial": "30", "curing_recorded": "true", "high_risk": "false", "max_particle_mm": "10"}
VALUES = st.sampled_from(["54.9", "55", "58", "60", "61", "66", "70", "76.7", "40", "130.8"])
STATIONS = st.sampled_from(["1", "2"])
# runs of like days, so that rules of many days are met now and then
DAY = st.one_of(st.just({}), st.dictionaries(STATIONS, VALUES, min_size=1), st.just({"1": "58", "2": "61"}))
DAYS = st.lists(st.tuples(DAY, st.integers(1, 9)), min_size=1, max_size=5).map(
    lambda runs: [day for day, many in runs for _ in range(many)]
)
TURNS = st.lists(st.integers(1, 30), max_size=8).map(sorted)


def record(days, turns, unit="C"):
    told = [(k, None, s, v, unit) for k, day in enumerate(days, 1) for s, v in day.items()]
    marks = rows.record("-", turns).turns
    return Record(rows.readings(told), marks)


def plain_hot(days, limit, strict=False, upper=None):
    """True, False or None (not known) for each day, by looking at one day after the other."""
    stations = {s for day in days for s in day}
    out = []
    for day in days:
        each = [Fraction(v) for v in day.values()]
        cold = any((v <= limit if strict else v < limit) or (upper is not None and v > upper) for v in each)
        sure = {s for s, v in day.items() if Fraction(v) <= 95}  # hotter, and read once, proves nothing
        out.append(False if cold else True if stations and sure == stations else None)
    return out


def plain_verdict(days, turns, limit, need, turns_needed, spacing, continuity, upper=None):
    if not any(days):
        return "NOT_PROVEN"
    hot = plain_hot(days, limit, upper=upper)
    seen = [k for k, day in enumerate(days) if day and hot[k] is not False]
    best = [h is not False and bool(seen) and seen[0] <= k <= seen[-1] for k, h in enumerate(hot)]
    for verdict, world in (("PASS", [h is True for h in hot]), ("NOT_PROVEN", best)):
        spans, start = [], None
        for k, h in enumerate([*world, False]):
            if h and start is None:
                start = k
            elif not h and start is not None:
                spans.append((start, k - 1, k - start))
                start = None
        if continuity == "cumulative" and spans:
            spans = [(spans[0][0], spans[-1][1], sum(n for *_, n in spans))]
        for i, j, n in spans:
            count, last = 0, None
            for t in sorted(set(turns)):  # two passes of a day without times are one visit
                if i + 1 <= t <= j + 1 and (last is None or t - last >= spacing):
                    count, last = count + 1, t
            if n >= need and count >= turns_needed:
                return verdict
    return "FAIL"


@settings(max_examples=150, deadline=None)
@given(DAYS, TURNS, st.sampled_from(["consecutive", "cumulative"]))
def test_columns_and_plain_counting_agree(days, turns, continuity):
    upper = Fraction(170 - 32) * 5 / 9
    for rule, args in {
        "US-503-PFRP-STATIC": (55, 3, 0, 0, continuity),
        "US-503-PFRP-WINDROW": (55, 15, 5, 0, continuity),
        "UK-CATERING-HOUSED-WINDROW": (60, 8, 3, 2, continuity),
        "US-NOP-STATIC": (55, 3, 0, 0, continuity, upper),
    }.items():
        found = rows.standing(rule, record(days, turns), FACTS, continuity=continuity)
        assert found.verdict == plain_verdict(days, turns, *args), (rule, found.because)
        hot = plain_hot(days, args[0], upper=args[5] if len(args) > 5 else None)
        assert found.hot_days == sum(h is True for h in hot)


@settings(max_examples=120, deadline=None)
@given(DAYS, TURNS, st.sampled_from(RULES), st.integers(1, 40), st.sampled_from(["1", "2", "3"]), st.data())
def test_a_cold_reading_never_makes_a_verdict_better(days, turns, rule, day, station, data):
    assume(any(days))
    chosen = {}
    for name in ("continuity", "day"):
        if name in handbook().rules[rule].open:
            chosen[name] = data.draw(st.sampled_from(handbook().rules[rule].open[name]))
    before = record(days, turns)
    told = [(k, None, s, v, "C") for k, d in enumerate(days, 1) for s, v in d.items()]
    after = Record(rows.readings([*told, (day, None, station, "20", "C")]), before.turns)
    first = rows.verdict(rule, before, FACTS, **chosen)
    assert WORST.index(rows.verdict(rule, after, FACTS, **chosen)) >= WORST.index(first)


@settings(max_examples=60, deadline=None)
@given(DAYS, TURNS, st.sampled_from(RULES))
def test_the_unit_a_reading_was_typed_in_never_changes_a_verdict(days, turns, rule):
    """C as exact F: 9/5 C + 32 has at most one decimal more."""
    celsius = record(days, turns)
    value = (celsius.readings.value * 9) // 5 + 32_000_000
    assert ((celsius.readings.value * 9) % 5 == 0).all()
    columns = {name: getattr(celsius.readings, name) for name in ("at", "day", "station", "depth")}
    fahrenheit = type(celsius.readings)(
        **columns,
        value=value,
        unit=np.ones(len(value), np.int8),
        timed=celsius.readings.timed,
        line=celsius.readings.line,
        item=celsius.readings.item,
        stations=celsius.readings.stations,
    )
    other = rows.standing(rule, Record(fahrenheit, celsius.turns), FACTS)
    first = rows.standing(rule, celsius, FACTS)
    assert (other.verdict, other.hot_days, other.run) == (first.verdict, first.hot_days, first.run)

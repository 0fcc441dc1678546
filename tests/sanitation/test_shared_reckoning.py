"""What rules share of a record is reckoned once; each says what it says of a record of its own."""

from dataclasses import fields

from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.handbook.book import handbook
from turnrow.sanitation.judge import judge, judge_many
from turnrow.sanitation.record import Record, TurnAt
from turnrow.yard.days import DAY_S, EPOCH_DAY

from . import rows

VALUES = ["40", "54.9", "55", "61", "66", "71", "80"]
# an hour's or a day's readings of two stations at once, in units that name one limit in several ways
ROUND = st.tuples(st.sampled_from([None, 1, 2, 8, 20]), *[st.sampled_from(["", *VALUES])] * 2)
SPAN = st.tuples(st.lists(ROUND, min_size=1, max_size=3), st.integers(1, 12))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(SPAN, min_size=1, max_size=4), st.sampled_from("CF"), st.lists(st.integers(1, 40), max_size=6)
)
def test_every_rule_says_the_same_alone(spans, unit: str, turns: list[int]) -> None:
    days = [rounds for rounds, many in spans for _ in range(many)]
    told = [
        (day, hour, name, value if unit == "C" else f"{float(value) * 1.8 + 32:.1f}", unit)
        for day, rounds in enumerate(days, 1)
        for hour, *values in rounds
        for name, value in zip("12", values, strict=True)
        if value
    ]
    passes = tuple(
        TurnAt((rows.DAY_0 + t - EPOCH_DAY) * DAY_S + DAY_S // 2, rows.DAY_0 + t) for t in sorted(turns)
    )
    readings = rows.readings(told)
    rules = list(handbook().rules.values())
    shared = judge_many(rules, Record(readings, passes))
    assert len(shared) == len(rules)
    for rule in rules:
        alone = judge(rule, Record(readings, passes))
        for name in (f.name for f in fields(alone) if f.name != "table"):
            assert getattr(shared[rule.id], name) == getattr(alone, name), (rule.id, name)
        mine, theirs = shared[rule.id].table, alone.table
        assert (mine is None) == (theirs is None)
        if mine is not None and theirs is not None:
            assert mine.hot.tolist() == theirs.hot.tolist()

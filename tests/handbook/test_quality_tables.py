"""The tables lots are held against: whole, in units that can be read, each number with its source."""

from turnrow.handbook.analytes import analyte_named, analytes, unit_named, units
from turnrow.handbook.book import handbook
from turnrow.handbook.quality import limit_sets, raw_use, sampling_plans, schemes


def test_every_limit_is_told_in_a_unit_of_its_analyte() -> None:
    for one in limit_sets().values():
        assert one.limits, one.id
        for limit in one.limits:
            analyte = analytes()[limit.analyte]
            assert unit_named(limit.unit, analyte.kinds), (one.id, limit.analyte, limit.unit)
            assert bool(limit.basis) == bool(analyte.basis), (one.id, limit.analyte)


def test_every_scheme_is_a_ladder_with_a_last_class() -> None:
    for scheme in schemes().values():
        for ladder in scheme.ladders:
            analyte = analytes()[ladder.analyte]
            assert unit_named(ladder.unit, analyte.kinds), (scheme.name, ladder.analyte)
            ranks = [step.rank for step in ladder.steps]
            assert ranks == sorted(set(ranks)) and ranks[0] == 1, (scheme.name, ladder.analyte)
            assert [step.op is None for step in ladder.steps] == [False] * (len(ranks) - 1) + [True]
            values = [step.value for step in ladder.steps[:-1]]
            rising = ladder.steps[0].op in ("<", "<=")
            assert values == sorted(values, reverse=not rising), (scheme.name, ladder.analyte)


def test_no_name_and_no_unit_means_two_things() -> None:
    for one in analytes().values():
        for name in (one.name, *one.aliases):
            found = analyte_named(name)
            assert found and found.name == one.name, name
    for kind in {unit.kind for unit in units()}:
        for unit in (unit for unit in units() if unit.kind == kind):
            for spelled in (unit.unit, *unit.also):
                assert unit_named(spelled, (kind,)) == unit, spelled


def test_what_holds_another_analyte_is_less_of_it() -> None:
    for one in analytes().values():
        if one.of:
            assert one.of in analytes() and 0 < one.share < 1, one.name


def test_sentences_on_raw_use_name_their_clause_or_are_common_practice() -> None:
    sources = handbook().sources
    assert raw_use() and all(one.source in sources for one in raw_use())
    assert any("120 days" in one.words and one.known == "READ" for one in raw_use())


def test_bands_of_a_plan_rise() -> None:
    for plan in sampling_plans().values():
        apart = [row.above for row in plan.rows if row.asks in ("apart", "a year") and row.op in (">", ">=")]
        assert apart == sorted(apart), plan.name

"""What must hold of every recipe, whatever the problem."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.blend.ingredient import Ingredient
from turnrow.blend.mixing import mix
from turnrow.blend.problem import Offer, Problem, Targets, Water
from turnrow.blend.solve import solve

shares = st.floats(0.05, 0.85)
TINY = 1e-7


@st.composite
def offers(draw: st.DrawFn, number: int, name: str = "m") -> Offer:
    carbon = draw(st.floats(0.38, 0.52))
    what = Ingredient(
        f"{name}{number}",
        draw(shares),
        carbon / draw(st.floats(8, 200)),
        carbon,
        0.9,
        draw(st.floats(60, 900)),
    )
    loads = draw(st.booleans())
    return Offer(
        what,
        cost_per_t=draw(st.integers(1, 80)),
        load_m3=draw(st.sampled_from([1.0, 2.0, 3.0])) if loads else None,
        loads=(0, 15) if loads else (0, None),
    )


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    low, wet = draw(st.floats(15, 35)), draw(st.floats(0.4, 0.6))
    return Problem(
        tuple(draw(offers(n)) for n in range(draw(st.integers(2, 4)))),
        Targets(
            cn=(low, low + draw(st.floats(4, 20))),
            moisture_wet=(wet, wet + draw(st.floats(0.05, 0.15))),
            fas_min=draw(st.one_of(st.none(), st.floats(0.2, 0.5))),
        ),
        total_kg=draw(st.floats(1_000, 10_000)),
        water=Water("never"),
    )


@given(problems())
@settings(max_examples=60, deadline=None)
def test_a_plan_truly_mixes_to_what_was_asked(problem: Problem) -> None:
    found = solve(problem)
    if not found.found:
        return
    made = mix([o.what for o in problem.offers], list(found.mass_kg.values()))
    cn, wet = problem.targets.cn, problem.targets.moisture_wet
    assert cn is not None and cn[0] * (1 - TINY) <= made.cn <= cn[1] * (1 + TINY)
    assert wet is not None and wet[0] * (1 - TINY) <= made.moisture_wet <= wet[1] * (1 + TINY)
    assert problem.targets.fas_min is None or (made.fas or 0) >= problem.targets.fas_min - TINY
    assert made.mass_kg >= (problem.total_kg or 0) * (1 - TINY)
    for offer in problem.offers:
        if offer.load_m3 is not None:
            assert found.loads[offer.what.name] * offer.unit_kg == found.mass_kg[offer.what.name]


@given(problems(), st.sampled_from([0.25, 2.0, 8.0, 64.0]))
@settings(max_examples=40, deadline=None)
def test_the_plan_is_the_same_in_any_currency(problem: Problem, rate: float) -> None:
    found = solve(problem)
    changed = solve(
        replace(problem, offers=tuple(replace(o, cost_per_t=o.cost_per_t * rate) for o in problem.offers))
    )
    assert changed.status == found.status
    if found.cost is not None and changed.cost is not None:
        assert abs(changed.cost - rate * found.cost) <= 1e-6 * max(1.0, abs(changed.cost))
        if all(o.load_m3 is not None for o in problem.offers):
            assert changed.loads == found.loads


@given(problems(), st.data())
@settings(max_examples=40, deadline=None)
def test_one_more_material_on_offer_never_costs_more(problem: Problem, data: st.DataObject) -> None:
    found = solve(problem)
    more = data.draw(offers(9, "extra"))
    if all(o.load_m3 is None for o in problem.offers):
        more = replace(more, load_m3=None, loads=(0, None))  # or the total would be met differently
    wider = solve(replace(problem, offers=(*problem.offers, more)))
    if found.status == "optimal":
        assert wider.status == "optimal"
        assert wider.cost is not None and found.cost is not None
        assert wider.cost <= found.cost + 1e-6 * max(1.0, found.cost)

"""Air space at the base as a limit of the program, against the base reckoned from the mix that comes out."""

import pytest

from turnrow.blend.ingredient import Ingredient
from turnrow.blend.limits_linear import limits
from turnrow.blend.problem import Offer, Problem, Targets, Water
from turnrow.blend.settled import at_base
from turnrow.blend.solve import solve

HEIGHT = 2.5


@pytest.fixture
def asked(dairy: Ingredient, straw: Ingredient) -> Problem:
    offers = (Offer(dairy, least_kg=1000, stock_kg=1000), Offer(straw, cost_per_t=60.0))
    return Problem(offers, Targets(fas_base_min=0.40, height_m=HEIGHT), water=Water("never"))


def test_the_cheapest_mix_has_just_the_air_asked_at_its_base(asked: Problem) -> None:
    """`at_base` integrates the heap's weight; the program holds the same as one linear row."""
    mix = solve(asked).mix
    assert mix is not None and mix.fas is not None
    assert at_base(mix, HEIGHT).fas == pytest.approx(0.40, abs=1e-7)
    assert mix.fas > 0.40


def test_a_higher_heap_takes_more_straw(asked: Problem) -> None:
    low = solve(Problem(asked.offers, Targets(fas_base_min=0.40, height_m=1.0), water=Water("never")))
    loose = solve(Problem(asked.offers, Targets(fas_min=0.40), water=Water("never")))
    found = solve(asked)
    assert loose.mass_kg["straw"] < low.mass_kg["straw"] < found.mass_kg["straw"]


def test_water_weighs_on_the_base_too(asked: Problem) -> None:
    limit = limits(asked)[0]
    assert limit.name == "air space at the base at least 40 %"
    assert limit.water > 1 / 1000

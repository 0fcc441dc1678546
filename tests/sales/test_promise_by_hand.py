"""The worked example of `docs/sales.md`, drawn again from its printed figures by the steps written there.

The second drawing shares no code with the first: the standard library's own numbers, one draw at a time.
"""

import json
import random
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest

from turnrow.sales.promise import Coming, Wanted, promises

DOC = Path(__file__).parents[2] / "docs" / "sales.md"
DRAWS = 60_000
SPAN = 1.2816


@pytest.fixture(scope="module")
def example() -> dict:
    return json.loads(DOC.read_text(encoding="utf-8").split("```json")[1].split("```")[0])


def days(deciles: list[float] | None, z: float) -> float:
    if deciles is None:
        return 0.0
    p10, p50, p90 = deciles
    return max(0.0, p50 + z * ((p50 - p10) if z < 0 else (p90 - p50)) / SPAN)


def kept(example: dict, draw: random.Random) -> list[bool]:
    """Steps 1 to 5 for one draw."""
    near, far = example["together"] ** 0.5, (1 - example["together"]) ** 0.5
    shared: dict[str, float] = {}

    def z(what: str) -> float:
        common = shared.setdefault(what, draw.gauss())
        return near * common + far * draw.gauss()

    leaves = []
    for one in example["coming"]:
        day = max(days(one["ripe_days"], z("ripe")), one["proof_day"])
        for n, step in enumerate(one["steps_days"]):
            day += days(step, z(f"step {n}"))
        much = max(0.0, one["t"] + one["sd_t"] * (draw.gauss() if one["ripe_days"] is None else z("amount")))
        good = all(
            chance == 1 or z(what) < NormalDist().inv_cdf(chance) for what, chance in one["chances"].items()
        )
        leaves.append((day, much if good else 0.0))
    density, taken, found = draw.gauss(), 0.0, []
    for order in example["orders"]:
        size = max(0.0, order["left_t"] + order["sd_t"] * density)
        there = sum(much for day, much in leaves if day <= order["by_day"])
        found.append(there - taken >= size)
        taken += size if found[-1] else 0.0
    return found


def test_the_example_drawn_again_by_its_own_steps_gives_what_is_printed(example: dict) -> None:
    draw = random.Random(11)
    many = [kept(example, draw) for _ in range(DRAWS)]
    chances = [sum(column) / DRAWS for column in zip(*many, strict=True)]
    assert [order["percent"] / 100 for order in example["orders"]] == pytest.approx(chances, abs=0.01)


def test_the_yards_own_promises_are_the_same(example: dict) -> None:
    coming = [
        Coming(
            one["name"], one["t"], one["sd_t"],
            one["ripe_days"] and tuple(one["ripe_days"]), one["proof_day"],
            tuple(one["chances"].items()), tuple(tuple(step) for step in one["steps_days"]),
        )
        for one in example["coming"]
    ]  # fmt: skip
    wanted = [Wanted(one["order"], one["left_t"], one["by_day"], one["sd_t"]) for one in example["orders"]]
    found = promises(wanted, coming, np.random.default_rng(3), 40_000, example["together"])
    printed = [order["percent"] / 100 for order in example["orders"]]
    assert [one.chance for one in found] == pytest.approx(printed, abs=0.015)


def test_one_row_by_pencil() -> None:
    """Tested 9 in 10, on day 20 with deciles 14 and 30, 36 t give or take 6: 30 t by day 25 in
    0.9 × Φ(5 × 1.2816 / 10) × Φ(1)."""
    row = Coming("row R7", 36.0, 6.0, (14.0, 20.0, 30.0), chances=(("proven", 1.0), ("tested", 0.9)))
    (found,) = promises([Wanted("O", 30.0, 25.0)], [row], np.random.default_rng(3), 40_000, 0.5)
    phi = NormalDist().cdf
    assert found.chance == pytest.approx(0.9 * phi(5 * SPAN / 10) * phi(1.0), abs=0.01)


def test_rows_that_share_their_luck_are_not_a_product_of_their_chances() -> None:
    """Both rows must be proven, 8 in 10 each: 0.64 apart, and 0.8 where they go the same way; with a
    correlation of one half, the bivariate normal distribution's own."""
    rows = [Coming(name, 20.0, chances=(("proven", 0.8),), ready_day=(0.0, 0.0, 0.0)) for name in "AB"]
    for together, chance in ((0.0, 0.64), (0.5, both(0.8, 0.5)), (1.0, 0.8)):
        (found,) = promises([Wanted("O", 40.0, 1.0)], rows, np.random.default_rng(3), 60_000, together)
        assert found.chance == pytest.approx(chance, abs=0.01)


def both(chance: float, r: float) -> float:
    """Chance that two normal numbers with correlation r are both below the chance's quantile, by summing over
    what they share."""
    h, phi, width = NormalDist().inv_cdf(chance), NormalDist(), 0.001
    grid = (n * width for n in range(-8000, 8001))
    return sum(phi.pdf(s) * phi.cdf((h - r**0.5 * s) / (1 - r) ** 0.5) ** 2 * width for s in grid)


def test_an_order_that_cannot_be_kept_takes_nothing_from_those_after_it() -> None:
    lot, row = Coming("lot A", 44.0), Coming("row R7", 900.0, 0.0, (60.0, 60.0, 60.0))
    asked = [Wanted("never", 2000.0, 0.0), Wanted("late", 500.0, 1.0), Wanted("small", 40.0, 2.0)]
    never, late, small = promises(asked, [lot, row], np.random.default_rng(3))
    assert (never.chance, never.p50) == (0.0, float("inf"))
    assert (late.chance, late.p50) == (0.0, 60.0)
    assert small.chance == 1.0

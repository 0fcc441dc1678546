"""Ingredients with the typical values of a book's table (dairy, straw, leaves ...).

Nitrogen, C:N, moisture and density are MEMORY values of NRAES-54 Table A.1 (N and C:N READ in a copy);
the organic matter is ours. They are inputs of the checks, not proof of anything.
"""

import pytest

from turnrow.blend.ingredient import Ingredient


def material(
    name: str, moisture: float, n: float, cn: float, density: float | None = None, om: float = 0.85
) -> Ingredient:
    return Ingredient(name, moisture, n, n * cn, om, density)


LB_YD3 = 0.593276  # kg/m3, rounded as it is usually printed


@pytest.fixture
def dairy() -> Ingredient:
    return material("dairy manure", 0.81, 0.024, 19, 1458 * LB_YD3)


@pytest.fixture
def straw() -> Ingredient:
    return material("straw", 0.12, 0.007, 80, 227 * LB_YD3)


@pytest.fixture
def leaves() -> Ingredient:
    return material("leaves", 0.38, 0.009, 54, 450 * LB_YD3)


@pytest.fixture
def hay() -> Ingredient:
    return material("hay", 0.09, 0.021, 23)


@pytest.fixture
def broiler() -> Ingredient:
    return material("broiler litter", 0.37, 0.027, 14, 864 * LB_YD3)


@pytest.fixture
def sawdust() -> Ingredient:
    return material("sawdust", 0.39, 0.5 / 442, 442, 410 * LB_YD3)

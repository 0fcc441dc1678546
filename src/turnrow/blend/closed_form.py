"""Recipes that a pencil can solve: two ingredients and one target."""

from dataclasses import dataclass

from turnrow.blend.ingredient import Ingredient


@dataclass(frozen=True)
class Impossible:
    """A target that these ingredients cannot reach, and why."""

    words: str


def two_for_moisture(a: Ingredient, b: Ingredient, moisture_wet: float) -> float | Impossible:
    """Mass of `a` per mass of `b` for a moisture (wet basis).

        a/b = (M_b - M)/(M - M_a)            M strictly between M_a and M_b

    Source: bc-handbook-1998 App. A.
    """
    if not min(a.moisture_wet, b.moisture_wet) < moisture_wet < max(a.moisture_wet, b.moisture_wet):
        return Impossible(
            f"moisture {100 * moisture_wet:.4g} % is not between that of {a.name} "
            f"({100 * a.moisture_wet:.4g} %) and of {b.name} ({100 * b.moisture_wet:.4g} %)"
        )
    return (b.moisture_wet - moisture_wet) / (moisture_wet - a.moisture_wet)


def two_for_cn(a: Ingredient, b: Ingredient, cn: float) -> float | Impossible:
    """Mass of `a` per mass of `b` for a C:N.

        a/b = (1 - M_b)(R N_b - C_b) / [(1 - M_a)(C_a - R N_a)]      R strictly between R_a and R_b

    the same as N_b (R - R_b)(1 - M_b)/[N_a (R_a - R)(1 - M_a)], without dividing by a nitrogen of 0.
    Source: bc-handbook-1998 App. A.
    """
    over, under = _cn_term(a, cn), _cn_term(b, cn)
    if over * under >= 0:
        return Impossible(
            f"C:N {cn:.4g} is not between that of {a.name} ({_cn(a)}) and of {b.name} ({_cn(b)})"
        )
    return -under / over


def _cn_term(one: Ingredient, cn: float) -> float:
    return (1 - one.moisture_wet) * (one.c_dry - cn * one.n_dry)


def _cn(one: Ingredient) -> str:
    return f"{one.c_dry / one.n_dry:.4g}" if one.n_dry > 0 else "no nitrogen"

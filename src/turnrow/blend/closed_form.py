"""Recipes that a pencil can solve: two ingredients and one target, or several and two unknowns."""

from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.blend.ingredient import Ingredient

WATER = Ingredient("water", 1.0, 0.0, 0.0, 0.0)  # for `two_unknowns`; `mixing.mix` takes water apart
LEVEL = 1e-12


@dataclass(frozen=True)
class Impossible:
    """A target that these ingredients cannot reach, with why; `would_need` holds the masses [kg] the
    equations ask for, one of them negative, where they have a solution at all."""

    words: str
    would_need: tuple[float, ...] = ()


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


def two_unknowns(
    free: tuple[Ingredient, Ingredient],
    fixed: Sequence[Ingredient],
    fixed_kg: Sequence[float],
    moisture_wet: float,
    cn: float,
) -> tuple[float, float] | Impossible:
    """Masses [kg] of the two `free` ingredients (one may be `WATER`) that meet moisture and C:N together.

        sum q_i (M_i - M) = 0        sum q_i (1 - M_i)(C_i - R N_i) = 0

    A negative mass means that these two cannot do it: `Impossible`, with the masses.
    Source: the two equations of the mix; the idea from cornell-1996.
    """
    if len(fixed) != len(fixed_kg):
        raise ValueError(f"{len(fixed_kg)} masses for {len(fixed)} ingredients, want as many")
    (a, b), (c, d) = (
        [i.moisture_wet - moisture_wet for i in free],
        [_cn_term(i, cn) for i in free],
    )
    wet = -sum(kg * (i.moisture_wet - moisture_wet) for i, kg in zip(fixed, fixed_kg, strict=True))
    rich = -sum(kg * _cn_term(i, cn) for i, kg in zip(fixed, fixed_kg, strict=True))
    names = f"{free[0].name} and {free[1].name}"
    det = a * d - b * c
    if abs(det) <= LEVEL * (abs(a * d) + abs(b * c)):
        return Impossible(f"{names} push moisture and C:N the same way, so they cannot be told apart")
    masses = ((wet * d - b * rich) / det, (a * rich - wet * c) / det)
    if min(masses) < 0:
        short = free[0].name if masses[0] < 0 else free[1].name
        return Impossible(
            f"moisture {100 * moisture_wet:.4g} % and C:N {cn:.4g} together would take {masses[0]:.1f} kg of "
            f"{free[0].name} and {masses[1]:.1f} kg of {free[1].name}: less than no {short}",
            masses,
        )
    return masses


def _cn_term(one: Ingredient, cn: float) -> float:
    return (1 - one.moisture_wet) * (one.c_dry - cn * one.n_dry)


def _cn(one: Ingredient) -> str:
    return f"{one.c_dry / one.n_dry:.4g}" if one.n_dry > 0 else "no nitrogen"

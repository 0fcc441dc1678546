"""Carbon: what nitrogen times C:N must come to, carbon from ash, and how much of it can be eaten."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from turnrow.blend.ingredient import Ingredient
from turnrow.blend.notices import Notice
from turnrow.yard.wrongs import Refusal

LOW, HIGH, MOST = 0.30, 0.58, 0.65  # of dry mass: cellulose 0.444, wood about 0.50, nothing organic past 0.58
ROUNDING = 1e-9
AGREE = 0.05  # of carbon: nitrogen of one decimal times C:N lies so far off by its rounding alone (OWN)


def carbon_check(where: str, n_dry: float, cn: float) -> Notice | Refusal | None:
    """Whether nitrogen (per dry mass) and C:N can both be right: N x C:N is the carbon.

    None from 30 to 58 % of dry mass, a notice outside, a refusal above 65 %. For table rows, lab sheets
    and typed values alike. Averages of N and of C:N in books come from different samples; that is why
    their product fails. The bounds are OWN; books' rows fail them.
    """
    carbon = n_dry * cn
    got = f"N {100 * n_dry:.3g} % x C:N {cn:.4g} = {100 * carbon:.3g} % carbon"
    return _judged(where, got, carbon, likely_n_dry(cn))


def carbon_given_check(where: str, c_dry: float) -> Notice | Refusal | None:
    """The same for carbon typed as such (per dry mass)."""
    return _judged(where, f"{100 * c_dry:.3g} % carbon", c_dry, None)


def likely_n_dry(cn: float, c_dry: float = 0.5) -> float | None:
    """Nitrogen per dry mass with C:N kept and carbon as of wood (anchored at half the dry mass)."""
    return c_dry / cn if cn > 0 else None


def _judged(where: str, got: str, carbon: float, likely: float | None) -> Notice | Refusal | None:
    if carbon > MOST + ROUNDING:
        return Refusal(
            where,
            got,
            "Nothing organic is more than about 58 % carbon: N and C:N are not of the same sample, or one "
            "has a decimal or unit slip. Give a lab sheet's N and C, or for wood C 50 % and C:N"
            + (f" (then N is {100 * likely:.3g} %)." if likely else "."),
        )
    if carbon > HIGH + ROUNDING:
        words = "more carbon than organic matter holds: N and C:N may not be of the same sample"
        return Notice(where, got, 100 * likely if likely else None, "% N, were C 50 %", words)
    if carbon < LOW - ROUNDING:
        words = "little carbon: much ash or soil in it, or a slip in N or C:N; a lab sheet settles it"
        return Notice(where, got, None, "", words)
    return None


@dataclass(frozen=True)
class FromAsh:
    """Carbon per dry mass, estimated; `low` and `high` are what the method leaves open."""

    c_dry: float
    low: float
    high: float


def carbon_from_ash(ash_dry: float) -> FromAsh:
    """Carbon per dry mass from ash per dry mass.

        C = (1 - ash)/1.8                              -19 %, +8 %

    as carbon is 45-60 % of volatile solids in most biological matter (1/1.8 = 55.6 %). A C:N made
    with it is of lower quality than one from a combustion analysis.
    Source: cornell-carbon. ValueError: ash outside 0-1.
    """
    if not 0 <= ash_dry <= 1:
        raise ValueError(f"ash {ash_dry} per dry mass, want a fraction 0-1")
    volatile = 1 - ash_dry
    return FromAsh(volatile / 1.8, 0.45 * volatile, 0.60 * volatile)


def organic_from_carbon(c_dry: float) -> float:
    """Organic (volatile) matter per dry mass where only carbon is known: 1.8 C, at most 0.98."""
    return min(1.8 * c_dry, 0.98)


def degradable_share(lignin_om: float) -> float:
    """Share of the organic matter that can degrade, by its lignin (fraction of organic matter).

        B = 0.830 - 0.028 L                            L  lignin, % of volatile solids

    Fitted on manures and plants without oxygen, so read it as an order, not as a figure. At least 0.
    Source: chandler-1980 (MEMORY). ValueError: lignin outside 0-1.
    """
    if not 0 <= lignin_om <= 1:
        raise ValueError(f"lignin {lignin_om} of organic matter, want a fraction 0-1")
    return max(0.0, 0.830 - 0.028 * 100 * lignin_om)


def available_cn(c_dry: float, n_dry: float, lignin_om: float) -> float:
    """C:N counting only the carbon that can degrade. Shown beside the total C:N, never mixed with it.

    The usual windows (25-40) are for total carbon. ValueError: no nitrogen.
    """
    if not n_dry > 0:
        raise ValueError(f"nitrogen {n_dry} per dry mass, want above 0")
    return c_dry * degradable_share(lignin_om) / n_dry


def available_cn_of_mix(ingredients: Sequence[Ingredient], masses_kg: Sequence[float]) -> float | None:
    """C:N of a mix counting only the carbon that can degrade, from masses as in `mixing.mix`.

    None when a part's lignin is not known; infinite without nitrogen.
    """
    parts = [(i, kg * (1 - i.moisture_wet)) for i, kg in zip(ingredients, masses_kg, strict=True) if kg]
    if any(i.lignin_om is None for i, _ in parts):
        return None
    carbon = math.fsum(dry * i.c_dry * degradable_share(i.lignin_om or 0.0) for i, dry in parts)
    nitrogen = math.fsum(dry * i.n_dry for i, dry in parts)
    return carbon / nitrogen if nitrogen > 0 else math.inf

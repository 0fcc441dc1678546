"""Carbon: what nitrogen times C:N must come to, and carbon from ash."""

from dataclasses import dataclass

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

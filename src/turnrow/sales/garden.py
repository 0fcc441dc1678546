"""How much compost a bed or a potting mix takes: by share of the volume and by salt."""

from dataclasses import dataclass

from turnrow.handbook.figures import Figures
from turnrow.sales.analysis import Analysis

LIMIT_OF = {"saturated extract": "ec_limit_saturated", "1:5 by volume": "ec_limit_1_5_vv"}


@dataclass(frozen=True)
class Mixed:
    """How much of a volume may be compost. `shares`: what each limit alone would allow, 0 to 1."""

    share: float
    limited_by: str
    shares: dict[str, float]
    compost_m3: float
    compost_t: float | None
    depth_mm: float | None = None


def salt_share(analysis: Analysis, base_ec: float, limit_ec: float) -> float:
    """The most compost a mix can hold within a limit on its salts, by volume, 0 to 1.

        f = (E_limit - E_base) / (E_compost - E_base)

    All three in dS/m of one and the same extract. A first screen: mixes are to be measured.
    ValueError where the analysis has no conductivity, or the base is above the limit by itself.
    """
    if analysis.ec is None:
        raise ValueError("no electrical conductivity in the analysis")
    if base_ec > limit_ec:
        raise ValueError(f"the base has {base_ec:g} dS/m, above the limit of {limit_ec:g} dS/m by itself")
    return 1.0 if analysis.ec <= limit_ec else (limit_ec - base_ec) / (analysis.ec - base_ec)


def salt_limit(analysis: Analysis, book: Figures) -> float | None:
    """The handbook's limit for the analysis' own extract; None where it has none for that."""
    key = LIMIT_OF.get(analysis.extract)
    return book[key].value if key else None


def bed(
    analysis: Analysis,
    area_m2: float,
    tilled_cm: float,
    book: Figures,
    *,
    share: float | None = None,
    dry_t_ha: float | None = None,
) -> Mixed:
    """Compost for a bed that is dug to `tilled_cm`.

    share     most of the dug volume, 0 to 1; the handbook's when not said
    dry_t_ha  what the nutrients of the crop allow, t of dry matter on a hectare
    ValueError where the nutrients are to be kept and no density is told.
    """
    dug_m3 = area_m2 * tilled_cm / 100.0
    shares = {"share of the soil": book["bed_share"].value / 100.0 if share is None else share}
    if dry_t_ha is not None:
        volume = analysis.volume_m3(analysis.wet(dry_t_ha) * area_m2 / 10_000.0)
        if volume is None:
            raise ValueError("no bulk density in the analysis")
        shares["nutrients"] = volume / dug_m3
    return _least(analysis, shares, dug_m3, area_m2)


def potting(
    analysis: Analysis,
    total_m3: float,
    book: Figures,
    *,
    share: float | None = None,
    base_ec: float = 0.0,
    limit_ec: float | None = None,
) -> Mixed:
    """Compost for a potting mix of `total_m3`; the salt limit counts where one is told or known."""
    shares = {"share of the mix": book["potting_share"].value / 100.0 if share is None else share}
    limit = salt_limit(analysis, book) if limit_ec is None else limit_ec
    if analysis.ec is not None and limit is not None:
        shares["salt"] = salt_share(analysis, base_ec, limit)
    return _least(analysis, shares, total_m3, None)


def _least(analysis: Analysis, shares: dict[str, float], whole_m3: float, area_m2: float | None) -> Mixed:
    limit = min(shares, key=lambda name: shares[name])
    volume = shares[limit] * whole_m3
    mass = None if analysis.density is None else volume * analysis.density / 1000.0
    depth = None if area_m2 is None else volume / area_m2 * 1000.0
    return Mixed(shares[limit], limit, shares, volume, mass, depth)

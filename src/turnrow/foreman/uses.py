"""A question about using compost, answered: rates, what limits them, what must be said with them."""

from math import isfinite
from typing import Any

from turnrow.gate.use_file import UseFile
from turnrow.handbook.figures import Figures, use_figures
from turnrow.sales import advice
from turnrow.sales.field import FieldRate, credits, field_rate
from turnrow.sales.garden import bed, potting
from turnrow.yard.units import size
from turnrow.yard.wrongs import refuse


def answered(asked: UseFile) -> dict[str, Any]:
    """The answer's keys; units stand in their names."""
    book = use_figures()
    found = _field(asked, book) if asked.use == "field" else _volume(asked, book)
    found["warnings"] = [*advice.doubts(asked.analysis, book), *found["warnings"]]
    found["cautions"] = [*([advice.RAW] if asked.raw else []), *advice.CAUTIONS]
    found["sources"] = sorted({one.source for one in book.values()})
    return found


def _field(asked: UseFile, book: Figures) -> dict[str, Any]:
    rate = field_rate(asked.analysis, asked.need, asked.most, book, asked.before, raw=asked.raw)
    area = asked.place.get("area_ha")
    return {
        "use": "field",
        "rate_t_ha": _rounded(rate.wet_t_ha),
        "rate_t_ha_dry": _rounded(rate.dry_t_ha),
        "volume_m3_ha": _rounded(rate.volume_m3_ha),
        "depth_mm": _rounded(rate.depth_mm),
        **_field_us(rate, area),
        "limited_by": rate.limited_by,
        "rates_t_ha": {key: _rounded(value) for key, value in rate.rates.items()},
        "gives_kg_ha": {key: _rounded(value) for key, value in rate.gives.items()},
        "over_kg_ha": {key: _rounded(value) for key, value in rate.over.items()},
        "credits_n_kg_ha": _rounded(credits(asked.before, book, raw=asked.raw)),
        "total_t": None if area is None else _rounded(area * rate.wet_t_ha),
        "total_m3": None if area is None or rate.volume_m3_ha is None else _rounded(area * rate.volume_m3_ha),
        "warnings": list(advice.carried(rate, asked.need)),
    }


def _volume(asked: UseFile, book: Figures) -> dict[str, Any]:
    share = asked.place.get("share_pct_max")
    share = None if share is None else share / 100.0
    if asked.use == "bed":
        fed = asked.need or asked.most
        dry = (
            field_rate(asked.analysis, asked.need, asked.most, book, asked.before, raw=asked.raw)
            if fed
            else None
        )
        mixed = bed(
            asked.analysis, asked.place["area_m2"], asked.place["tilled_cm"], book,
            share=share, dry_t_ha=dry.dry_t_ha if dry else None,
        )  # fmt: skip
    else:
        base, limit = asked.place.get("base_ec_ds_m", 0.0), asked.place.get("ec_ds_m_max")
        try:
            mixed = potting(
                asked.analysis, asked.place["volume_l"] / 1000.0, book,
                share=share, base_ec=base, limit_ec=limit,
            )  # fmt: skip
        except ValueError as wrong:
            raise refuse("base_ec_ds_m", f"{base:g}", f"{wrong}.") from None
    return {
        "use": asked.use,
        "share_pct": _rounded(100.0 * mixed.share),
        "limited_by": mixed.limited_by,
        "shares_pct": {key: _rounded(100.0 * value) for key, value in mixed.shares.items()},
        "compost_m3": _rounded(mixed.compost_m3),
        "compost_t": _rounded(mixed.compost_t),
        "depth_mm": _rounded(mixed.depth_mm),
        "compost_yd3": _in(mixed.compost_m3, "m3", "yd3"),
        "compost_ft3": _in(mixed.compost_m3, "m3", "ft3"),
        "compost_bu": _in(mixed.compost_m3, "m3", "bu"),
        "compost_ton": _in(mixed.compost_t, "t", "ton"),
        "depth_in": _in(mixed.depth_mm, "mm", "in"),
        "warnings": [],
    }


def _field_us(rate: FieldRate, area_ha: float | None) -> dict[str, Any]:
    """The same answer in short tons, pounds, acres, inches and cubic yards."""
    wet = None if area_ha is None else area_ha * rate.wet_t_ha
    volume = None if area_ha is None or rate.volume_m3_ha is None else area_ha * rate.volume_m3_ha
    return {
        "rate_ton_ac": _in(rate.wet_t_ha, "t/ha", "ton/ac"),
        "rates_ton_ac": {key: _in(value, "t/ha", "ton/ac") for key, value in rate.rates.items()},
        "volume_yd3_ac": _in(rate.volume_m3_ha, "m3/ha", "yd3/ac"),
        "depth_in": _in(rate.depth_mm, "mm", "in"),
        "gives_lb_ac": {key: _in(value, "kg/ha", "lb/ac") for key, value in rate.gives.items()},
        "total_ton": _in(wet, "t", "ton"),
        "total_yd3": _in(volume, "m3", "yd3"),
    }


def _in(value: float | None, has: str, unit: str) -> float | None:
    return None if value is None else _rounded(value * float(size(has, unit)))


def _rounded(value: float | None) -> float | None:
    return None if value is None or not isfinite(value) else float(f"{value:.6g}")

"""A chain from a file, answered: masses, losses both ways, products, what does not close."""

from typing import Any

from turnrow.gate.chain_file import ChainFile
from turnrow.handbook.book import handbook
from turnrow.lots.chain import Chain, Part, chain
from turnrow.lots.checks import Balance
from turnrow.lots.matter import Tolerance
from turnrow.yard.stock import VOLUME


def tolerance() -> Tolerance:
    """The handbook's own."""
    return Tolerance.of({name: one.amount for name, one in handbook().settings.items()})


def answered(asked: ChainFile) -> dict[str, Any]:
    """The answer's keys; units stand in their names."""
    found = chain(asked.loads, asked.stages, asked.screen, asked.reference, tolerance(), asked.water)
    return {
        "steps": [
            {
                "name": step.name,
                "t": _rounded(step.wet),
                "dry_t": _rounded(step.dry),
                "water_t": _rounded(step.wet - step.dry),
                "moisture_pct": _rounded(100 * step.moisture),
                "dm_loss_pct": _rounded(100 * step.lost_dry),
                "dm_loss_in_all_pct": _rounded(100 * step.lost_dry_in_all),
                "mass_loss_in_all_pct": _rounded(100 * step.lost_wet_in_all),
            }
            for step in found.steps
        ],
        "sky_t": {"dry": _rounded(found.sky[0]), "water": _rounded(found.sky[1])},
        "losses": {name: _balance(one) for name, one in found.balances.items()},
        "reference_moisture_pct": _rounded(100 * asked.reference),
        **{key: _part(part) for key, part in found.parts.items()},
        "load_shares_pct": {name: _rounded(100 * share) for name, share in found.shares.items()},
        "closes": closes(found),
        "unclosed": list(found.said),
    }


def closes(found: Chain) -> bool:
    return not found.said


def _balance(one: Balance) -> dict[str, Any]:
    return {
        "dm_loss_by_weight_pct": None if one.by_weight is None else _rounded(100 * one.by_weight),
        "dm_loss_by_ash_pct": None if one.by_ash is None else _rounded(100 * one.by_ash),
        "kept": {name: _rounded(share) for name, share in one.kept.items()},
    }


def _part(part: Part) -> dict[str, Any]:
    cubic = part.volume
    return {
        "t": _rounded(part.wet),
        "dry_t": _rounded(part.dry),
        "m3": None if cubic is None else _rounded(cubic),
        "yd3": None if cubic is None else _rounded(cubic / VOLUME["yd3"]),
        "t_at_reference": _rounded(part.at_reference),
    }


def _rounded(value: float) -> float:
    return float(f"{value:.6g}") + 0.0

"""One row from its loads to fines and overs: masses, losses, and what does not close."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from turnrow.lots.book import LEAST
from turnrow.lots.checks import NITROGEN, STAYS, Balance, Side, balance, told_loss
from turnrow.lots.matter import Tolerance
from turnrow.lots.shrink import Step, at_moisture, dry, loss_by_ash, shrink_table, wet_at


@dataclass(frozen=True)
class Load:
    """wet [t], moisture a share of it, found: shares of the dry matter by name."""

    name: str
    wet: float
    moisture: float
    found: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Stage:
    """How the heap stood after a while: by weight, else by the share of dry matter lost, else by its ash.

    water     t added during the stage; told_n_loss: share of the nitrogen somebody says was lost
    """

    name: str
    moisture: float
    wet: float | None = None
    lost: float | None = None
    found: Mapping[str, float] = field(default_factory=dict)
    water: float = 0.0
    told_n_loss: float | None = None


@dataclass(frozen=True)
class Screen:
    """Fines and overs, by weight or by fines' share of the wet mass; moistures: None: as it was screened."""

    fines: float | None = None
    overs: float | None = None
    share: float | None = None
    fines_moisture: float | None = None
    overs_moisture: float | None = None
    density: float | None = None  # of the fines, t/m3


@dataclass(frozen=True)
class Part:
    """A product of the screen [t, t dry, m3]; at_reference: its mass at the reference moisture."""

    wet: float
    dry: float
    volume: float | None
    at_reference: float


@dataclass(frozen=True)
class Chain:
    """steps: loads, each stage; sky: dry matter and water that went into the air [t] where nothing else can
    have taken them; shares: of each load in whatever came of the row; balances: by stage, against the loads.
    """

    steps: tuple[Step, ...]
    sky: tuple[float, float]
    balances: dict[str, Balance]
    parts: dict[str, Part]
    shares: dict[str, float]
    said: tuple[str, ...]


def chain(
    loads: Sequence[Load],
    stages: Sequence[Stage],
    screen: Screen | None,
    reference: float,
    tolerance: Tolerance,
    water: float = 0.0,
) -> Chain:
    """Follow loads through stages and the screen.

    water      t given when the row was laid; reference: a moisture, share of wet mass
    Raises ValueError for a stage that says neither a mass nor a loss nor, beside known ash, its ash.
    """
    wet, dm = sum(one.wet for one in loads) + water, sum(dry(one.wet, one.moisture) for one in loads)
    laid = sum(one.wet for one in loads)
    went_in = Side(dm, _mixed(loads, dm))
    steps = [("row", wet, dm)]
    said: list[str] = []
    balances: dict[str, Balance] = {}
    ash = went_in.found.get("ash")
    gone = [0.0, 0.0]
    for stage in stages:
        name, was_wet, was_dry = steps[-1]
        now_dry = _dry_after(stage, was_dry, ash)
        now_wet = stage.wet if stage.wet is not None else wet_at(now_dry, stage.moisture)
        ash = stage.found.get("ash", ash)
        steps.append((stage.name, now_wet, now_dry))
        dried = was_wet - was_dry + stage.water - (now_wet - now_dry)
        said += _between(stage, name, was_dry - now_dry, dried, now_wet, tolerance)
        gone = [gone[0] + max(0.0, was_dry - now_dry), gone[1] + max(0.0, dried)]
        found = balance(went_in, Side(now_dry, stage.found), *tolerance.kept)
        balances[stage.name] = found
        said += [f"{stage.name}: {one}" for one in found.said]
        if stage.told_n_loss is not None and NITROGEN in found.kept:
            said += filter(
                None, [told_loss(NITROGEN, stage.told_n_loss, found.kept[NITROGEN], tolerance.told)]
            )
    parts: dict[str, Part] = {}
    if screen is not None:
        parts, more = _screened(screen, steps[-1], reference, tolerance)
        said += more
    shares = {one.name: one.wet / laid for one in loads}
    return Chain(shrink_table(steps), (gone[0], gone[1]), balances, parts, shares, tuple(dict.fromkeys(said)))


def _mixed(loads: Sequence[Load], dm: float) -> dict[str, float]:
    """What the loads together hold of each thing; only where every load was tested for it."""
    return {
        name: sum(dry(one.wet, one.moisture) * one.found[name] for one in loads) / dm
        for name in (*STAYS, NITROGEN)
        if dm > 0.0 and all(name in one.found for one in loads)
    }


def _dry_after(stage: Stage, before: float, ash: float | None) -> float:
    if stage.wet is not None:
        return dry(stage.wet, stage.moisture)
    if stage.lost is not None:
        return before * (1.0 - stage.lost)
    if ash is not None and stage.found.get("ash"):
        return before * (1.0 - loss_by_ash(ash, stage.found["ash"]))
    raise ValueError(f"stage {stage.name!r} has no mass, no loss and no ash, want one of them")


def _between(
    stage: Stage, before: str, rotted: float, dried: float, wet: float, tolerance: Tolerance
) -> list[str]:
    """What cannot be between two stages, beyond what moisture and mass may be off."""
    off = wet * (tolerance.moisture + tolerance.weighbridge)
    said = []
    if rotted < -off:
        said.append(
            f"{stage.name}: {-rotted:.4g} t more dry matter than at {before}: a mass or a moisture is wrong, "
            "or something was put in that is not written."
        )
    if dried < -off:
        said.append(f"{stage.name}: {-dried:.4g} t more water than at {before}: rain, or water not written?")
    return said


def _screened(
    screen: Screen, last: tuple[str, float, float], reference: float, tolerance: Tolerance
) -> tuple[dict[str, Part], list[str]]:
    name, wet, dm = last
    fines, overs, said = screen.fines, screen.overs, []
    if screen.share is not None and fines is None:
        fines = wet * screen.share
    fines = fines if fines is not None else wet - (overs or 0.0)
    overs = overs if overs is not None else wet - fines
    rest, off = wet - fines - overs, wet * tolerance.buckets
    if overs < -LEAST:
        said.append(
            f"screen: {fines:.4g} t of fines, and {name} left {wet:.4g} t: more came out than went in."
        )
    elif abs(rest) > off:
        more = "more came out than went in" if rest < 0.0 else "came out less than went in"
        said.append(f"screen: {abs(rest):.4g} t {more}; buckets may be off by {off:.3g} t.")
    moisture = 1.0 - dm / wet
    parts = {}
    for key, much, own, density in (
        ("fines", fines, screen.fines_moisture, screen.density),
        ("overs", overs, screen.overs_moisture, None),
    ):
        at = moisture if own is None else own
        volume = much / density if density else None
        parts[key] = Part(much, dry(much, at), volume, at_moisture(much, at, reference))
    lost = dm - sum(one.dry for one in parts.values())
    if lost < -(wet * tolerance.moisture + off * (1.0 - moisture)):
        said.append(
            f"screen: {-lost:.4g} t more dry matter came off the screen than went on: a moisture is wrong."
        )
    return parts, said

"""What a heap loses, from weights and from what stays behind. Masses in any one unit, shares of one.

m  moisture, share of the wet mass;  D  dry matter = wet * (1 - m)
"""

from dataclasses import dataclass


def dry(wet: float, moisture: float) -> float:
    """D = wet * (1 - m)."""
    return wet * (1.0 - _share("moisture", moisture))


def wet_at(dry_matter: float, moisture: float) -> float:
    """The wet mass of some dry matter at a moisture: D / (1 - m)."""
    return dry_matter / (1.0 - _share("moisture", moisture))


def at_moisture(wet: float, moisture: float, reference: float) -> float:
    """Moisture-adjusted mass: M_ref = M * (1 - m) / (1 - m_ref), the same dry matter at another moisture."""
    return wet_at(dry(wet, moisture), reference)


def loss_by_weight(dry_in: float, dry_out: float) -> float:
    """Share of the dry matter lost: 1 - D_out / D_in. Below 0 where more came out than went in."""
    if dry_in <= 0.0:
        raise ValueError(f"dry matter in {dry_in:g}, want above 0")
    return 1.0 - dry_out / dry_in


def loss_by_ash(ash_in: float, ash_out: float) -> float:
    """Share of the dry matter lost, if no ash came or went: 1 - ash_in / ash_out, ash as a share of the
    dry matter. Grit picked up from the ground makes it too large. Below 0 where the ash thinned."""
    if not 0.0 <= ash_in <= 1.0 or not 0.0 < ash_out <= 1.0:
        raise ValueError(f"ash {ash_in:g} and {ash_out:g}, want shares of the dry matter above 0")
    return 1.0 - ash_in / ash_out


def kept(part_in: float, dry_in: float, part_out: float, dry_out: float) -> float:
    """What came out of what went in, of something that can neither burn nor fly (ash, P, iron):
    P_out * D_out / (P_in * D_in), parts as shares of the dry matter. 1 where the books close."""
    if part_in <= 0.0 or dry_in <= 0.0:
        raise ValueError(f"{part_in:g} of {dry_in:g} in, want both above 0")
    return part_out * dry_out / (part_in * dry_in)


@dataclass(frozen=True)
class Step:
    """One line of a shrink table: a mass as it lay [t], and what was lost since the line before and since
    the first, shares of the dry matter and of the wet mass."""

    name: str
    wet: float
    dry: float
    lost_dry: float
    lost_dry_in_all: float
    lost_wet_in_all: float

    @property
    def moisture(self) -> float:
        return 1.0 - self.dry / self.wet if self.wet else 0.0


def shrink_table(stages: list[tuple[str, float, float]]) -> tuple[Step, ...]:
    """A line for each (name, wet, dry), in their order."""
    found: list[Step] = []
    for name, wet, dry_matter in stages:
        first = found[0] if found else Step(name, wet, dry_matter, 0.0, 0.0, 0.0)
        before = found[-1] if found else first
        found.append(
            Step(
                name,
                wet,
                dry_matter,
                loss_by_weight(before.dry, dry_matter),
                loss_by_weight(first.dry, dry_matter),
                1.0 - wet / first.wet,
            )
        )
    return tuple(found)


def _share(name: str, value: float) -> float:
    if not 0.0 <= value < 1.0:
        raise ValueError(f"{name} {value:g}, want a share of the wet mass, 0 to under 1")
    return value

"""How many stations a row needs and how deep, where a text says so."""

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from turnrow.handbook.rules import Spatial
from turnrow.sanitation.facts import Facts
from turnrow.sanitation.found import Found, counted
from turnrow.sanitation.record import Record
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH
from turnrow.yard.units import size

FT_MM, IN_MM, YD3_LITRE = size("ft", "mm"), size("in", "mm"), size("yd3", "L")


@dataclass(frozen=True)
class StationsNeeded:
    """Stations by length and by volume; None where that measure was not given."""

    by_length: int | None
    by_volume: int | None

    def by(self, policy: str) -> int | None:
        """By length, else by volume, where the policy is `length`; the other way round for
        `volume`; with `both` the greater. None when what the policy asks was not given."""
        if policy == "both":
            both = self.by_length is not None and self.by_volume is not None
            return max(self.by_length or 0, self.by_volume or 0) if both else None
        order = (self.by_length, self.by_volume)
        first, second = order if policy == "length" else order[::-1]
        return second if first is None else first


def stations_needed(
    spatial: Spatial, length_mm: int | Fraction | None = None, volume_litre: int | Fraction | None = None
) -> StationsNeeded:
    """Stations a row of that length or volume needs; a part counts as a whole: 450 ft at one per
    150 ft is 3, 451 ft is 4. ValueError below 0."""
    return StationsNeeded(
        _whole("length_mm", length_mm, spatial.per_length_mm),
        _whole("volume_litre", volume_litre, spatial.per_volume_litre),
    )


def _whole(name: str, size: int | Fraction | None, per: int) -> int | None:
    if size is None:
        return None
    if size < 0:
        raise ValueError(f"{name} {size}, want at least 0")
    return max(1, -int(-Fraction(size) // per))


def judge(spatial: Spatial, record: Record, facts: Facts, policy: str) -> Found:
    """NOT_PROVEN, with what to do, when too few stations were read or not at the stated depth."""
    length = _measure(facts, "length_ft", FT_MM, "length_m", Fraction(1000))
    volume = _measure(facts, "volume_yd3", YD3_LITRE, "volume_m3", Fraction(1000))
    needed = stations_needed(spatial, length, volume).by(policy)
    per = (
        f"one per {spatial.per_length_mm / 304.8:g} ft ({spatial.per_length_mm / 1000:g} m) of row "
        f"or per {round(spatial.per_volume_litre / float(YD3_LITRE))} yd³, a part counting as a whole"
    )
    depth = _depth_short(spatial, record, facts)
    short = [] if depth is None else [depth]
    if needed is None:
        ask = {"length": "length_ft", "volume": "volume_yd3", "both": "length_ft and volume_yd3"}[policy]
        short.append(f"fact {ask}: say how long or how large the row is ({per})")
        return Found("NOT_PROVEN", short_of=tuple(short))
    read = _stations_read(spatial, record, facts)
    if read < needed:
        short.append(f"{counted(needed - read, 'station')} read every day ({read} of {needed}): {per}")
    said = f"{counted(needed, 'station')} needed, {per}; {read} read."
    return Found("NOT_PROVEN" if short else "PASS", short_of=tuple(short), because=(said,))


def _measure(facts: Facts, one: str, per_one: Fraction, other: str, per_other: Fraction) -> Fraction | None:
    """A fact in either of two units, in millimetres or litres; the longer where both were given."""
    sizes = [
        Fraction(facts.numbers[name], MICRO) * per
        for name, per in ((one, per_one), (other, per_other))
        if name in facts.numbers
    ]
    return max(sizes, default=None)


def _said_depth(facts: Facts) -> Fraction | None:
    return _measure(facts, "depth_in", IN_MM, "depth_cm", Fraction(10))


def _deep_enough(spatial: Spatial, depth_mm: Fraction) -> bool:
    """Depths are kept in whole millimetres, so the stated one is rounded as a reading's is."""
    return spatial.shallowest_mm <= round(depth_mm) <= spatial.deepest_mm


def _range(spatial: Spatial) -> str:
    return (
        f"{spatial.shallowest_mm / 25.4:.0f} to {spatial.deepest_mm / 25.4:.0f} in "
        f"({spatial.shallowest_mm / 10:.1f} to {spatial.deepest_mm / 10:.1f} cm) below the surface"
    )


def _depth_short(spatial: Spatial, record: Record, facts: Facts) -> str | None:
    said = _said_depth(facts)
    if said is not None:
        if _deep_enough(spatial, said):
            return None
        return f"readings {_range(spatial)}; these were said to be at {float(said / IN_MM):g} in"
    depth = record.readings.depth
    if not len(depth) or (depth == NO_DEPTH).any():
        return f"fact depth_in: say how deep the probe stood ({_range(spatial)})"
    if ((depth < spatial.shallowest_mm) | (depth > spatial.deepest_mm)).all():
        return f"readings {_range(spatial)}; these were not"
    return None


def _stations_read(spatial: Spatial, record: Record, facts: Facts) -> int:
    """The fewest stations read at the stated depth on any day on which something was read."""
    readings, cells = record.readings, record.cells
    if not len(readings):
        return 0
    if _said_depth(facts) is not None or (readings.depth == NO_DEPTH).any():
        read = cells.count > 0
    else:
        deep = (readings.depth >= spatial.shallowest_mm) & (readings.depth <= spatial.deepest_mm)
        day = readings.day[deep].astype(np.int64) - cells.first
        flat = day * len(cells.stations) + readings.station[deep]
        read = np.bincount(flat, minlength=cells.count.size).reshape(cells.count.shape) > 0
    days = (cells.count > 0).any(axis=1)
    return int(read[days].sum(axis=1).min())

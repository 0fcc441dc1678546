"""A self-heating test from a logger: how far compost in an insulated vessel warms above the air around it."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from turnrow.yard.readings import Readings
from turnrow.yard.temperature import NINTH

HOUR_S = 3600
DAY_S = 86_400


@dataclass(frozen=True)
class Rise:
    """What the test found.

    rise     degrees Celsius above the air, exact
    highest  the hottest reading [°C], and `at` its moment [s UTC]; `ambient` the air taken then [°C]
    days     length of the record that was looked at
    doubts   sentences; without any the highest is known to have been the highest
    """

    rise: Fraction
    highest: Fraction
    at: int
    ambient: Fraction
    days: Fraction
    doubts: tuple[str, ...] = ()


def rise(vessel: Readings, ambient: Readings | Fraction, figures: Mapping[str, Fraction]) -> Rise:
    """The highest reading of the vessel in up to about ten days, above the air around it at that time.

    vessel   readings of one vessel, sorted by moment
    ambient  readings of the air, or one temperature [°C] that the room was kept at
    figures  the handbook's own (`quality_figures()`)
    ValueError for a record without a reading, or air that was not read around the hottest moment.
    """
    if not len(vessel):
        raise ValueError("self-heating record of 0 readings, want at least 1")
    start = int(vessel.at[0])
    inside = vessel.at - start <= int(figures["self_heating_days"] * DAY_S)
    at, heat = vessel.at[inside], vessel.heat[inside]
    top = int(np.argmax(heat))
    air = ambient if isinstance(ambient, Fraction) else _near(ambient, int(at[top]), figures)
    highest = Fraction(int(heat[top]), NINTH)
    span = Fraction(int(at[-1]) - start, DAY_S)
    doubts = [*_record_doubts(at, top, span, figures), *_air_doubts(ambient, air, at, figures)]
    return Rise(highest - air, highest, int(at[top]), air, span, tuple(doubts))


def _near(air: Readings, at: int, figures: Mapping[str, Fraction]) -> Fraction:
    if not len(air):
        raise ValueError("air of 0 readings, want at least 1")
    place = int(np.argmin(np.abs(air.at - at)))
    gap = abs(int(air.at[place]) - at)
    if gap > figures["self_heating_gap_h"] * HOUR_S:
        raise ValueError(f"air read {gap / HOUR_S:.0f} h from the hottest moment, want it nearer")
    return Fraction(int(air.heat[place]), NINTH)


def _record_doubts(
    at: NDArray[np.int64], top: int, span: Fraction, figures: Mapping[str, Fraction]
) -> list[str]:
    found = []
    if span < figures["self_heating_least_days"]:
        least = figures["self_heating_least_days"]
        found.append(f"The record is {float(span):.1f} days long, under {float(least):g}; it may still warm.")
    after = Fraction(int(at[-1] - at[top]), HOUR_S)
    if after < figures["self_heating_after_h"]:
        found.append(
            f"The hottest reading is {float(after):.0f} h before the end of the record: it may have gone on "
            "rising."
        )
    gaps = np.diff(at)
    if len(gaps) and int(gaps.max()) > figures["self_heating_gap_h"] * HOUR_S:
        found.append(
            f"Nothing was read for {int(gaps.max()) / HOUR_S:.0f} h; the highest may lie in that gap."
        )
    return found


def _air_doubts(
    ambient: Readings | Fraction, air: Fraction, at: NDArray[np.int64], figures: Mapping[str, Fraction]
) -> list[str]:
    wanted, most = figures["self_heating_ambient"], figures["self_heating_ambient_off"]
    low = high = air
    if not isinstance(ambient, Fraction):
        inside = ambient.heat[(ambient.at >= at[0]) & (ambient.at <= at[-1])]
        if len(inside):
            low, high = Fraction(int(inside.min()), NINTH), Fraction(int(inside.max()), NINTH)
    if low < wanted - most or high > wanted + most:
        return [
            f"The air was {float(low):.1f} to {float(high):.1f} °C; the test asks for about "
            f"{float(wanted):g} °C, and classes told as absolute temperatures hold only there."
        ]
    return []

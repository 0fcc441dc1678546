"""Amounts as tonnes: of a thing, of its dry matter, of its water."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.stock import MASS, VOLUME
from turnrow.yard.units import of_kind

DENSITIES = {unit: float(size) / 1000 for unit, size in of_kind("density").items()}  # t/m3
WATER = 1.0  # t/m3


class Known(NamedTuple):
    """A figure and the line that says it; line 0: not of the diary, `words` say where it is from.

    off  how far it may be off, a share of it; 0 for one that was measured
    """

    value: float
    line: int = 0
    words: str = ""
    off: float = 0.0

    def said(self) -> str:
        return f"line {self.line}" if self.line else self.words


@dataclass(frozen=True)
class Typical:
    """What is taken for a material nobody measured, and said so.

    moisture: share of the wet mass; density: t/m3, and how far it may be off as a share of it
    """

    words: str
    moisture: float | None = None
    density: float | None = None
    density_off: float = 0.0


@dataclass(frozen=True)
class Tolerance:
    """How far a measurement may be from the book, and how fast matter can go into the air.

    weighbridge, buckets, judged  shares of the mass, by how it was measured
    moisture       share of the wet mass, as measured
    decay_most, decay_daily, drying_daily  most that can rot of the dry matter, in all and in a day; most of
                   the water that can dry off in a day
    kept           low and high of what ought to be 1 where nothing was lost
    told           how far a stated loss may be from the one the masses give, share of what went in
    load_most      tonnes no single load comes to
    moisture_days  how long a row's reckoned moisture may stand for its own
    gain           times the tolerance more dry matter than went in may be chance
    """

    weighbridge: float
    buckets: float
    judged: float
    moisture: float
    decay_most: float
    decay_daily: float
    drying_daily: float
    kept: tuple[float, float]
    told: float
    load_most: float
    moisture_days: float
    gain: float

    @classmethod
    def of(cls, settings: Mapping[str, Amount]) -> "Tolerance":
        """From the yard's settings; KeyError when one is missing."""

        def share(name: str) -> float:
            return settings[name].value / (100 * MICRO)

        return cls(
            share("weighbridge_off"),
            share("buckets_off"),
            share("judged_off"),
            share("moisture_off"),
            share("decay_most"),
            share("decay_daily"),
            share("drying_daily"),
            (share("kept_low"), share("kept_high")),
            share("told_loss_off"),
            settings["load_most"].value / MICRO,
            settings["moisture_days"].value / MICRO,
            settings["gain_most"].value / MICRO,
        )

    def of_mass(self, how: str) -> float:
        """The share a mass may be off: by scale, survey, buckets, or judged."""
        return {"scale": self.weighbridge, "weighed": self.weighbridge, "judged": self.judged}.get(
            how, self.buckets
        )

    def rotted(self, days: float) -> float:
        """Most of the dry matter that can be gone after some days."""
        return float(min(self.decay_most, 1.0 - (1.0 - self.decay_daily) ** days))

    def dried(self, days: float) -> float:
        """Most of the water that can be gone after some days."""
        return float(1.0 - (1.0 - self.drying_daily) ** days)


@dataclass
class Held:
    """What the book says a thing holds [t], and what of it cannot be trusted.

    wet_known, dry_known  false once something of unknown mass or moisture went in or out; the figures are
                          then what is known of it
    wet_most              the wet mass known is the most it can hold: some of unknown mass may have left, none
                          came in
    room, room_off        m3 it holds at most, from its last measured volume on, and how far that may be off;
                          None where none was measured
    since_s               the last moment it was measured; with what it was made of, the oldest of those
    lines                 what it rests on
    """

    wet: float = 0.0
    dry: float = 0.0
    water: float = 0.0
    wet_known: bool = True
    dry_known: bool = True
    wet_most: bool = True
    room: float | None = None
    room_off: float = 0.0
    since_s: int | None = None
    lines: list[int] = field(default_factory=list)

    @property
    def moisture(self) -> float | None:
        """Share of the wet mass; None where it cannot be told."""
        if not self.wet_known or not self.dry_known or self.wet <= 0.0:
            return None
        return min(1.0, max(0.0, self.water / self.wet))


def tonnes(amount: Amount, density: Known | None) -> float | None:
    """The mass of an amount [t]; None: a volume and no density, or another kind of unit."""
    much = amount.value / MICRO
    if amount.unit in MASS:
        return much * MASS[amount.unit]
    if amount.unit in VOLUME and density is not None:
        return much * VOLUME[amount.unit] * density.value
    return None


def cubic_metres(amount: Amount | None) -> float | None:
    """m3 of an amount; None for one that is no volume."""
    if amount is None or amount.unit not in VOLUME:
        return None
    return amount.value / MICRO * VOLUME[amount.unit]


def water_tonnes(amount: Amount) -> float:
    """Tonnes of water; ValueError for a unit that is none of volume or mass."""
    much = amount.value / MICRO
    if amount.unit in VOLUME:
        return much * VOLUME[amount.unit] * WATER
    if amount.unit in MASS:
        return much * MASS[amount.unit]
    raise ValueError(f"water in {amount.unit!r}, want one of {', '.join((*VOLUME, *MASS))}")

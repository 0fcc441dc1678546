"""What is known of a heap when its outlook is asked for: readings, what was done, size, blend, air."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Moments = NDArray[np.int64]
KINDS = ("turn", "water", "cover", "uncover")


@dataclass(frozen=True)
class Told:
    """A quantity somebody measured or reckons with: value, and one standard deviation, in its own unit."""

    value: float
    sd: float


@dataclass(frozen=True, eq=False)
class Read:
    """Readings in columns (n,), in any order.

    at_s      seconds UTC
    depth_cm  along the probe from the skin; NaN where not said
    station   number of the place along the heap, 0 on
    temp_c    °C
    """

    at_s: Moments
    depth_cm: Floats
    station: NDArray[np.int64]
    temp_c: Floats


@dataclass(frozen=True)
class Done:
    """Something done to the heap, or planned.

    at_s       seconds UTC
    kind       one of KINDS
    water_m3   whole heap; with a turn it is given with it
    water_c    its temperature [°C]
    written_s  when it was written down; None: at once
    """

    at_s: int
    kind: str
    water_m3: float = 0.0
    water_c: float = 12.0
    written_s: int | None = None


@dataclass(frozen=True)
class Section:
    """Size of the heap as built [m]; what is not known is None and stays open in the fit.

    volume_m3 may stand for the height where length and width are known, or for all three.
    """

    length_m: float | None = None
    width_m: float | None = None
    height_m: float | None = None
    volume_m3: float | None = None


@dataclass(frozen=True)
class Blend:
    """What went into the heap, from its blend; None is not known.

    moisture      water over wet mass, 0..1
    cn            mass of carbon over nitrogen
    wet_density   bulk density as built [kg/m3, wet]
    nitrogen      of the dry matter, 0..1; used with carbon as half of the organic matter where cn is missing
    ash           of the dry matter, 0..1
    temp_c        of the material when built
    """

    moisture: Told | None = None
    cn: Told | None = None
    wet_density: Told | None = None
    nitrogen: Told | None = None
    ash: Told | None = None
    temp_c: Told | None = None


@dataclass(frozen=True)
class Measured:
    """A squeeze, an oven or a bucket test: what was measured of the whole heap at a moment.

    quantity  "moisture" (wet basis, 0..1) or "wet_density" [kg/m3]
    """

    at_s: int
    quantity: str
    told: Told


@dataclass(frozen=True, eq=False)
class Outside:
    """Air on the hour from start_s on (n,); None is not known, NaN is a gap.

    temp_c [°C]; humid 0..1; sun [W/m2 on the flat]; wind [m/s]; rain_mm what fell in the hour that begins.
    """

    start_s: int
    temp_c: Floats
    humid: Floats | None = None
    sun: Floats | None = None
    wind: Floats | None = None
    rain_mm: Floats | None = None


@dataclass(frozen=True, eq=False)
class Known:
    """All that is known of one heap. Only `read` and built_s must be there; an empty `read` is allowed.

    built_s   seconds UTC of the moment the heap was set up
    outside   air so far, and as far ahead as it is known or expected
    covered   under a fleece from the start
    """

    built_s: int
    read: Read
    done: tuple[Done, ...] = ()
    section: Section = Section()
    blend: Blend = Blend()
    measured: tuple[Measured, ...] = ()
    outside: Outside | None = None
    covered: bool = False

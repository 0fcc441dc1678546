"""What a true row is made of, section by section (one for each station), and how it is set up on the grid."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth.grid import CELLS, IN, NX, NY

Floats = NDArray[np.float64]
ENDOWED = (0.13, 0.12, 0.18)  # shares of dry matter: ready, tough, woody; ASSUMED
ALIVE = 0.025


@dataclass(frozen=True, eq=False)
class Make:
    """Sections as built; each (n,).

    row          number of the row a section is part of, ascending
    width_m, height_m
    moisture     0..1 of wet mass;  density  wet [kg/m3];  temp_c of the material
    ready, tough, woody  food, shares of dry matter
    alive        living part, share of dry matter
    eats         speed of eating against the usual
    over_c       of the warmth law
    permeable    [m2] at 40 % air-filled pores
    film_mm      wet film of the particles at 60 % moisture
    cn           carbon to nitrogen
    thorough     share a turn mixes, 0..1;  cools  share of the heat above the air it lets off
    slumps       share of the volume lost by settling alone, in time
    catches      share of the rain the row takes up
    """

    row: NDArray[np.int64]
    width_m: Floats
    height_m: Floats
    moisture: Floats
    density: Floats
    temp_c: Floats
    ready: Floats
    tough: Floats
    woody: Floats
    alive: Floats
    eats: Floats
    over_c: Floats
    permeable: Floats
    film_mm: Floats
    cn: Floats
    thorough: Floats
    cools: Floats
    slumps: Floats
    catches: Floats


@dataclass(eq=False)
class Stand:
    """How the sections stand; (y, x, n) on the grid, kg per m of half row, and (n,) for the whole section.

    temp_c, oxygen (volume share) hold the weather outside the arch.
    food  (3, y, x, n);  inert  what never decays;  slumped 0..1 of `slumps`
    """

    temp_c: Floats
    oxygen: Floats
    water: Floats
    food: Floats
    alive: Floats
    inert: Floats
    slumped: Floats

    @property
    def dry(self) -> Floats:
        out: Floats = self.inert + self.alive + self.food[0] + self.food[1] + self.food[2]
        return out


def built(make: Make) -> Stand:
    """The sections on the day they are set up."""
    area = (2 / 3) * 0.5 * make.width_m * make.height_m  # half an arch
    each = area * make.density / CELLS
    dry = each * (1 - make.moisture) * IN
    food = np.stack([dry * make.ready, dry * make.tough, dry * make.woody])
    alive = dry * make.alive
    n = len(make.row)
    return Stand(
        temp_c=np.broadcast_to(make.temp_c, (NY + 1, NX + 1, n)).copy(),
        oxygen=np.full((NY + 1, NX + 1, n), 0.2),
        water=each * make.moisture * IN,
        food=food,
        alive=alive,
        inert=dry - alive - food.sum(0),
        slumped=np.zeros(n),
    )


def area_m2(make: Make, stand: Stand, first_dry: Floats) -> Floats:
    """Half cross-section: goes with the dry matter left and with settling (n,)."""
    left = stand.dry.sum((0, 1)) / first_dry
    out: Floats = make.width_m * make.height_m / 3 * left * (1 - make.slumps * stand.slumped)
    return out


def joined(makes: list[Make]) -> Make:
    """Makes of several rows as one, in their order."""
    names = [field.name for field in fields(Make)]
    return Make(*(np.concatenate([getattr(make, name) for make in makes]) for name in names))

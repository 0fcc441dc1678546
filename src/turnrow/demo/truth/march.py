"""The true row through time: hourly steps of heat, water, air, oxygen, food; turns and water."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth import laws
from turnrow.demo.truth.grid import (
    ACROSS_IN,
    ACROSS_SKIN,
    CELLS,
    IN,
    INSIDE,
    NX,
    NY,
    TOP,
    UP_IN,
    UP_SKIN,
    Draught,
    gathered,
)
from turnrow.demo.truth.sky import Sky
from turnrow.demo.truth.stuff import Make, Stand, area_m2, built

Floats = NDArray[np.float64]
PER_HOUR = 1
SWEEPS = 4  # of oxygen, a step
STEP_S = 3600.0 / PER_HOUR
SLOWLY = 2 * PER_HOUR  # steps after which pores and draught are reckoned anew
EATS = (
    np.array([0.30, 0.09, 0.010])[:, None, None, None] / 86400
)  # kg/kg of life and second at 20 °C; ASSUMED
HALF = 0.10  # of dry matter: food at which they eat half as fast
YIELD, DIES = 0.32, 0.012 / 86400
EAT_OXYGEN, DIE_OXYGEN, WATER_MADE = 1.30, 1.42, 0.55  # kg/kg; READ range
SOIL_C, SOIL_LOSES = 12.0, 0.8  # W/m2K
SLUMP_DAYS = 11.0
DRY_HOLDS, WATER_HOLDS = 1350.0, 4186.0  # J/kgK
SUN_TAKEN, SKY_COLD = 0.45, 25.0  # share; W/m2
STEAM_SPREADS = 1.2  # against oxygen
HELD = 3.2  # kg of water for a kg of dry matter
SHARE_PER_KG = 0.9053  # volume share of oxygen for each kg of it in a kg of air


@dataclass(frozen=True)
class Act:
    """A turn or a watering of one row: hour since the sky's start, water [kg for each m of whole row].

    A row drier than `if_under` (0..1 wet) gets what brings it `up_to` instead, any other none.
    """

    hour: float
    row: int
    turn: bool
    water: float = 0.0
    up_to: float = 0.0
    if_under: float = 0.0


@dataclass(frozen=True, eq=False)
class Seen:
    """What a run kept, on the hour: squares (hours, y, x, n), sums (hours, n) for half a metre of row.

    given  (row, hour of the Act) -> water [kg for each m of whole row]
    """

    temp_c: Floats
    dry: Floats
    water: Floats
    area_m2: Floats
    given: dict[tuple[int, float], float]


def march(make: Make, sky: Sky, starts: NDArray[np.int64], acts: list[Act], hours: int) -> Seen:
    """Run all sections together for `hours` from their own start.

    starts  hour of the sky at which each section was built (n,); an Act's hour is the sky's
    """
    run = _Run(make, sky, starts)
    due = sorted(acts, key=lambda act: act.hour)
    offset = {int(row): int(at) for row, at in zip(make.row, starts, strict=True)}
    due.sort(key=lambda act: act.hour - offset[act.row])
    kept: list[tuple[Floats, ...]] = []
    for step in range(PER_HOUR * hours + 1):
        while due and due[0].hour - offset[due[0].row] <= step / PER_HOUR:
            run.act(due.pop(0), step)
        if step % PER_HOUR == 0:
            kept.append(run.now())
        run.step(step)
    temp_c, dry, water, area = (np.stack(column) for column in zip(*kept, strict=True))
    return Seen(temp_c, dry, water, area, run.given)


@dataclass(frozen=True, eq=False)
class _Slow:
    """What changes little in two hours, on the grid: see _Run._slowly."""

    high: Floats
    across: Floats
    up: Floats
    free: tuple[Floats, Floats]
    heat: tuple[Floats, Floats]
    lent: Floats
    wet: Floats
    awake: Floats
    eats: Floats
    film: Floats
    solid: Floats


class _Run:
    """The march of all sections; holds how they stand, and what changes slowly."""

    def __init__(self, make: Make, sky: Sky, starts: NDArray[np.int64]) -> None:
        self.make, self.sky, self.starts = make, sky, starts
        self.stand: Stand = built(make)
        self.first_dry = self.stand.dry.sum((0, 1))
        self.draught = Draught.of(make.width_m / 2 / NX / (make.height_m / NY))
        steep = 2 * make.height_m / make.width_m
        self.arc = 0.5 * np.sqrt(1 + 4 / 3 * steep**2) / (0.5 + steep / 2)  # of the arch over its stairs
        self.short = np.minimum(1.0, np.sqrt(28.0 / make.cn))
        self.slow: _Slow | None = None
        self.given: dict[tuple[int, float], float] = {}

    def now(self) -> tuple[Floats, ...]:
        s = self.stand
        area = area_m2(self.make, s, self.first_dry)
        return s.temp_c.copy(), s.dry.sum((0, 1)), s.water.sum((0, 1)), area

    def step(self, step: int) -> None:
        """An hour: the weather round the arch, oxygen, vapour, heat, water, food."""
        s, m = self.stand, self.make
        at = np.minimum(self.starts + step // PER_HOUR, len(self.sky.temp_c) - 1)
        outside, moist = self.sky.temp_c[at], self.sky.humid[at]
        s.temp_c[~INSIDE] = outside
        s.oxygen[~INSIDE] = laws.OXYGEN
        if step % SLOWLY == 0 or self.slow is None:
            self.slow = self._slowly(outside, moist)
        slow, t = self.slow, s.temp_c
        wide = slow.high * self.draught.slope
        eaten, spent, killed, burnt = self._fed(slow)
        w = laws.vapour(t, np.where(IN > 0, slow.wet, moist))
        steam = -gathered(*_moved(slow.across, slow.up, slow.free, w, STEAM_SPREADS)) * IN * STEP_S
        steam = np.minimum(steam, 0.5 * s.water)
        film = 6.0 + 3.6 * self.sky.wind[at]
        skin = 1 / (1 / film + wide / 2 / 0.25)
        lost = skin * slow.high * self.arc
        ways = slow.heat[0] + lost * ACROSS_SKIN, slow.heat[1] + lost * self.draught.slope * UP_SKIN
        gain = gathered(*_moved(slow.across * laws.AIR_HEAT, slow.up * laws.AIR_HEAT, ways, t, 1.0)) * IN
        gain[0] -= SOIL_LOSES * (t[0] - SOIL_C) * wide * IN[0]
        gain += TOP * ((self.sky.sun[at] * SUN_TAKEN - SKY_COLD) * skin / film * wide)
        rain = TOP * (self.sky.rain_mm[at] / PER_HOUR * (m.catches / 2 * wide))
        holds = s.dry * DRY_HOLDS + s.water * WATER_HOLDS + 1e-9
        heat = (gain + burnt * laws.OXYGEN_HEAT) * STEP_S - steam * laws.LATENT
        s.temp_c = t + IN * (heat + rain * WATER_HOLDS * (outside - t)) / (holds + slow.lent)
        fed = eaten.sum(0)
        s.water = s.water - steam + rain + WATER_MADE * STEP_S * ((1 - YIELD) * fed + spent)
        s.food -= eaten * STEP_S
        s.food[1] += killed * STEP_S
        s.alive = s.alive + (YIELD * fed - spent - killed) * STEP_S
        s.slumped += (1 - s.slumped) * STEP_S / 86400 / SLUMP_DAYS

    def _slowly(self, outside: Floats, moist: Floats) -> _Slow:
        """Pores, ways and draught; and what a square cannot hold runs to the one below."""
        s, m, dry = self.stand, self.make, self.stand.dry
        over = np.maximum(s.water - HELD * dry, 0.0) * 0.2
        s.water = s.water - over
        s.water[:-1] += over[1:] * IN[:-1]
        cell = area_m2(m, s, self.first_dry) / CELLS  # m3 for each m of row
        high = np.sqrt(cell / self.draught.slope)
        pores = np.clip(1 - dry / cell / laws.SOLID, 0.2, 0.95)
        litres = np.minimum(s.water / cell / 1000, 0.9)
        air = np.clip(pores - litres, 0.02, 0.9) * IN + (1 - IN)
        ratio = s.water / np.maximum(dry, 1e-9)
        free = self._ways(2.1e-5 * laws.AIR * laws.spreading(air, pores), 2 * self.arc)
        heat = self._ways(0.06 + 0.5 * litres, 0.0 * self.arc)
        across, up = self._flows(air, outside, moist, high)
        return _Slow(
            high,
            across,
            up,
            free,
            heat,
            lent=self._steadied([across, up], list(free), list(heat)),
            wet=ratio / (ratio + 0.04),
            awake=laws.by_water(ratio),
            eats=EATS * (m.eats * self.short * laws.by_water(ratio)),
            film=m.film_mm * 1e-3 * np.clip(ratio / 1.5, 0.4, 3.0),
            solid=np.maximum(dry / laws.SOLID + s.water / 1000, 1e-9),
        )

    def _flows(self, air: Floats, outside: Floats, moist: Floats, high: Floats) -> tuple[Floats, Floats]:
        """kg/s of dry air through the faces of each metre of row."""
        t = self.stand.temp_c
        rho = laws.lightness(t, laws.saturated_pa(t))
        lift = (
            np.maximum(laws.lightness(outside, moist * laws.saturated_pa(outside)) - rho, -0.02) * 9.81 * IN
        )
        open_ = (air * IN).sum((0, 1)) / CELLS
        eased = self.make.permeable * (open_ / 0.40) ** 2.6 * laws.AIR / 2.0e-5
        across, up = self.draught.flows(lift)
        across, up = across * (eased * high), up * (eased * high)
        return across, up

    def _steadied(self, flows: list[Floats], free: list[Floats], heat: list[Floats]) -> Floats:
        """Heat capacity lent to squares that would lose most of their heat within a step [J/K]; x before y.

        It slows their change and leaves alone where they come to rest.
        """
        s = self.stand
        slope = laws.LATENT * (laws.vapour(s.temp_c + 1, 1.0) - laws.vapour(s.temp_c, 1.0))
        gone = np.zeros_like(s.temp_c)
        for axis, (flow, easy, warm) in enumerate(zip(flows, free, heat, strict=True)):
            near, far = ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:]))[axis]
            for side, out in ((near, np.maximum(flow, 0)), (far, np.maximum(-flow, 0))):
                gone[side] += out * laws.AIR_HEAT + (out + STEAM_SPREADS * easy) * slope[side] + warm
        lent: Floats = np.maximum(2 * gone * STEP_S - (s.dry * DRY_HOLDS + s.water * WATER_HOLDS), 0.0)
        return lent

    def _ways(self, each: Floats, skin: Floats) -> tuple[Floats, Floats]:
        """Conductances of the faces of each metre of row, from what the squares conduct."""
        slope, part = self.draught.slope, 1 / np.maximum(each, 1e-12)
        x = 2 / (part[:, :-1] + part[:, 1:]) * ACROSS_IN + each[:, :-1] * ACROSS_SKIN * skin
        y = 2 / (part[:-1] + part[1:]) * UP_IN + each[:-1] * UP_SKIN * skin
        return x / slope, y * slope

    def _fed(self, slow: _Slow) -> tuple[Floats, Floats, Floats, Floats]:
        """Food eaten (3, ...), life spent, life killed, oxygen used [kg/s]."""
        s = self.stand
        warm = laws.by_warmth(s.temp_c, self.make.over_c)
        wish = slow.eats * (warm * s.alive) * s.food / (HALF * s.dry + s.food + 1e-12)
        rests = DIES * warm * s.alive * slow.awake  # living on itself: burnt
        hot = np.minimum((s.temp_c - 70.0) / 3.5, 3.0)
        killed = 0.6 / 86400 * np.exp(hot) * s.alive  # by heat: food again
        wants = EAT_OXYGEN * (1 - YIELD) * wish.sum(0) + DIE_OXYGEN * rests
        eased = laws.reach(wants / slow.solid, slow.film, s.temp_c)
        self._breathe(slow, wants * IN, eased)
        part = laws.reached(s.oxygen * eased) * IN
        return wish * part, rests * part, killed, wants * part

    def _breathe(self, slow: _Slow, wants: Floats, eased: Floats) -> None:
        """Oxygen in the squares, nearly steady: what comes in against what is used; a few sweeps a step."""
        y = self.stand.oxygen
        out_x, in_x = np.maximum(slow.across, 0) + slow.free[0], np.maximum(-slow.across, 0) + slow.free[0]
        out_y, in_y = np.maximum(slow.up, 0) + slow.free[1], np.maximum(-slow.up, 0) + slow.free[1]
        leaves = np.zeros_like(y)
        leaves[:, :-1] += in_x
        leaves[:, 1:] += out_x
        leaves[:-1] += in_y
        leaves[1:] += out_y
        asked = SHARE_PER_KG * wants * np.sqrt(eased)
        for _ in range(SWEEPS):
            comes = np.zeros_like(y)
            comes[:, :-1] += in_x * y[:, 1:]
            comes[:, 1:] += out_x * y[:, :-1]
            comes[:-1] += in_y * y[1:]
            comes[1:] += out_y * y[:-1]
            used = asked / np.sqrt(y * (1.0 + eased * y))
            y = np.where(IN > 0, np.maximum(comes / (leaves + used + 1e-12), 1e-6), y)
        self.stand.oxygen = np.minimum(y, laws.OXYGEN)

    def act(self, act: Act, step: int) -> None:
        """Turn (mix, cool, loosen, open) or only water one row."""
        s, m = self.stand, self.make
        own = np.flatnonzero(m.row == act.row)
        outside = self.sky.temp_c[min(int(self.starts[own[0]]) + step // PER_HOUR, len(self.sky.temp_c) - 1)]
        if act.turn:
            _turned(s, own, float(outside), float(m.thorough[own[0]]), float(m.cools[own[0]]))
        water = self._wanted(act, own)
        if water > 0:
            self.given[act.row, act.hour] = water
            added = water / 2 / CELLS * IN if act.turn else water / 2 * TOP / TOP.sum()
            holds = (s.dry * DRY_HOLDS + s.water * WATER_HOLDS)[:, :, own]
            cooled = added * WATER_HOLDS * (12.0 - s.temp_c[:, :, own]) / (holds + added * WATER_HOLDS + 1e-9)
            s.temp_c[:, :, own] += cooled
            s.water[:, :, own] += added

    def _wanted(self, act: Act, own: NDArray[np.intp]) -> float:
        """kg for each m of the whole row."""
        if not act.if_under:
            return act.water
        n = len(own)
        dry, water = float(self.stand.dry[:, :, own].sum()) / n, float(self.stand.water[:, :, own].sum()) / n
        if water / (water + dry) >= act.if_under:
            return 0.0
        return max(0.0, 2 * (dry * act.up_to / (1 - act.up_to) - water))


def _moved(
    across: Floats, up: Floats, ways: tuple[Floats, Floats], what: Floats, by: float
) -> tuple[Floats, Floats]:
    """What goes through the faces: with the air from where it comes, and by itself from much to little."""
    x, y = np.abs(across) / 2 + by * ways[0], np.abs(up) / 2 + by * ways[1]
    left, right, low, top = what[:, :-1], what[:, 1:], what[:-1], what[1:]
    return across / 2 * (left + right) + x * (left - right), up / 2 * (low + top) + y * (low - top)


def _turned(s: Stand, own: NDArray[np.intp], outside: float, thorough: float, cools: float) -> None:
    """Mix a row's sections and their squares; some heat, and with it water, is given off."""
    dry, water = s.dry[:, :, own], s.water[:, :, own]
    holds = dry * DRY_HOLDS + water * WATER_HOLDS
    heat = holds * (s.temp_c[:, :, own] - outside) * (1 - cools)
    steam = np.minimum(0.7 * cools / (1 - cools) * np.maximum(heat, 0) / laws.LATENT, 0.2 * water)
    inside = IN[:, :, 0] > 0
    mixed = [heat, water - steam, s.alive[:, :, own], s.inert[:, :, own], *(f[:, :, own] for f in s.food)]
    even = [_even(part, inside, thorough) for part in mixed]
    s.water[:, :, own], s.alive[:, :, own], s.inert[:, :, own] = even[1:4]
    for pool, part in zip(s.food, even[4:], strict=True):
        pool[:, :, own] = part
    frayed = 0.05 * s.food[2][:, :, own]
    s.food[2][:, :, own] -= frayed
    s.food[1][:, :, own] += frayed
    holds = s.dry[:, :, own] * DRY_HOLDS + s.water[:, :, own] * WATER_HOLDS + 1e-9
    s.temp_c[:, :, own] = outside + even[0] / holds
    s.oxygen[:, :, own] = 0.19
    s.slumped[own] *= 0.45


def _even(part: Floats, inside: NDArray[np.bool_], thorough: float) -> Floats:
    """Each square nearer to its section's mean, each section a little nearer to the row's."""
    section = part[inside].mean(0)
    along = section + 0.3 * thorough * (section.mean() - section)
    out = part * (1 - thorough) * (along / np.where(section == 0, 1, section)) + along * thorough
    kept: Floats = np.where(inside[:, :, None], out, 0.0)
    return kept

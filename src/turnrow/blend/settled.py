"""What the heap's own weight does to its base: density and free air space where air is scarcest."""

import math
from dataclasses import dataclass

from turnrow.blend.air_space import HAUG, air_space
from turnrow.blend.mixing import Mix

GRAVITY = 9.80665  # m/s2
COMPRESSIBLE = 0.02  # per kPa: ASSUMED
FLOOR_BUILT, FLOOR_BASE = 0.40, 0.30  # unturned heaps: OWN
UNTURNED_CN = (40.0, 60.0)  # OWN, in the upper part of the published window of 20-60


@dataclass(frozen=True)
class Base:
    """The base of a heap under its own weight: density [kg/m3], pressure [kPa], the mean density above
    it [kg/m3], and free air space both ways (fractions)."""

    density: float
    pressure_kpa: float
    mean_density: float
    fas: float
    fas_conservative: float


def at_base(mix: Mix, height_m: float, compressible_per_kpa: float = COMPRESSIBLE) -> Base:
    """The base of a heap of `mix`, `height_m` high as it stands, right after building.

        d rho/rho = m dp,  dp = rho g dz     =>    rho(z) = rho_0 / (1 - m g rho_0 z)
                                                   p(z) = -ln(1 - m g rho_0 z)/m

    Each kPa takes the same share m of the volume. m = 0.02 per kPa is ASSUMED (no table seen; a heap
    2 m high of 500 kg/m3 is then a quarter denser at its base). At the centre line, without arching: the
    safer side. Only air is pressed out: where the equation would leave less than none, the base is full of
    water and solids.
    Measured direction (air space falls with depth and moisture): Ahn, Richard and Glanville 2008 and
    Das and Keener 1997 (0-43 kPa), abstracts READ; no coefficient taken from them.
    ValueError: density not known, height or m below 0.
    """
    if mix.density is None:
        raise ValueError(f"density of the mix {mix.density}, want it known")
    if not (height_m >= 0 and compressible_per_kpa >= 0):
        raise ValueError(f"height {height_m} m, compressible {compressible_per_kpa} per kPa, want 0 or more")
    fas = air_space(mix.density, mix.moisture_wet, mix.om_dry)
    full = mix.density / (1 - fas) if 0 < fas < 1 else mix.density
    rate = compressible_per_kpa * GRAVITY / 1000 * mix.density  # per m
    pressed_m = min(height_m, (1 - mix.density / full) / rate) if rate else height_m
    gone = rate * pressed_m
    density = mix.density / (1 - gone)
    pressure = GRAVITY / 1000 * mix.density * pressed_m * (-math.log1p(-gone) / gone if gone > 1e-9 else 1)
    pressure += GRAVITY / 1000 * density * (height_m - pressed_m)
    return Base(
        density=density,
        pressure_kpa=pressure,
        mean_density=1000 * pressure / (GRAVITY * height_m) if height_m else mix.density,
        fas=air_space(density, mix.moisture_wet, mix.om_dry),
        fas_conservative=air_space(density, mix.moisture_wet, mix.om_dry, HAUG),
    )


def base_term(fas: float, height_m: float, compressible_per_kpa: float = COMPRESSIBLE) -> float:
    """What the heap's weight adds, per kilogram of mix [m3/kg], to the linear form of an air space floor.

        1 - v rho_base >= f    <=>    sum q_i [v_i + (1 - f) m g z - (1 - f)/rho_i] <= 0

    with v_i the filled volume of a kilogram (`air_space.filled_volume`) and rho_base that of `at_base`: the
    floor at the base is as linear in the masses as the one of the loose mix. Water counts as any mass.
    """
    return (1 - fas) * compressible_per_kpa * GRAVITY / 1000 * height_m


def unturned_faults(
    mix: Mix,
    height_m: float,
    compressible_per_kpa: float = COMPRESSIBLE,
    floor_built: float = FLOOR_BUILT,
    floor_base: float = FLOOR_BASE,
    cn: tuple[float, float] = UNTURNED_CN,
) -> tuple[str, ...]:
    """What speaks against leaving a heap of `mix` unturned for a year: nobody will loosen it again.

    Air space as built at least `floor_built`, at the base under its own weight at least `floor_base`
    (by the phase sum), C:N within `cn`: a slow heap of much carbon asks for less air. All OWN. Empty when
    nothing speaks against it.
    """
    if mix.fas is None:
        raise ValueError(f"air space of the mix {mix.fas}, want its parts' densities known")
    base = at_base(mix, height_m, compressible_per_kpa)
    found = []
    if mix.fas < floor_built:
        found.append(f"air space {100 * mix.fas:.0f} % as built, want {100 * floor_built:.0f} %")
    if base.fas < floor_base:
        found.append(
            f"air space {100 * base.fas:.0f} % at the base under {height_m:g} m, "
            f"want {100 * floor_base:.0f} %"
        )
    if not cn[0] <= mix.cn <= cn[1]:
        found.append(f"C:N {mix.cn:.0f}, want {cn[0]:g}-{cn[1]:g} where nobody turns")
    return tuple(found)

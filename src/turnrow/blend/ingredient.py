"""An ingredient as the heart knows it, and what a mix of several is. SI floats; the basis in the name."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Ingredient:
    """One material (or lot). Fractions 0-1; `_wet` per total mass, `_dry` per dry mass.

    moisture_wet   water per total mass
    n_dry, c_dry   nitrogen and total carbon per dry mass
    om_dry         organic (volatile) matter per dry mass
    density        wet bulk density in its own heap [kg/m3]; None: not known
    """

    name: str
    moisture_wet: float
    n_dry: float
    c_dry: float
    om_dry: float
    density: float | None = None


@dataclass(frozen=True)
class Spread:
    """Standard deviations of one ingredient, as of `Ingredient` (density in kg/m3, fill as a fraction).

    A lot's error is common to all loads of it; a load's is drawn anew for each.
    """

    moisture_wet: float = 0.0
    n_dry: float = 0.0
    c_dry: float = 0.0
    density: float = 0.0
    fill: float = 0.0
    corr_c_n: float = 0.0

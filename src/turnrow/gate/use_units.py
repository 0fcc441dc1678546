"""Units a question about using compost may be asked in; the first of each is the one it is reckoned in."""

from turnrow.gate.measures import Sizes
from turnrow.yard.units import size

ON_AREA: Sizes = {"kg_ha": 1.0, "lb_ac": float(size("lb/ac", "kg/ha"))}
FIELD: Sizes = {"ha": 1.0, "ac": float(size("acre", "ha")), "m2": float(size("m2", "ha"))}
BED: Sizes = {"m2": 1.0, "ft2": float(size("ft2", "m2")), "yd2": float(size("yd2", "m2"))}
DEPTH: Sizes = {"cm": 1.0, "in": float(size("in", "cm"))}
MIX: Sizes = {"l": 1.0} | {unit: float(size(unit, "L")) for unit in ("m3", "yd3", "ft3", "gal", "bu")}
SPREAD: Sizes = {"t_ha": 1.0, "ton_ac": float(size("ton/ac", "t/ha"))}  # of wet compost: the whole key

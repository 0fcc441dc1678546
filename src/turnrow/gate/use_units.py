"""Units a question about using compost may be asked in; the first of each is the one it is reckoned in."""

from turnrow.gate.measures import Sizes
from turnrow.gate.recipe_values import Values
from turnrow.yard.units import size

ON_AREA: Sizes = {"kg_ha": 1.0, "lb_ac": float(size("lb/ac", "kg/ha"))}
FIELD: Sizes = {"ha": 1.0, "ac": float(size("acre", "ha")), "m2": float(size("m2", "ha"))}
BED: Sizes = {"m2": 1.0, "ft2": float(size("ft2", "m2")), "yd2": float(size("yd2", "m2"))}
DEPTH: Sizes = {"cm": 1.0, "in": float(size("in", "cm"))}
MIX: Sizes = {"l": 1.0} | {unit: float(size(unit, "L")) for unit in ("m3", "yd3", "ft3", "gal", "bu")}
SPREAD = ("t_ha", "ton_ac")  # wet compost on an area
TON_AC = float(size("ton/ac", "t/ha"))


def spread(
    part: Values, *, least: float | None = None, above: float | None = None, most: float
) -> float | None:
    """Wet t/ha, told as t_ha or as short tons an acre; None where it is absent or refused."""
    if all(key in part.raw for key in SPREAD):
        part.wrong(", ".join(SPREAD), "the same thing twice", "Keep one unit; leave the other out.")
        return None
    if SPREAD[1] not in part.raw:
        return part.number(SPREAD[0], least=least, above=above, most=most)
    value = part.number(SPREAD[1], least=least, above=above, most=most / TON_AC)
    return None if value is None else value * TON_AC

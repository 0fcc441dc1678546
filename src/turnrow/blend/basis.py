"""From one basis to another: wet or dry, as received or per dry mass; and the pounds of book tables."""

from turnrow.yard.units import size

KG_PER_LB = float(size("lb", "kg"))
M3_PER_YD3 = float(size("yd3", "m3"))
M3_PER_FT3 = float(size("ft3", "m3"))
LITRE_PER_US_GALLON = float(size("gal", "L"))
LB_YD3 = float(size("lb/yd3", "kg/m3"))
LB_FT3 = float(size("lb/ft3", "kg/m3"))


def dry_basis(moisture_wet: float) -> float:
    """Water per dry mass, u = M/(1 - M), from moisture on the wet basis. ValueError outside 0 to below 1."""
    _below_one("moisture", moisture_wet)
    return moisture_wet / (1 - moisture_wet)


def wet_basis(moisture_dry: float) -> float:
    """Water per total mass, M = u/(1 + u), from water per dry mass. ValueError below 0."""
    if not moisture_dry >= 0:
        raise ValueError(f"moisture on the dry basis {moisture_dry}, want 0 or more")
    return moisture_dry / (1 + moisture_dry)


def per_dry(as_received: float, moisture_wet: float) -> float:
    """A share per dry mass from one per mass as received: x/(1 - M)."""
    _below_one("moisture", moisture_wet)
    return as_received / (1 - moisture_wet)


def as_received(per_dry_mass: float, moisture_wet: float) -> float:
    """A share per mass as received from one per dry mass: x(1 - M)."""
    _below_one("moisture", moisture_wet)
    return per_dry_mass * (1 - moisture_wet)


def moisture_of_sample(wet_g: float, dry_g: float) -> float:
    """Moisture, wet basis, of a sample weighed before and after the oven (24 h at 105-110 °C).

        M = (wet - dry)/wet
    Source: cornell-1996. ValueError unless 0 <= dry <= wet and wet > 0.
    """
    if not (wet_g > 0 and 0 <= dry_g <= wet_g):
        raise ValueError(f"wet {wet_g} g and dry {dry_g} g, want wet above 0 and dry no more than wet")
    return (wet_g - dry_g) / wet_g


def density_of_pail(full_kg: float, empty_kg: float, litres: float) -> float:
    """Wet bulk density of a filled pail [kg/m3]; the yard notes which way it was filled and dropped."""
    if not (litres > 0 and full_kg > empty_kg >= 0):
        raise ValueError(
            f"pail {full_kg} kg full, {empty_kg} kg empty, {litres} litres, want full above empty"
        )
    return (full_kg - empty_kg) / litres * 1000


def density_at(density: float, moisture_wet: float, new_moisture_wet: float) -> float:
    """Wet bulk density [kg/m3] when only the water changes: the dry mass keeps its room.

    rho' = rho (1 - M)/(1 - M')
    """
    _below_one("moisture", moisture_wet)
    _below_one("new moisture", new_moisture_wet)
    return density * (1 - moisture_wet) / (1 - new_moisture_wet)


def _below_one(name: str, value: float) -> None:
    if not 0 <= value < 1:
        raise ValueError(f"{name} {value}, want a fraction from 0 to below 1")

"""What the air takes in a day from wet grass, the reference other surfaces are told by.

Source: Allen, Pereira, Raes, Smith 1998, FAO irrigation and drainage paper 56; equations by their numbers.
Soil heat is left out, as there for days. A heap warms itself and loses far more: this is not for rows.
"""

import math
from dataclasses import dataclass

FARTHEST = 66.0  # degrees from the equator: beyond, there are days without sun
ALBEDO = 0.23  # of the reference grass
CLEAREST, CLOUDIEST = 1.0, 0.3  # sun over that of a clear sky, as it counts for heat given off at night


@dataclass(frozen=True)
class Place:
    """latitude [degrees, south below 0], elevation [m], wind_height: of the wind's measurement [m]."""

    latitude: float
    elevation: float = 0.0
    wind_height: float = 2.0

    def __post_init__(self) -> None:
        if not abs(self.latitude) <= FARTHEST or not self.wind_height >= 0.5:
            raise ValueError(
                f"latitude {self.latitude} and wind at {self.wind_height} m, "
                f"want {-FARTHEST} to {FARTHEST} and 0.5 or more"
            )


@dataclass(frozen=True)
class Air:
    """A day's weather, or the mean day of a month.

    warmest, coldest  [°C]
    dampest, driest   relative humidity [%]; the mean twice, where only that is known
    wind              [m/s] at the place's height
    sun               hours of it; None: solar tells, [MJ/m2/d]
    """

    warmest: float
    coldest: float
    dampest: float
    driest: float
    wind: float
    sun: float | None = None
    solar: float | None = None


def reference(place: Place, day: int, air: Air) -> float:
    """Reference evapotranspiration [mm/d], 0 or more. day: of the year, 1 to 366.

    Raises ValueError where the warmest is colder than the coldest, or sun and solar are both missing.
    """
    if air.warmest < air.coldest or not 1 <= day <= 366:
        raise ValueError(f"{air.warmest} to {air.coldest} °C on day {day}, want warmest first and 1 to 366")
    mean = (air.warmest + air.coldest) / 2.0
    full = (saturation(air.warmest) + saturation(air.coldest)) / 2.0  # (12)
    held = (saturation(air.coldest) * air.dampest + saturation(air.warmest) * air.driest) / 200.0  # (17)
    steep = 4098.0 * saturation(mean) / (mean + 237.3) ** 2  # (13)
    dry = 0.665e-3 * pressure(place.elevation)  # (8)
    wind = air.wind * 4.87 / math.log(67.8 * place.wind_height - 5.42)  # (47)
    heat = _net(place, day, air, held)
    taken = 0.408 * steep * heat + dry * 900.0 / (mean + 273.0) * wind * (full - held)  # (6)
    return max(0.0, taken / (steep + dry * (1.0 + 0.34 * wind)))


def saturation(celsius: float) -> float:
    """Vapour pressure of wet air [kPa] (11)."""
    return 0.6108 * math.exp(17.27 * celsius / (celsius + 237.3))


def pressure(elevation: float) -> float:
    """Pressure of the air [kPa] (7)."""
    return float(101.3 * ((293.0 - 0.0065 * elevation) / 293.0) ** 5.26)


def above_the_air(latitude: float, day: int) -> tuple[float, float]:
    """Sun above the air [MJ/m2/d] (21) and hours of daylight (34)."""
    north, turn = math.radians(latitude), 2.0 * math.pi * day / 365.0
    tilt = 0.409 * math.sin(turn - 1.39)
    nearness = 1.0 + 0.033 * math.cos(turn)
    dusk = math.acos(-math.tan(north) * math.tan(tilt))
    high = dusk * math.sin(north) * math.sin(tilt) + math.cos(north) * math.cos(tilt) * math.sin(dusk)
    return 24.0 * 60.0 / math.pi * 0.0820 * nearness * high, 24.0 / math.pi * dusk


def clear_sky(above: float, elevation: float) -> float:
    """Sun of a clear day on the ground [MJ/m2/d] (37)."""
    return (0.75 + 2e-5 * elevation) * above


def on_the_ground(above: float, daylight: float, sun: float) -> float:
    """Sun on the ground [MJ/m2/d] from hours of it, at most those of daylight (35)."""
    return (0.25 + 0.50 * min(1.0, sun / daylight)) * above


def _net(place: Place, day: int, air: Air, held: float) -> float:
    """What stays of the sun's heat [MJ/m2/d] (38 to 40); held: vapour pressure [kPa]."""
    above, daylight = above_the_air(place.latitude, day)
    if air.solar is None and air.sun is None:
        raise ValueError("neither hours of sun nor solar radiation, want one")
    came = air.solar if air.solar is not None else on_the_ground(above, daylight, air.sun or 0.0)
    clear = min(CLEAREST, max(CLOUDIEST, came / clear_sky(above, place.elevation)))
    fourth = ((air.warmest + 273.16) ** 4 + (air.coldest + 273.16) ** 4) / 2.0
    given_off = 4.903e-9 * fourth * (0.34 - 0.14 * math.sqrt(held)) * (1.35 * clear - 0.35)
    return (1.0 - ALBEDO) * came - given_off

"""What an hour of a machine and a turn of a row come to, from what is known of the machine."""

from dataclasses import dataclass

from turnrow.handbook.figures import Figures


@dataclass(frozen=True)
class HourCost:
    """Of one hour, in the currency of its prices."""

    fuel: float
    lubrication: float
    repair: float
    people: float

    @property
    def total(self) -> float:
        return self.fuel + self.lubrication + self.repair + self.people


def hour(horsepower: float, fuel_price_gal: float, new_price: float, wage: float, book: Figures) -> HourCost:
    """Running cost of a diesel machine for an hour.

    horsepower      greatest, at the power take-off [hp]; fuel_price_gal per US gallon
    new_price       of the machine when new; repairs over 6000 hours are a share of it
    wage            of an hour of people, with all that goes with it
    Source: iowa-pm710. ValueError for what is below nothing.
    """
    for name, value in (
        ("horsepower", horsepower),
        ("fuel price", fuel_price_gal),
        ("price", new_price),
        ("wage", wage),
    ):
        if value < 0:
            raise ValueError(f"{name} {value}, want 0 or more")
    fuel = book["diesel_per_hp"].value * horsepower * fuel_price_gal
    return HourCost(
        fuel=fuel,
        lubrication=book["lubrication"].value / 100.0 * fuel,
        repair=new_price * book["repair_share"].value / 100.0 / 6000.0,
        people=wage * book["labour_per_machine_hour"].value,
    )


def yearly(price: float, left: float, years: float, interest: float, book: Figures) -> float:
    """What a machine costs in a year whether it runs or not.

        (P - S) i / (1 - (1 + i)^-n) + i S + t P        straight (P - S) / n where i is nothing

    P price, S what it sells for after n years, i interest (share a year), t tax, insurance and housing
    Source: farm-machine-costs (MEMORY). ValueError for years or prices that cannot be.
    """
    if years <= 0 or not 0 <= left <= price or interest < 0:
        raise ValueError(f"price {price}, left {left}, years {years}, interest {interest} cannot be")
    spread = 1.0 / years if interest == 0 else interest / (1.0 - (1.0 + interest) ** -years)
    return (price - left) * spread + interest * left + book["insurance_share"].value / 100.0 * price


def turn_hours(tonnes: float, t_per_h: float, set_up_h: float = 0.0) -> float:
    """Hours for one turn of a row: mass over the machine's rate, and what it takes to get there."""
    if tonnes < 0 or t_per_h <= 0 or set_up_h < 0:
        raise ValueError(f"{tonnes} t at {t_per_h} t/h, want 0 t or more and more than 0 t/h")
    return tonnes / t_per_h + set_up_h

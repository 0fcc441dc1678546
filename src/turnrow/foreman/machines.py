"""What an hour of a machine and a turn with it come to, from what is typed of it."""

from dataclasses import dataclass

from turnrow.gate.machine_form import Machine
from turnrow.handbook.figures import cost_figures
from turnrow.sales.machine import HourCost, hour, turn_hours, yearly


@dataclass(frozen=True)
class MachineCost:
    """`standing`: its yearly cost over its hours; of a turn hours and money, None where none was asked."""

    running: HourCost
    standing: float
    turn_h: float | None

    @property
    def an_hour(self) -> float:
        return self.running.total + self.standing

    @property
    def a_turn(self) -> float | None:
        return None if self.turn_h is None else self.turn_h * self.an_hour


def machine_cost(asked: Machine) -> MachineCost:
    book = cost_figures()
    standing = 0.0
    if asked.years and asked.hours_year:
        each = yearly(asked.price, asked.left, asked.years, asked.interest, book)
        standing = each / asked.hours_year
    turn = turn_hours(asked.tonnes, asked.t_h, asked.set_up_h) if asked.t_h else None
    return MachineCost(hour(asked.hp, asked.fuel_gal, asked.price, asked.wage, book), standing, turn)

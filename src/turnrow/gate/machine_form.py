"""What is known of a machine, from the fields of a form."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.gate.recipe_values import Values, typed
from turnrow.yard.wrongs import Refused

FIELDS = {  # name -> label, most
    "hp": ("Power at the take-off, hp", 2_000.0),
    "fuel_gal": ("Diesel, money a US gallon", 1_000.0),
    "price": ("Price of the machine when new", 1e8),
    "left": ("What it sells for in the end", 1e8),
    "years": ("Years until then", 60.0),
    "interest_pct": ("Interest, % a year", 100.0),
    "hours_year": ("Hours it runs in a year", 8_760.0),
    "wage": ("An hour of people, all told", 10_000.0),
    "tonnes": ("Tonnes of a row", 100_000.0),
    "t_h": ("Tonnes it turns in an hour", 20_000.0),
    "set_up_h": ("Hours to get there and back", 100.0),
}
NEEDED = ("hp", "fuel_gal", "price", "wage")


@dataclass(frozen=True)
class Machine:
    """As typed; money in any one currency. What was left empty is 0."""

    hp: float
    fuel_gal: float
    price: float
    left: float
    years: float
    interest: float  # share a year
    hours_year: float
    wage: float
    tonnes: float
    t_h: float
    set_up_h: float


def machine_from(fields: Mapping[str, str]) -> Machine:
    """Raises Refused with everything that is wrong."""
    texts = {name: fields.get(name, "").strip().replace(",", ".") for name in FIELDS}
    top = Values({name: typed(text) for name, text in texts.items() if text}, "field")
    for name in NEEDED:
        if not texts[name]:
            top.wrong(name, "nothing", "Write it.")
    told = {name: top.number(name, least=0.0, most=most) or 0.0 for name, (_, most) in FIELDS.items()}
    if told["left"] > told["price"]:
        top.wrong("left", told["left"], "It sells for no more than it cost.")
    for part, whole in (("years", "hours_year"), ("hours_year", "years"), ("tonnes", "t_h")):
        if told[part] and not told[whole]:
            top.wrong(whole, texts[whole] or "nothing", f"Write it, more than 0, beside {part}.")
    if top.refusals:
        raise Refused(top.refusals)
    interest = told.pop("interest_pct") / 100.0
    return Machine(interest=interest, **told)

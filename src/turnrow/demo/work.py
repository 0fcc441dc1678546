"""What is done to the rows: built, turned, watered, squeezed, covered, moved, pushed together."""

from dataclasses import dataclass
from random import Random

from turnrow.demo import cast
from turnrow.demo.cast import amount
from turnrow.demo.heat import Course, Heap
from turnrow.demo.plans import RowPlan
from turnrow.demo.sold_plan import FED_LOT, FED_T, OVERS_LOT, OVERS_ROW, OVERS_T
from turnrow.yard import entries
from turnrow.yard.entries import What

TURN_HOUR, HOSE_HOUR, BUILD_HOUR = 9.0, 13.5, 14.0
LOAD_T = (19.5, 6.6, 14.4, 19.5)  # bedding, litter, dry part, bedding again; about, one walking floor each


@dataclass(frozen=True)
class Deed:
    """Something done: the hour of its day, by whom, what."""

    hour: float
    who: str
    what: What


def heap_of(plan: RowPlan, built_day: int, joined: tuple[float, ...] = ()) -> Heap:
    """The model's view of a plan; hours from the season's first midnight.

    joined  when other rows were pushed in
    """
    start = built_day * 24
    hosed = range(7, plan.built, 7) if plan.process in ("slow", "worm") else range(0)
    return Heap(
        built=start + round(BUILD_HOUR),
        shares=plan.shares,
        peak=plan.peak,
        food=plan.food,
        moisture=plan.moisture,
        width_m=width_m(plan),
        height_m=height_m(plan),
        length_m=length_m(plan),
        cn=plan.cn,
        airy=plan.airy,
        turns=tuple(start + age * 24 + TURN_HOUR for age in plan.turns),
        hosed=tuple(start + age * 24 + HOSE_HOUR for age in hosed),
        sheltered=plan.sheltered,
        thirsty=plan.dry_hose,
        joined=joined,
    )


def length_m(plan: RowPlan) -> float:
    return {"turned": 18.0 * len(plan.shares), "static": 54.0, "slow": 36.0, "worm": 9.0}[plan.process]


def width_m(plan: RowPlan) -> float:
    return 1.8 if plan.process == "worm" else 3.0


def stacked(row: str, count: int) -> list[Deed]:
    """A stack of so many rows, paced and taped once it stood."""
    sizes = (("width", 2.6 + 0.5 * count), ("height", 0.9 + 0.2 * count))
    return [
        Deed(15.2 + place / 30, cast.HAND, entries.Measured(row, name, amount(much, "m"), how="tape"))
        for place, (name, much) in enumerate(sizes)
    ]


def height_m(plan: RowPlan) -> float:
    return 0.4 if plan.process == "worm" else 1.5


def building(plan: RowPlan, chance: Random) -> list[Deed]:
    """Loads of the day and the row made of them."""
    if plan.process == "worm":
        fed = entries.Part("compost", amount(FED_T, "t"), lot=FED_LOT)
        return [Deed(BUILD_HOUR, cast.HAND, _built(plan, (fed,), "worm shed"))]
    dry = chance.choice((cast.STRAW, cast.CHIPS))
    materials = [cast.BEDDING, cast.LITTER, dry, cast.BEDDING]
    if plan.name == "R36":
        materials = [cast.CHIPS, cast.HAY, cast.CHIPS, cast.CHIPS]
    if plan.process == "slow":
        materials = [cast.CHIPS, cast.CHIPS, cast.BEDDING, cast.CHIPS]
    deeds: list[Deed] = []
    parts: list[entries.Part] = []
    for place, material in enumerate(materials):
        name = f"{plan.name}-{place + 1}"
        mass = amount(round(LOAD_T[place] * chance.uniform(0.85, 1.15), 1), "t")
        deeds.append(
            Deed(8.5 + place, cast.OFFICE, entries.LoadIn(name, material, mass, "weighed", _from(material)))
        )
        parts.append(entries.Part(material, mass, name))
    if plan.name == OVERS_ROW:
        parts.append(entries.Part(cast.OVERS, amount(OVERS_T, "t"), lot=OVERS_LOT))
    deeds.append(Deed(BUILD_HOUR, cast.HAND, _built(plan, tuple(parts), strip_of(plan))))
    return deeds


def _built(plan: RowPlan, parts: tuple[entries.Part, ...], strip: str) -> entries.RowBuilt:
    flat = plan.process == "worm"
    return entries.RowBuilt(
        row=plan.name,
        parts=parts,
        length=amount(length_m(plan), "m"),
        width=amount(width_m(plan), "m"),
        height=amount(height_m(plan), "m"),
        stations=plan.stations,
        strip=strip,
        process=plan.process,
        raw=not flat,
    )


def _from(material: str) -> str:
    return (
        "hen house"
        if material == cast.LITTER
        else "ewe sheds"
        if material == cast.BEDDING
        else "hedges and fields"
    )


def strip_of(plan: RowPlan) -> str:
    if plan.process != "turned":
        return f"{plan.process} ground"
    return ("near pad " if int(plan.name[1:]) % 2 == 0 else "far pad ") + str(int(plan.name[1:]) % 6 + 1)


def deeds(plan: RowPlan, course: Course, age: int, day: int) -> list[Deed]:
    """What is done to the row on a day of its life."""
    out: list[Deed] = []
    for when, litres in course.given.items():
        if int(when // 24) == day and when % 24 == HOSE_HOUR and litres > 1:
            out.append(Deed(HOSE_HOUR, cast.HAND, entries.Watered(plan.name, _litres(litres))))
    if age in plan.turns:
        litres = course.given.get(day * 24 + TURN_HOUR, 0.0)
        water = _litres(litres) if litres > 1 else None
        out.append(Deed(TURN_HOUR, cast.HAND, entries.Turned(plan.name, 1, "pulled turner", water)))
    if age == plan.cure:
        place = "curing pad" if plan.process == "turned" else "stays where it is"
        out.append(Deed(11.0, cast.HAND, entries.MovedToCuring(plan.name, place)))
    if age == 1 and plan.sheltered:
        out.append(Deed(15.0, cast.HAND, entries.Covered(plan.name, "breathing fleece")))
    return out


def squeezed(plan: RowPlan, course: Course, age: int, hour: float) -> What | None:
    """The hand squeeze taken with a round, every third day while the row is worked."""
    told = plan.squeezes.get(age)
    routine = age % 3 == 2 and (plan.cure is None or age < plan.cure) and age < 40
    if told is None and (not routine or any(0 <= age - day <= 3 for day in plan.squeezes)):
        return None
    wet = course.wet_at(hour)
    score = told or (2 if wet < 0.42 else 3 if wet < 0.63 else 4)
    return entries.Measured(plan.name, "squeeze", amount(score, "score"), station="2", how="by hand")


def _litres(litres: float) -> entries.Amount:
    """Hose water, to the hundred as a meter on a tank is read."""
    return amount(max(100, round(litres / 100) * 100), "L")

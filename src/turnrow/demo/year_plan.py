"""The rest of the invented yard's year: what it uses by the month, its trucks, what an inspector asks."""

from turnrow.demo.cast import HAND, MANAGER, OFFICE, SECOND
from turnrow.demo.sold_plan import (
    FIELD,
    FOOD,
    GARDENS,
    GERMS,
    METALS,
    ORCHARD,
    RIPE,
    SCHOOL,
    Told,
    certified,
    load,
    result,
    sample,
)

WASHED: dict[str, str | int] = {"how": "scraped, washed at high pressure, left to dry"}


def months() -> tuple[Told, ...]:
    """What the yard uses every four weeks: turning, loading, people, fuel, the ground."""
    used: tuple[dict[str, str | int], ...] = (
        {"cost": "machine", "amount": "11 h", "what": "pulled turner", "task": "turning"},
        {"cost": "machine", "amount": "46 h", "what": "wheel loader", "task": "loading"},
        {"cost": "people", "amount": "118 h", "task": "yard work"},
        {"cost": "fuel", "amount": "640 L", "task": "yard work"},
        {"cost": "land", "money": "380 USD", "what": "pads and lane"},
    )
    return tuple(
        Told(ago, 16 + n / 30, OFFICE, "spent", one)
        for ago in range(226, 1, -28)
        for n, one in enumerate(used)
    )


def trucks() -> tuple[Told, ...]:
    """L1 every fourth day to those who buy loose compost; L2 and L5 by the truck to the field."""
    buyers = (GARDENS, ORCHARD, SCHOOL)
    loose = tuple(
        Told(
            93 - 4 * n,
            10,
            OFFICE,
            "load out",
            load(f"T-{111 + n}", "L1", "10 m3", buyers[n % 3], "Garden compost"),
        )
        for n in range(8)
    )
    raw = tuple(
        Told(80 - n, 10, OFFICE, "load out", load(f"T-{107 + n}", "L2", "23 t", FIELD, "Field compost"))
        for n in range(3)
    )
    field = tuple(
        Told(22 - 3 * n, 10, OFFICE, "load out", load(f"T-{121 + n}", "L5", "22 t", FIELD, "Field compost"))
        for n in range(4)
    )
    return (*loose, *raw, *field)


def fifth_lot() -> tuple[Told, ...]:
    """L5: the stack R16, tested whole, released as proven and sold to the field."""
    made: dict[str, str | int] = {"lot": "L5", "sources": "row R16", "amount": "116 t", "moisture": "43 %"}
    found = f"{FOOD}; {METALS}; Pb: 18 mg/kg dry; {GERMS}; {RIPE}"
    return (
        Told(
            34,
            8,
            HAND,
            "cleaned",
            {"what": "wheel loader", "after": "raw manure", "before": "lot L5", **WASHED},
        ),
        Told(34, 11, HAND, "lot made", made),
        Told(33, 9, HAND, "sampled", sample("S5-L5", "L5")),
        Told(25, 9, OFFICE, "lab result", result("S5-L5", found)),
        Told(24, 8.9, MANAGER, "certified", certified("L5")),
        Told(24, 9, MANAGER, "released", {"lot": "L5"}),
    )


def evidence() -> tuple[Told, ...]:
    """What an inspector asks next: training, cleaning, a certificate of what was bought, a field."""
    taught = (
        (HAND, "probing, turning, hygiene, the fire plan"),
        (SECOND, "probing, turning, hygiene"),
        (MANAGER, "sampling, review of records, the fire plan"),
    )
    trained = tuple(
        Told(251, 11 + n / 30, OFFICE, "trained", {
            "name": f"{short.capitalize()} of Quillmarsh Fold (invented)", "short": short, "subject": subject,
            "by": "an invented adviser", "until": 730,
        })
        for n, (short, subject) in enumerate(taught)
    )  # fmt: skip
    cleaned = tuple(
        Told(ago, 8, HAND, "cleaned", {"what": what, "after": "raw manure", "before": before, **WASHED})
        for ago, what, before in (
            (118, "wheel loader and trommel", "screening of R4"),
            (86, "wheel loader", "lifting of R8"),
            (15, "wheel loader", "lot L4"),
        )
    )
    bought: dict[str, str | int] = {
        "load": "X-3", "material": "bought compost", "amount": "22 t", "how": "weighed",
        "came_from": "an invented green-waste yard",
    }  # fmt: skip
    vouched: dict[str, str | int] = {
        "load": "X-3", "issuer": "an invented green-waste yard", "number": "26-117",
        "words": "15 days at 55 °C or hotter with five turns, stored apart from raw material", "until": 200,
    }  # fmt: skip
    field: dict[str, str | int] = {
        "lot": "L2", "ticket": "T-103", "field": "Windle Field, lower half", "amount": "23.4 t",
        "worked_in": 1, "crop": "maize", "harvest": 130, "touches_soil": "no",
    }  # fmt: skip
    return (
        *trained,
        *cleaned,
        Told(12, 11, OFFICE, "load in", bought),
        Told(12, 11.2, OFFICE, "certificate", vouched),
        Told(82, 15, OFFICE, "spread", field),
    )


YEAR = (*fifth_lot(), *trucks(), *months(), *evidence())

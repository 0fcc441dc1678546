"""The goods of the invented season, in order: when, by whom, which form, what was typed into it.

Buyers, prices, weights and lab figures are invented. Figures of soil, salts and metals lie where composts
of bedding and litter commonly lie (common practice, no source); the germs of lot L3's second sample are made
to fail, as hen litter on a loader can do it.
"""

from dataclasses import dataclass

from turnrow.demo.cast import HAND, MANAGER, OFFICE

FED_LOT, FED_T = "F1", 4.0  # compost that the worm bed was fed with
OVERS_LOT, OVERS_ROW, OVERS_T = "L1-overs", "R33", 7.2  # overs that go back as bulking
METALS = (
    "As: 4.1 mg/kg dry; Cd: 0.6 mg/kg dry; Cu: 58 mg/kg dry; Hg: 0.08 mg/kg dry; Mo: 2.1 mg/kg dry; "
    "Ni: 14 mg/kg dry; Se: 0.9 mg/kg dry; Zn: 240 mg/kg dry"
)
FOOD = (
    "moisture: 41 % as received; organic matter: 46 % dry; N total: 1.9 % dry; NH4-N: 210 mg/kg dry; "
    "NO3-N: 480 mg/kg dry; C:N: 14 ratio; P2O5: 1.6 % dry; K2O: 2.2 % dry; pH: 7.6 pH; EC: 5.1 dS/m; "
    "bulk density: 610 kg/m3 as received"
)
GERMS = "fecal coliform: 42 MPN/g dry; Salmonella: <1 MPN/4 g dry"
RIPE = "self-heating rise: 7 C"
LAB, METHOD = "an invented laboratory", "an invented method"
SIGNS = "Manager of Quillmarsh Fold (invented)"
GARDENS, SCHOOL, ORCHARD, FIELD = "Saltgrass Gardens", "Otter Lane School", "Plover Orchard", "Windle Field"


@dataclass(frozen=True)
class Told:
    """One form filled in, `ago` days before the end; a field's whole number is a day, so many days on."""

    ago: int
    hour: float
    who: str
    kind: str
    fields: dict[str, str | int]


GROWN: dict[str, str | int] = {  # beans in the straw's and manures' compost, before the first of it is sold
    "lot": "L1", "plant": "beans", "sown": "8", "up": "8 7 8", "control_up": "8 8 7", "leaves": "sound",
    "abnormal": "0", "grown": "20", "mix": "one part in four of bought potting soil",
    "control": "bought potting soil",
}  # fmt: skip


def _opening() -> tuple[Told, ...]:
    """What the office sets down before it sells: what it asks of lots, prices, buyers, rates."""
    asked: dict[str, str | int] = {
        "limits": "us-503-table1, us-503-class-a",
        "maturity.Self-heating, rise over ambient": "IV, curing, moderately stable",
        "plan": "us-503-16",
        "reason": "gardens and a school buy it",
    }
    products: tuple[dict[str, str | int], ...] = (
        {"product": "Garden compost", "price": "32 USD/m3", "words": "screened at 12 mm"},
        {"product": "Field compost", "price": "19 USD/t", "moisture": "40 %", "words": "not screened"},
        {"product": "Compost in bags", "price": "6.50 USD/bag", "bag": "40 L", "words": "screened, in sacks"},
    )
    buyers: tuple[dict[str, str | int], ...] = (
        {"customer": GARDENS, "address": "1 Nowhere Road", "use": "vegetable beds"},
        {"customer": SCHOOL, "address": "2 Nowhere Road", "use": "school garden"},
        {"customer": ORCHARD, "address": "3 Nowhere Road", "use": "under trees"},
        {"customer": FIELD, "address": "4 Nowhere Road", "use": "maize ground"},
    )
    rates: tuple[dict[str, str | int], ...] = (
        {"cost": "machine", "what": "pulled turner", "rate": "48 USD/h"},
        {"cost": "machine", "what": "trommel", "rate": "36 USD/h"},
        {"cost": "machine", "what": "wheel loader", "rate": "42 USD/h"},
        {"cost": "people", "rate": "24 USD/h"},
        {"cost": "fuel", "rate": "1.10 USD/L"},
    )
    told = [("quality asked", MANAGER, asked)]
    told += [("product", OFFICE, one) for one in products]
    told += [("customer", OFFICE, one) for one in buyers]
    later = tuple(Told(125, 9 + n / 20, who, kind, fields) for n, (kind, who, fields) in enumerate(told))
    return (*(Told(251, 9 + n / 20, OFFICE, "rate", one) for n, one in enumerate(rates)), *later)


def _first_lot() -> tuple[Told, ...]:
    """L1: good, released as proven, bagged, sold; a survey that does not close; overs that go back."""
    screen: dict[str, str | int] = {
        "sources": "row R4",
        "fines": "L1",
        "fines_amount": "93 t",
        "fines_moisture": "41 %",
        "overs": OVERS_LOT,
        "overs_amount": "19.5 t",
        "overs_moisture": "38 %",
        "opening": "12 mm",
    }
    return (
        Told(118, 10, HAND, "screened", screen),
        Told(118, 15, OFFICE, "spent", _cost("machine", "12 h", "L1", "trommel", "screening")),
        Told(118, 15.1, OFFICE, "spent", _cost("people", "24 h", "L1", "", "screening")),
        Told(118, 15.2, OFFICE, "spent", _cost("fuel", "130 L", "L1", "", "screening")),
        Told(116, 9, HAND, "sampled", sample("S1-L1", "L1")),
        Told(
            107,
            9,
            OFFICE,
            "lab result",
            result("S1-L1", f"{FOOD}; {METALS}; Pb: 24 mg/kg dry; {GERMS}; {RIPE}"),
        ),
        Told(107, 9.2, OFFICE, "spent", {"cost": "lab", "money": "310 USD", "lot": "L1", "what": LAB}),
        Told(106, 8.9, MANAGER, "certified", certified("L1")),
        Told(106, 9, MANAGER, "released", {"lot": "L1", "remark": "soft, dark, smells of earth"}),
        Told(102, 9, OFFICE, "ordered", _order("O-1", GARDENS, "Garden compost", "12 m3", 10, 8)),
        Told(97, 17, HAND, "growth test", GROWN),
        Told(96, 9, OFFICE, "load out", load("T-101", "L1", "12 m3", GARDENS, "Garden compost", "O-1")),
        Told(
            94,
            13,
            HAND,
            "bagged",
            {"lot": "L1", "product": "Compost in bags", "bags": "120", "amount": "4.8 m3"},
        ),
        Told(
            90,
            9,
            OFFICE,
            "load out",
            {**load("T-102", "L1", "2 m3", SCHOOL, "Compost in bags"), "bags": "50"},
        ),
        Told(
            88, 9, OFFICE, "invoiced", {"invoice": "I-1", "customer": GARDENS, "tickets": "T-101", "due": 30}
        ),
        Told(60, 11, MANAGER, "weighed", {"lot": "L1", "amount": "38.5 t", "how": "survey"}),
    )


def _second_lot() -> tuple[Told, ...]:
    """L2: two rows put together, no results in hand; leaves treated as raw. F1 is what the worms are fed."""
    fed: dict[str, str | int] = {"lot": FED_LOT, "sources": f"row R8: {FED_T} t @ 45 %", "place": "worm shed"}
    return (
        Told(97, 10, HAND, "lot made", fed),
        Told(92, 10, HAND, "row split", {"row": "R8", "new": "R8b", "length": "18 m"}),
        Told(
            86,
            10,
            HAND,
            "lot made",
            {"lot": "L2", "sources": "row R8; row R8b", "amount": "118 t", "moisture": "44 %"},
        ),
        Told(84, 9, MANAGER, "released", {"lot": "L2", "remark": "not screened, not tested"}),
        Told(
            82,
            10,
            OFFICE,
            "load out",
            {**load("T-103", "L2", "23.4 t", FIELD, "Field compost"), "moisture": "44 %"},
        ),
        Told(81, 10, OFFICE, "load out", load("T-104", "L2", "22.8 t", FIELD)),
        Told(
            79,
            9,
            OFFICE,
            "invoiced",
            {"invoice": "I-2", "customer": FIELD, "tickets": "T-103, T-104", "due": 30},
        ),
    )


def _third_lot() -> tuple[Told, ...]:
    """L3: proven and sold; a buyer complains, its second sample has Salmonella, it is called back."""
    screen: dict[str, str | int] = {
        "sources": "row R12: 102 t @ 43 %",
        "fines": "L3",
        "fines_amount": "78 t",
        "fines_moisture": "42 %",
        "overs": "L3-overs",
        "overs_amount": "18 t",
        "overs_moisture": "39 %",
        "opening": "12 mm",
    }
    why = "Salmonella in the second sample: the loader that filled it had come from the hen house uncleaned"
    return (
        Told(57, 10, HAND, "screened", screen),
        Told(57, 15, OFFICE, "spent", _cost("machine", "10 h", "L3", "trommel", "screening")),
        Told(56, 9, HAND, "sampled", sample("S2-L3", "L3")),
        Told(
            48,
            9,
            OFFICE,
            "lab result",
            result("S2-L3", f"{FOOD}; {METALS}; Pb: 21 mg/kg dry; {GERMS}; {RIPE}"),
        ),
        Told(47, 8.9, MANAGER, "certified", certified("L3")),
        Told(47, 9, MANAGER, "released", {"lot": "L3"}),
        Told(46, 9, OFFICE, "load out", load("T-105", "L3", "7.5 t", ORCHARD)),
        Told(45, 9, OFFICE, "load out", load("T-106", "L3", "6 m3", SCHOOL, "Garden compost")),
        Told(
            41,
            9,
            OFFICE,
            "complaint",
            {"nature": "lumps of fresh litter in the load of ticket T-106", "by": SCHOOL},
        ),
        Told(40, 9, HAND, "sampled", sample("S3-L3", "L3")),
        Told(
            34,
            9,
            OFFICE,
            "lab result",
            result("S3-L3", "fecal coliform: 5400 MPN/g dry; Salmonella: 11 MPN/4 g dry"),
        ),
        Told(34, 10, MANAGER, "recalled", {"lot": "L3", "reason": why, "told": SCHOOL}),
        Told(33, 14, OFFICE, "load back", {"ticket": "T-105", "amount": "5 t", "reason": "called back"}),
    )


def _last_weeks() -> tuple[Told, ...]:
    """L4, held until its results come; an order promised and one that cannot be kept; hours of turning."""
    return (
        Told(
            21,
            15,
            OFFICE,
            "spent",
            {"cost": "machine", "amount": "1.5 h", "row": "R33", "what": "pulled turner", "task": "turning"},
        ),
        Told(
            21, 15.1, OFFICE, "spent", {"cost": "people", "amount": "1.5 h", "row": "R33", "task": "turning"}
        ),
        Told(
            15,
            10,
            HAND,
            "lot made",
            {
                "lot": "L4",
                "sources": "row R24: 18 t @ 47 %; row R26: 18 t @ 48 %",
                "amount": "34.8 t",
                "moisture": "46 %",
            },
        ),
        Told(12, 9, HAND, "sampled", sample("S4-L4", "L4")),
        Told(8, 9, OFFICE, "ordered", _order("O-2", ORCHARD, "Garden compost", "8 m3", 12, 11)),
        Told(6, 9, OFFICE, "ordered", _order("O-3", FIELD, "Field compost", "2500 t", 20, 20)),
        Told(
            4,
            9,
            OFFICE,
            "lab result",
            result("S4-L4", "self-heating rise: 24 C; bulk density: 640 kg/m3 as received"),
        ),
    )


def _cost(cost: str, amount: str, lot: str, what: str, task: str) -> dict[str, str | int]:
    return {"cost": cost, "amount": amount, "lot": lot, "what": what, "task": task}


def certified(lot: str) -> dict[str, str | int]:
    return {"lot": lot, "name": SIGNS, "words": "us-503-17"}


def sample(sample: str, lot: str) -> dict[str, str | int]:
    return {
        "sample": sample,
        "lot": lot,
        "increments": "20",
        "mass": "1 kg",
        "container": "clean bag",
        "cooled": "yes",
        "sent_to": LAB,
        "plan": "us-503-16",
    }


def result(sample: str, results: str) -> dict[str, str | int]:
    figures = "; ".join(f"{one.strip()} by {METHOD}" for one in results.split(";"))
    return {
        "sample": sample,
        "results": figures,
        "lab": LAB,
        "report": f"report on {sample}",
        "accredited": "ISO 17025, an invented number",
    }


def _order(
    order: str, customer: str, product: str, amount: str, wanted: int, promised: int
) -> dict[str, str | int]:
    return {
        "order": order,
        "customer": customer,
        "product": product,
        "amount": amount,
        "wanted": wanted,
        "promised": promised,
    }


def load(
    ticket: str, lot: str, amount: str, customer: str, product: str = "", order: str = ""
) -> dict[str, str | int]:
    return {
        "ticket": ticket,
        "lot": lot,
        "amount": amount,
        "customer": customer,
        "product": product,
        "order": order,
        "vehicle": "farm trailer",
    }


PLAN = (
    *_opening(),
    *_first_lot(),
    *_second_lot(),
    *_third_lot(),
    *_last_weeks(),
)

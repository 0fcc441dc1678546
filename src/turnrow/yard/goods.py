"""Entries about what leaves a row: lots and their weights, samples and results, release, sales, costs.

A thing is named by what it is: a load that came in, a row, or a lot. `Share` says how much of one
thing was taken. A lot is material with one identity for tracing and selling; it keeps its name for
ever, and every change of matter (screening, mixing, a part kept apart) makes new lots.
"""

from datetime import date
from typing import Literal

from msgspec import Struct, field

from turnrow.yard.kind import Amount, Kind


class Share(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """What was taken of one thing, named by just one of `load`, `row` and `lot`.

    amount    a mass or a volume, wet; None: all that was left of it
    moisture  % wet basis, when it was measured as it was taken
    """

    load: str = ""
    row: str = ""
    lot: str = ""
    amount: Amount | None = None
    moisture: Amount | None = None


class LotMade(Kind, frozen=True, tag="lot made"):
    """Material got an identity: a row lifted, a part kept apart, several things put together."""

    lot: str
    sources: tuple[Share, ...]
    amount: Amount | None = None  # what it weighed or measured once made
    moisture: Amount | None = None
    material: Literal["compost", "castings", "bulking", "mulch"] = "compost"
    place: str = ""


class Screened(Kind, frozen=True, tag="screened"):
    """What a sieve made of things: fines are a new lot; so are overs that are kept."""

    sources: tuple[Share, ...]
    fines: str
    fines_amount: Amount | None = None
    fines_moisture: Amount | None = None
    overs: str = ""
    overs_amount: Amount | None = None
    overs_moisture: Amount | None = None
    opening: Amount | None = None  # of the sieve, mm or in


class RowSplit(Kind, frozen=True, tag="row split"):
    """A part of a row was moved apart and is a row of its own from here on; the row stays."""

    row: str
    new: str
    amount: Amount | None = None
    length: Amount | None = None  # of the part, m or ft


class Weighed(Kind, frozen=True, tag="weighed"):
    """What a thing held, by a scale, a survey or a bucket count: an assertion, with the tape's own error."""

    amount: Amount
    load: str = ""
    row: str = ""
    lot: str = ""
    moisture: Amount | None = None
    how: Literal["scale", "survey", "buckets", "judged"] = "scale"
    ticket: str = ""  # of the scale


class Sampled(Kind, frozen=True, tag="sampled"):
    """A composite sample was taken and left the taker's hands."""

    sample: str
    row: str = ""
    lot: str = ""
    increments: int = 1
    mass: Amount | None = None  # kg or lb
    container: str = ""
    cooled: bool = False
    sent_to: str = ""
    plan: str = ""  # the sampling plan it answers, by its handbook name


class Result(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """One figure of a lab sheet, as typed.

    analyte  its handbook name: "N total", "fecal coliform", "self-heating rise" ...
    basis    what the unit's mass is of: "dry", "as received", "organic matter", or "" where it has none
    below    the figure is a limit of detection, and less was found; above: more than could be counted
    """

    analyte: str
    amount: Amount
    basis: str = ""
    method: str = ""
    below: bool = False
    above: bool = False


class LabResult(Kind, frozen=True, tag="lab result"):
    """A lab sheet on a sample, a load, a material, a row or a lot; `sampled` is the day it was taken."""

    results: tuple[Result, ...]
    sample: str = ""
    load: str = ""
    material: str = ""
    row: str = ""
    lot: str = ""
    sampled: date | None = None
    lab: str = ""
    report: str = ""
    file: str = ""
    blob: str = ""  # sha256 of the sheet's own bytes
    accredited: str = ""  # the lab's accreditation for these tests, and its number


Leaves = Literal["not looked at", "sound", "cupped or twisted"]


class GrowthTest(Kind, frozen=True, tag="growth test"):
    """Seeds sown in a lot's or row's compost beside a control without it: counts as they were, one a pot.

    sown      seeds in every pot, of compost and control alike
    weights   of the tops of each pot; one for each pot, or none
    abnormal  plants not as they should be, in all pots of compost; None: not counted
    leaves    as a herbicide that outlasts composting would leave them, or sound
    """

    plant: str
    sown: int
    up: tuple[int, ...]
    control_up: tuple[int, ...]
    weights: tuple[Amount, ...] = ()
    control_weights: tuple[Amount, ...] = ()
    abnormal: int | None = None
    leaves: Leaves = "not looked at"
    sample: str = ""
    row: str = ""
    lot: str = ""
    sampled: date | None = None
    grown: int = 0  # days from sowing to counting
    mix: str = ""  # what the pots held: "one part in four of peat"
    control: str = ""


class QualityAsked(Kind, frozen=True, tag="quality asked"):
    """What the yard asks of a lot before it may leave as proven; the last line holds."""

    limits: tuple[str, ...] = ()  # limit sets, by their handbook ids
    maturity: dict[str, str] = field(default_factory=dict)  # scheme -> the class it must reach at least
    plan: str = ""  # the sampling plan, by its handbook name
    edge: Literal["better", "worse"] = "worse"  # of an edge that published tables give to two classes
    reason: str = ""
    part_503: Literal["all", "yearly rate", "heat alone"] = "all"  # of what 40 CFR Part 503 asks besides heat


class Released(Kind, frozen=True, tag="released"):
    """A named person lets a lot leave: proven, or treated as raw with what may be done with it."""

    lot: str
    name: str  # in full; it stands on the papers
    how: Literal["proven", "treated as raw"]
    rule: str
    verdict: str  # the lot's standing then
    upto: int  # the last line read for it
    limits: tuple[str, ...] = ()  # of use, as printed
    remark: str = ""


class Recalled(Kind, frozen=True, tag="recalled"):
    """A lot is called back, or held where none of it has left."""

    lot: str
    reason: str
    told: tuple[str, ...] = ()  # customers told so far


class ProductNamed(Kind, frozen=True, tag="product"):
    """Something on the price list; the newest of a name holds, by its day and then by its line."""

    product: str
    material: Literal["compost", "castings", "bulking", "mulch"] = "compost"
    price: Amount | None = None  # per unit: "EUR/m3", "USD/t", "USD/bag"
    bag: Amount | None = None  # what one bag holds, L or kg
    moisture: Amount | None = None  # a price per tonne is for this moisture, % wet basis
    words: str = ""
    ended: bool = False


class CustomerNamed(Kind, frozen=True, tag="customer"):
    """A buyer; the last line of a name holds. Nothing of it stands on a public page."""

    customer: str
    address: str = ""
    contact: str = ""
    use: str = ""  # what they do with it
    ended: bool = False


class Ordered(Kind, frozen=True, tag="ordered"):
    """An order; one of the same name written later takes its place."""

    order: str
    customer: str
    product: str
    amount: Amount
    wanted: date | None = None
    promised: date | None = None
    price: Amount | None = None
    called_off: bool = False


class LoadOut(Kind, frozen=True, tag="load out"):
    """One truck, trailer or bag load of a lot left the gate."""

    ticket: str
    lot: str
    amount: Amount
    customer: str
    product: str = ""
    order: str = ""
    bags: int = 0
    moisture: Amount | None = None
    vehicle: str = ""
    price: Amount | None = None  # where it is not the list's
    unreleased: str = ""  # why it left although nobody had released the lot, or it was called back
    all: bool = False  # the amount is what lay there by the ledger, and was not weighed


class LoadBack(Kind, frozen=True, tag="load back"):
    """A part or all of a load out came back to its lot."""

    ticket: str
    amount: Amount
    reason: str = ""


class Bagged(Kind, frozen=True, tag="bagged"):
    """Material of a lot was filled into bags; it stays of the lot."""

    lot: str
    product: str
    bags: int
    amount: Amount | None = None  # what the bags took together


class Invoiced(Kind, frozen=True, tag="invoiced"):
    """Tickets put on one invoice; what each costs is in its line, its order or the price list of that day."""

    invoice: str
    customer: str
    tickets: tuple[str, ...]
    due: date | None = None
    remark: str = ""


class Spent(Kind, frozen=True, tag="spent"):
    """Work or goods used, for a row, a lot or the whole yard; money when it is not amount times rate."""

    cost: Literal["machine", "fuel", "people", "water", "bulking", "lab", "land", "other"]
    amount: Amount | None = None  # h, L, m3, t ...
    money: Amount | None = None  # "EUR"
    row: str = ""
    lot: str = ""
    what: str = ""  # which machine, which lab
    task: str = ""  # turning, screening, loading


class RateSet(Kind, frozen=True, tag="rate"):
    """What one unit of a cost comes to from now on: "EUR/h" of a machine, "EUR/L" of fuel."""

    cost: Literal["machine", "fuel", "people", "water", "bulking", "lab", "land", "other"]
    rate: Amount
    what: str = ""


Goods = (
    LotMade
    | Screened
    | RowSplit
    | Weighed
    | Sampled
    | LabResult
    | GrowthTest
    | QualityAsked
    | Released
    | Recalled
    | ProductNamed
    | CustomerNamed
    | Ordered
    | LoadOut
    | LoadBack
    | Bagged
    | Invoiced
    | Spent
    | RateSet
)


def rows_taken(sources: tuple[Share, ...]) -> tuple[str, ...]:
    """The rows among what was taken, each once."""
    return tuple(dict.fromkeys(one.row for one in sources if one.row))

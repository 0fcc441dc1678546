"""What was measured of things: moisture, density, and what a lab found in the dry matter."""

from bisect import bisect_right, insort
from collections import ChainMap
from collections.abc import Callable, Iterable, MutableMapping, Sequence
from dataclasses import dataclass, field
from operator import itemgetter

from turnrow.handbook.analytes import Analyte, analyte_named, unit_named
from turnrow.lots.layers import over, settle
from turnrow.lots.matter import DENSITIES, Known, Typical
from turnrow.lots.moves import Account
from turnrow.yard import days
from turnrow.yard.entries import Amount, Measured
from turnrow.yard.goods import LabResult, Result, Weighed
from turnrow.yard.history import Event
from turnrow.yard.numbers import MICRO

NOON_S = days.DAY_S // 2
NAMES = {  # of the handbook's analytes -> what is kept, shares of the dry matter
    "ash": "ash", "organic matter": "ash", "N total": "nitrogen", "P total": "phosphorus",
    "K total": "potassium", "Fe": "iron",
}  # fmt: skip
IN_DRY = ("ash", "nitrogen", "phosphorus", "potassium", "iron")
MOISTURES = ("moisture", "dry matter")
A_MILLION = 1e-6  # mass shares are told in mg/kg first
Timed = list[tuple[int, Known]]
Named = tuple[Account, str]  # a thing and a quantity
MOMENT = itemgetter(0)
NEVER = -(2**62)
Typicals = Callable[[str], Typical | None]


def plain(name: str) -> str:
    """A material's name whatever its case and spaces."""
    return " ".join(name.casefold().split())


def thing_of(what: Weighed | LabResult) -> Account | None:
    """What a measurement is of; None: of a sample whose origin the diary does not say."""
    if what.load:
        return Account("load", what.load)
    if what.row:
        return Account("row", what.row)
    if what.lot:
        return Account("lot", what.lot)
    material = getattr(what, "material", "")
    return Account("material", plain(material)) if material else None


@dataclass
class Facts:
    """By thing and quantity, every figure with its moment, oldest first. Moisture and what is in the dry
    matter are shares of one, density is t/m3.

    asked   by thing and quantity, the latest moment a figure was asked for or given of; missed: those of
            which none was known at all. A figure that comes for such a moment would have changed an answer.
    """

    typical: Typicals
    found: MutableMapping[Named, Timed] = field(default_factory=dict)
    asked: MutableMapping[Named, int] = field(default_factory=dict)
    missed: MutableMapping[Named, bool] = field(default_factory=dict)

    @classmethod
    def of(cls, events: Iterable[Event], typical: Typicals) -> "Facts":
        facts = cls(typical)
        for event in events:
            facts.read(event)
        return facts

    def over(self) -> "Facts":
        """Facts over these: what is read into them shows in them alone."""
        return Facts(self.typical, over(self.found), over(self.asked), over(self.missed))

    def settle(self, layer: "Facts") -> None:
        """Take what a layer over these read into them."""
        settle(layer.found, self.found)
        settle(layer.asked, self.asked)
        settle(layer.missed, self.missed)

    def answers_hold(self, event: Event) -> bool:
        """Whether every answer given so far stays as it was once the event is read."""
        alone = Facts(self.typical)
        alone.read(event)
        return not any(
            key in self.missed or self.asked.get(key, NEVER) >= timed[0][0]
            for key, timed in alone.found.items()
        )

    def read(self, event: Event) -> None:
        what, line = event.line.entry.what, event.line.number
        if isinstance(what, Weighed):
            thing = thing_of(what)
            if what.moisture and thing:
                self._keep(thing, "moisture", event.at, _share(what.moisture), line)
        elif isinstance(what, Measured):
            row = Account("row", what.row)
            if what.quantity == "moisture":
                self._keep(row, "moisture", event.at, _share(what.amount), line)
            elif what.quantity == "bulk density":
                self._keep(row, "density", event.at, _density(what.amount), line)
        elif isinstance(what, LabResult):
            thing = thing_of(what)
            sampled = what.sampled
            noon = (sampled.toordinal() - days.EPOCH_DAY) * days.DAY_S + NOON_S if sampled else event.at
            if thing is not None:
                self._sheet(thing, min(noon, event.at), what.results, line)

    def newest(self, thing: Account, quantity: str, at_s: int) -> Known | None:
        """The newest figure at or before a moment."""
        key = (thing, quantity)
        timed = self.found.get(key, [])
        self.asked[key] = max(at_s, self.asked.get(key, at_s))
        place = bisect_right(timed, at_s, key=MOMENT)
        return timed[place - 1][1] if place else None

    def since(self, thing: Account, quantity: str, from_s: int, at_s: int) -> Known | None:
        """The newest figure in a span."""
        key = (thing, quantity)
        self.asked[key] = max(at_s, self.asked.get(key, at_s))
        timed = [known for at, known in self.found.get(key, []) if from_s <= at <= at_s]
        return timed[-1] if timed else None

    def nearest(self, thing: Account, quantity: str, at_s: int) -> Known | None:
        """As `newest`, or else the first that came later: of what does not change much in itself."""
        found = self.newest(thing, quantity, at_s)
        if found is not None:
            return found
        key = (thing, quantity)
        timed = self.found.get(key, [])
        if not timed:
            self.missed[key] = True
            return None
        self.asked[key] = max(timed[0][0], self.asked[key])
        return timed[0][1]

    def of_load(self, load: str, material: str, quantity: str, at_s: int) -> Known | None:
        """A load's own figure, else its material's, else what is typical of the material; else None."""
        found = self.nearest(Account("load", load), quantity, at_s) if load else None
        found = found or self.nearest(Account("material", plain(material)), quantity, at_s)
        if found is None and (typical := self.typical(material)) is not None:
            value = typical.moisture if quantity == "moisture" else typical.density
            found = None if value is None else Known(value, 0, typical.words)
        return found

    def _sheet(self, thing: Account, at_s: int, results: Sequence[Result], line: int) -> None:
        """A lab sheet's figures; those per mass as received count where the sheet has its moisture."""
        read = [
            (named, one, value) for one in results if (named := _named(one)) and (value := _value(named, one))
        ]
        wet = next((v if n.name == "moisture" else 1.0 - v for n, _, v in read if n.name in MOISTURES), None)
        if wet is not None:
            self._keep(thing, "moisture", at_s, wet, line)
        for named, one, value in read:
            if named.name == "bulk density":
                self._keep(thing, "density", at_s, value, line)
            name = NAMES.get(named.of or named.name)
            if name is None or one.basis not in ("dry", "as received"):
                continue
            if one.basis == "as received":
                value = value / (1.0 - wet) if wet is not None and wet < 1.0 else None
            if value is not None:
                value *= float(named.share)
                self._keep(thing, name, at_s, 1.0 - value if named.name == "organic matter" else value, line)

    def _keep(self, thing: Account, quantity: str, at_s: int, value: float | None, line: int) -> None:
        if value is not None:
            key = (thing, quantity)
            own = self.found.maps[0] if isinstance(self.found, ChainMap) else self.found
            if key not in own:
                own[key] = list(self.found.get(key, ()))
            insort(own[key], (at_s, Known(value, line)), key=MOMENT)


def _named(one: Result) -> Analyte | None:
    """What a figure is of; None for what the handbook does not know, and for a bound of detection."""
    return None if one.below or one.above else analyte_named(one.analyte)


def _value(named: Analyte, one: Result) -> float | None:
    """A share of the mass, or t/m3; None for a unit of another kind."""
    unit = unit_named(one.amount.unit, named.kinds)
    if unit is None:
        return None
    size = one.amount.value / MICRO * float(unit.size)
    return size * A_MILLION if unit.kind == "mass share" else size * 0.001 if unit.kind == "density" else None


def _share(amount: Amount) -> float | None:
    return amount.value / MICRO * 0.01 if amount.unit == "%" else None


def _density(amount: Amount) -> float | None:
    return amount.value / MICRO * DENSITIES[amount.unit] if amount.unit in DENSITIES else None

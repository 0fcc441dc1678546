"""What was measured of things: moisture, density, and what a lab found in the dry matter."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from turnrow.lots.matter import DENSITIES, Known, Typical
from turnrow.lots.moves import Account
from turnrow.yard import days
from turnrow.yard.entries import Amount, Measured
from turnrow.yard.goods import LabResult, Result, Weighed
from turnrow.yard.history import Event
from turnrow.yard.numbers import MICRO

NOON_S = days.DAY_S // 2
SHARES = {"%": 0.01, "mg/kg": 1e-6, "ppm": 1e-6, "g/kg": 1e-3}
CALLED = {  # as labs write them, in lower case
    "moisture": "moisture", "moisture content": "moisture", "water": "moisture",
    "total solids": "solids", "dry matter": "solids", "dry solids": "solids",
    "bulk density": "density", "density": "density",
    "ash": "ash", "organic matter": "organic", "volatile solids": "organic", "loss on ignition": "organic",
    "n total": "nitrogen", "total nitrogen": "nitrogen", "nitrogen": "nitrogen", "n": "nitrogen",
    "p total": "phosphorus", "total phosphorus": "phosphorus", "phosphorus": "phosphorus", "p": "phosphorus",
    "k total": "potassium", "total potassium": "potassium", "potassium": "potassium", "k": "potassium",
    "iron": "iron", "fe": "iron", "iron total": "iron",
}  # fmt: skip
IN_DRY = ("ash", "nitrogen", "phosphorus", "potassium", "iron")
Timed = list[tuple[int, Known]]
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
    matter are shares of one, density is t/m3."""

    typical: Typicals
    found: dict[tuple[Account, str], Timed] = field(default_factory=dict)

    @classmethod
    def of(cls, events: Iterable[Event], typical: Typicals) -> "Facts":
        facts = cls(typical)
        for event in events:
            facts.read(event)
        return facts

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
            for one in what.results if thing else ():
                self._lab(thing or Account(""), min(noon, event.at), one, line)

    def newest(self, thing: Account, quantity: str, at_s: int) -> Known | None:
        """The newest figure at or before a moment."""
        timed = self.found.get((thing, quantity), [])
        place = bisect_right([at for at, _ in timed], at_s)
        return timed[place - 1][1] if place else None

    def since(self, thing: Account, quantity: str, from_s: int, at_s: int) -> Known | None:
        """The newest figure in a span."""
        timed = [known for at, known in self.found.get((thing, quantity), []) if from_s <= at <= at_s]
        return timed[-1] if timed else None

    def nearest(self, thing: Account, quantity: str, at_s: int) -> Known | None:
        """As `newest`, or else the first that came later: of what does not change much in itself."""
        timed = self.found.get((thing, quantity), [])
        return self.newest(thing, quantity, at_s) or (timed[0][1] if timed else None)

    def of_load(self, load: str, material: str, quantity: str, at_s: int) -> Known | None:
        """A load's own figure, else its material's, else what is typical of the material; else None."""
        found = self.nearest(Account("load", load), quantity, at_s) if load else None
        found = found or self.nearest(Account("material", plain(material)), quantity, at_s)
        if found is None and (typical := self.typical(material)) is not None:
            value = typical.moisture if quantity == "moisture" else typical.density
            found = None if value is None else Known(value, 0, typical.words)
        return found

    def _lab(self, thing: Account, at_s: int, one: Result, line: int) -> None:
        name = CALLED.get(one.analyte.casefold().strip(), "")
        if one.below or one.above or not name:
            return
        if name == "density":
            self._keep(thing, "density", at_s, _density(one.amount), line)
            return
        share = _share(one.amount)
        if share is None:
            return
        if name in ("moisture", "solids"):
            self._keep(thing, "moisture", at_s, share if name == "moisture" else 1.0 - share, line)
        elif one.basis == "dry":
            dry = 1.0 - share if name == "organic" else share
            self._keep(thing, "ash" if name == "organic" else name, at_s, dry, line)

    def _keep(self, thing: Account, quantity: str, at_s: int, value: float | None, line: int) -> None:
        if value is not None:
            timed = self.found.setdefault((thing, quantity), [])
            timed.append((at_s, Known(value, line)))
            timed.sort(key=lambda pair: pair[0])


def _share(amount: Amount) -> float | None:
    return amount.value / MICRO * SHARES[amount.unit] if amount.unit in SHARES else None


def _density(amount: Amount) -> float | None:
    return amount.value / MICRO * DENSITIES[amount.unit] if amount.unit in DENSITIES else None

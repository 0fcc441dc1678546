"""What each kind of entry moves."""

from collections.abc import MutableMapping, Sequence
from math import hypot

from turnrow.lots.book import LEAST, Book, Taken
from turnrow.lots.facts import Facts, plain
from turnrow.lots.layers import over, settle
from turnrow.lots.matter import Known, cubic_metres, water_tonnes
from turnrow.lots.moves import OUTSIDE, Account
from turnrow.lots.suggest import unit_meant
from turnrow.lots.taking import NOTHING, Taking, dry_of, in_tonnes, said
from turnrow.yard.entries import Amount, LoadIn, Merged, Part, RowBuilt, Turned, Watered
from turnrow.yard.goods import LoadBack, LoadOut, LotMade, RowSplit, Screened, Share, Weighed
from turnrow.yard.history import Event
from turnrow.yard.numbers import MICRO
from turnrow.yard.stock import MASS
from turnrow.yard.units import of_kind

METRES = {unit: float(size) for unit, size in of_kind("length").items()}
MOVING = (LoadIn, RowBuilt, Turned, Watered, Merged, RowSplit, LotMade, Screened, Weighed, LoadOut, LoadBack)


class Poster:
    """Posts events, oldest first, into a book."""

    def __init__(self, book: Book, facts: Facts) -> None:
        self.book, self.facts = book, facts
        self.material: MutableMapping[str, str] = {}  # of a load
        self.of_lot: MutableMapping[str, str] = {}  # material of a lot
        self.length: MutableMapping[str, float] = {}  # m, of what is left of a row
        self.made: MutableMapping[str, int] = {}  # lots, with the line
        self.of_ticket: MutableMapping[str, tuple[int, LoadOut]] = {}

    def over(self) -> "Poster":
        """A poster over this one: what it posts shows in it alone."""
        layer = Poster(self.book.over(), self.facts.over())
        layer.material, layer.of_lot, layer.length = over(self.material), over(self.of_lot), over(self.length)
        layer.made, layer.of_ticket = over(self.made), over(self.of_ticket)
        return layer

    def settle(self, layer: "Poster") -> None:
        """Take what a layer over this one posted into it."""
        self.book.settle(layer.book)
        self.facts.settle(layer.facts)
        settle(layer.material, self.material)
        settle(layer.of_lot, self.of_lot)
        settle(layer.length, self.length)
        settle(layer.made, self.made)
        settle(layer.of_ticket, self.of_ticket)

    def post(self, event: Event) -> None:
        what, at = event.line.entry.what, event.at
        take = Taking(self.book, self.facts, self.material, self.of_lot, event.line.number, at)
        if isinstance(what, LoadIn):
            self._load_in(take, what)
        elif isinstance(what, RowBuilt):
            self._built(take, what)
        elif isinstance(what, Turned | Watered):
            self._water(take, what.row, what.water)
        elif isinstance(what, Merged):
            sources = [Share(row=name) for name in what.sources if name != what.row]
            _into(take, "merged", take.shares(sources)[0], Account("row", what.row))
        elif isinstance(what, RowSplit):
            self._split(take, what)
        elif isinstance(what, LotMade):
            self._lot_made(take, what)
        elif isinstance(what, Screened):
            self._screened(take, what)
        elif isinstance(what, Weighed):
            self._weighed(take, what)
        elif isinstance(what, LoadOut):
            self.of_ticket[what.ticket] = (take.line, what)
            self._load_out(take, what)
        elif isinstance(what, LoadBack):
            self._load_back(take, what)

    def _load_in(self, take: Taking, what: LoadIn) -> None:
        if what.refused:
            return
        load, most = Account("load", what.load), self.book.tolerance.load_most
        self.material[what.load] = what.material
        wet = take.mass(load, what.amount)
        if wet is not None and wet > most:
            meant = unit_meant(what.amount, lambda t: t <= most)
            do = f"One load of more than {most:g} t is not believed. {meant or 'Write each load by itself.'}"
            self.book.wrong(take.line, "amount", said(what.amount), do)
        moisture = self.facts.of_load(what.load, what.material, "moisture", take.at)
        if moisture is None:
            self.book.left_open(
                take.line, load, f"Load {what.load}: nobody measured the moisture of {what.material}."
            )
        elif not moisture.line:
            self.book.left_open(
                take.line, load, f"{what.material}: moisture from {moisture.words}.", assumed=True
            )
        dry = None if wet is None or moisture is None else wet * (1.0 - moisture.value)
        self.book.leaf(take.line, take.at, load)
        off = (wet or 0.0) * self.book.tolerance.of_mass(what.how)
        self.book.move(take.line, take.at, "came in", Taken(OUTSIDE, wet, dry, take.at, off), load)

    def _built(self, take: Taking, what: RowBuilt) -> None:
        if what.length is not None:
            self.length.setdefault(what.row, _metres(what.length))
        row = Account("row", what.row)
        if not what.parts:
            said = f"Row {what.row}: what it was built of was not written."
            self.book.left_open(take.line, row, said, untraced=True)
            self.book.leaf(take.line, take.at, row, known=False)
            return
        _into(take, "laid", [one for part in what.parts for one in self._part(take, part)], row)

    def _part(self, take: Taking, part: Part) -> list[Taken]:
        """Of the load or lot it names; else of the loads of its material that are left, by share, and where
        they do not reach, of a source the diary does not know."""
        if part.load or part.lot:
            lot = part.lot if not part.load else ""
            return take.shares([Share(load=part.load, lot=lot, amount=part.amount)])[0]
        named = plain(part.material)
        loads = [Account("load", name) for name, of in self.material.items() if plain(of) == named]
        left = [one for one in loads if not self.book.of(one).wet_known or self.book.of(one).wet > LEAST]
        heap = Account("material", named)
        wet = take.mass(heap, part.amount, self.facts.of_load("", part.material, "density", take.at))
        there = sum(self.book.of(one).wet for one in left)
        known = wet is not None and all(self.book.of(one).wet_known for one in left)
        if left:
            of = "its load" if len(left) == 1 else f"its {len(left)} loads, by what was left of each"
            said_of = f"{part.material} was laid without a load's name: taken of {of}."
            self.book.left_open(take.line, heap, said_of, assumed=True, untraced=True)
        found = []
        for one in left:
            held = self.book.of(one)
            found.append(
                take.part(one, min(held.wet, wet * held.wet / there) if known and wet else None, NOTHING)
            )
        rest = None if wet is None else wet - sum(one.wet or 0.0 for one in found)
        if not left or (known and rest is not None and rest > LEAST):
            found.append(self._unwritten(take, part.material, heap, rest))
        return found

    def _unwritten(self, take: Taking, material: str, heap: Account, wet: float | None) -> Taken:
        much = "it" if wet is None else f"{wet:.4g} t of it"
        said = f"{material}: no load in the diary brought {much}."
        self.book.left_open(take.line, heap, said, untraced=True)
        moisture = self.facts.of_load("", material, "moisture", take.at)
        dry = None if wet is None or moisture is None else wet * (1.0 - moisture.value)
        self.book.leaf(take.line, take.at, heap)
        taken = Taken(OUTSIDE, wet, dry, take.at, (wet or 0.0) * self.book.tolerance.buckets)
        self.book.move(take.line, take.at, "came in unwritten", taken, heap)
        return self.book.all_of(heap)

    def _water(self, take: Taking, row: str, water: Amount | None) -> None:
        if water is not None:
            thing = Account("row", row)
            self.book.leaf(take.line, take.at, thing, known=False)
            since = self.book.of(thing).since_s
            taken = Taken(OUTSIDE, water_tonnes(water), 0.0, take.at if since is None else since)
            self.book.move(take.line, take.at, "watered", taken, thing)

    def _split(self, take: Taking, what: RowSplit) -> None:
        row, new = Account("row", what.row), Account("row", what.new)
        if what.amount is not None:
            _into(take, "moved apart", take.shares([Share(row=what.row, amount=what.amount)])[0], new)
            return
        length, part, held = self.length.get(what.row), _metres(what.length or NOTHING), self.book.of(row)
        share = None
        if length is None or not length > 0.0:
            self.book.left_open(
                take.line, new, f"Row {what.row}: its length is not known, so the part's mass is not."
            )
        elif part > length:
            do = f"Row {what.row} is {length:.4g} m long; write the length of the part."
            self.book.wrong(take.line, "length", said(what.length or NOTHING), do)
        else:
            share = part / length
            self.length[what.row], self.length[what.new] = length - part, part
        self.book.leaf(take.line, take.at, row, known=False)
        if share is None or not held.wet_known:
            taken = Taken(row, None, None, take.at)
        else:
            dry = held.dry * share if held.dry_known else None
            since = held.since_s if held.since_s is not None else take.at
            taken = Taken(row, held.wet * share, dry, since, take.off(row, held.wet * share))
        _into(take, "moved apart", [taken], new)

    def _lot_made(self, take: Taking, what: LotMade) -> None:
        lot = Account("lot", what.lot)
        if self._circle(take, what.sources, (what.lot,)):
            return
        wet, amount = take.mass(lot, what.amount), what.amount
        if amount is not None and amount.unit not in MASS:
            amount = None if wet is None else in_tonnes(wet)
        takens, done = take.shares(what.sources, amount, what.moisture)
        _into(take, "became", takens, lot)
        self.of_lot[what.lot] = what.material
        if not done:
            self._measured(take, lot, what.amount, what.moisture, "buckets")
        self._filled(lot, what.amount)

    def _filled(self, thing: Account, amount: Amount | None) -> None:
        """The volume of a lot that was measured by it."""
        volume = cubic_metres(amount)
        if volume is not None and thing.kind == "lot":
            self.book.filled(thing, volume)

    def _screened(self, take: Taking, what: Screened) -> None:
        sieve, fines = Account("screening", f"of line {take.line}"), Account("lot", what.fines)
        if self._circle(take, what.sources, (what.fines, what.overs)):
            return
        kept = Account("lot", what.overs) if what.overs else OUTSIDE
        fine, over = take.mass(fines, what.fines_amount), take.mass(kept, what.overs_amount)
        fine_dry, over_dry = dry_of(fine, what.fines_moisture), dry_of(over, what.overs_moisture)
        both = None if fine is None or over is None else in_tonnes(fine + over)
        moist = None
        if both is not None and fine_dry is not None and over_dry is not None and both.value:
            moist = Amount(round((1.0 - (fine_dry + over_dry) / (both.value / MICRO)) * 100 * MICRO), "%")
        takens, done = take.shares(what.sources, both, moist)
        _into(take, "screened", takens, sieve)
        if not done and both is not None:
            self._measured(take, sieve, both, moist, "buckets")
        held = self.book.of(sieve)
        if held.wet_known:
            fine = held.wet - over if fine is None and over is not None else fine
            over = held.wet - fine if over is None and fine is not None else over
        if fine is None or over is None:
            self.book.left_open(take.line, sieve, f"How much of it lot {what.fines} is was not measured.")
        off = self.book.off.get(sieve, 0.0)
        for target, wet, moisture in ((fines, fine, what.fines_moisture), (kept, over, what.overs_moisture)):
            taken = Taken(sieve, wet, None, take.at, take.off(sieve, wet))
            if wet is not None and wet >= 0.0:
                taken = take.part(sieve, wet, in_tonnes(wet), moisture)
            if target == OUTSIDE:
                self.book.move(take.line, take.at, "overs not kept", taken, OUTSIDE)
            else:
                _into(take, "screened", [taken], target)
        self.of_lot[what.fines] = "compost"
        self._filled(fines, what.fines_amount)
        if what.overs:
            self.of_lot[what.overs] = "bulking"
            self._filled(kept, what.overs_amount)
        if held.wet_known and (abs(held.wet) > LEAST or abs(held.dry) > LEAST):
            self.book.off[sieve] = off
            self.book.measured(take.line, take.at, sieve, 0.0, 0.0, "buckets")

    def _weighed(self, take: Taking, what: Weighed) -> None:
        named = (("load", what.load), ("row", what.row), ("lot", what.lot))
        thing = next(Account(kind, name) for kind, name in named if name)
        self.book.leaf(take.line, take.at, thing, known=False)
        self._measured(take, thing, what.amount, what.moisture, what.how)
        self._filled(thing, what.amount)

    def _measured(
        self, take: Taking, thing: Account, amount: Amount | None, moisture: Amount | None, how: str
    ) -> None:
        wet = take.mass(thing, amount)
        if wet is None or amount is None:
            return
        held = self.book.of(thing)
        if held.wet_known:
            take.doubt_unit(amount, held.wet)
        self.book.measured(take.line, take.at, thing, wet, dry_of(wet, moisture), how)

    def _load_out(self, take: Taking, what: LoadOut) -> None:
        ticket = Account("ticket", what.ticket)
        takens, _ = take.shares([Share(lot=what.lot, amount=what.amount, moisture=what.moisture)])
        _into(take, "left the gate", takens, ticket)
        if what.all:
            return  # nobody measured it: it is as unsure as its lot
        how = "scale" if what.amount.unit in MASS else "buckets"  # its own, however unsure its lot is
        own = (takens[0].wet or 0.0) * self.book.tolerance.of_mass(how)
        self.book.off[ticket] = hypot(own, takens[0].doubt)

    def _load_back(self, take: Taking, what: LoadBack) -> None:
        if what.ticket not in self.of_ticket:
            self.book.wrong(take.line, "ticket", what.ticket, "No load left under that number by then.")
            return
        lot = Account("lot", self.of_ticket[what.ticket][1].lot)
        wet = take.mass(lot, what.amount, self._as_it_left(take, what))
        _into(take, "came back", [take.part(Account("ticket", what.ticket), wet, what.amount)], lot)

    def _as_it_left(self, take: Taking, what: LoadBack) -> Known | None:
        """A load's own mass by its volume, so that what comes back weighs what it did when it left."""
        held = take.book.of(Account("ticket", what.ticket))
        if cubic_metres(what.amount) is None or not held.room or not held.wet_known:
            return None
        return Known(held.wet / held.room, 0, "the load’s mass by its volume")

    def _circle(self, take: Taking, sources: Sequence[Share], made: Sequence[str]) -> bool:
        again = [one for one in made if one in self.made]
        self.made.update({one: take.line for one in made if one})
        for lot in again:
            if any(one.lot == lot for one in sources):
                do = "A lot cannot be made of itself; give what comes of it a name of its own."
            else:
                do = "A lot of that name was made before; give what comes of it a name of its own."
            self.book.wrong(take.line, "sources", f"lot {lot}", do)
        for lot in made:
            if lot and lot not in again and any(one.lot == lot for one in sources):
                do = "A lot cannot be made of itself; name what it was made of."
                self.book.wrong(take.line, "sources", f"lot {lot}", do)
                again.append(lot)
        return bool(again)


def _into(take: Taking, what: str, takens: Sequence[Taken], target: Account) -> None:
    """Put what was taken into a thing, which becomes a new one by that."""
    book, held = take.book, take.book.of(target)
    before = held.wet if held.wet_known else None
    for taken in takens:
        book.move(take.line, take.at, what, taken, target)
    book.made(take.line, take.at, target, takens, before)


def _metres(amount: Amount) -> float:
    return amount.value / MICRO * METRES.get(amount.unit, 1.0)

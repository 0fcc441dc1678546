"""How much was taken of a thing: its mass, its dry matter, whether that much was there."""

from collections.abc import MutableMapping, Sequence

from turnrow.lots.book import LEAST, Book, Taken
from turnrow.lots.facts import Facts
from turnrow.lots.matter import Known, cubic_metres, tonnes
from turnrow.lots.moves import Account
from turnrow.lots.suggest import unit_meant
from turnrow.yard.days import DAY_S
from turnrow.yard.entries import Amount
from turnrow.yard.goods import Share
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.stock import MASS

NOTHING = Amount(0, "t")
OF_LOTS = {"compost": "finished compost"}  # a lot's material -> the name the handbook has it under
FAR, NEAR = 20.0, 4.0  # times the book, from which a unit is doubted, and within which another is believed


class Taking:
    """What is asked of a book while a line is posted at a moment."""

    def __init__(
        self,
        book: Book,
        facts: Facts,
        material: MutableMapping[str, str],
        of_lot: MutableMapping[str, str],
        line: int,
        at: int,
    ) -> None:
        self.book, self.facts, self.material = book, facts, material
        self.material_of_lot, self.line, self.at = of_lot, line, at

    def density_out(self, thing: Account) -> Known | None:
        """What a volume taken out of a thing is weighed with: as `density`; of a lot of known mass, also its
        mass by its volume, or what is typical of its material."""
        known, held = self.density(thing), self.book.of(thing)
        if known is not None or thing.kind != "lot" or not held.wet_known or held.wet <= LEAST:
            return known
        if held.room is not None and held.room > LEAST:
            return Known(held.wet / held.room, 0, "its mass by its volume", self.book.tolerance.buckets)
        material = self.material_of_lot.get(thing.name, "")
        typical = self.facts.typical(OF_LOTS.get(material, material))
        if typical is None or typical.density is None:
            return None
        return Known(typical.density, 0, typical.words, typical.density_off)

    def density(self, thing: Account) -> Known | None:
        """Of a row as last measured; of a lot, which changes little, else as first measured later; of a load,
        else of its material, else typical."""
        if thing.kind == "load":
            return self.facts.of_load(thing.name, self.material.get(thing.name, ""), "density", self.at)
        if thing.kind == "lot":
            return self.facts.nearest(thing, "density", self.at)
        return self.facts.newest(thing, "density", self.at)

    def mass(self, thing: Account, amount: Amount | None, density: Known | None = None) -> float | None:
        """Tonnes, with the figure that made them of a volume said; None where there is none."""
        if amount is None:
            return None
        density = density or self.density(thing)
        wet, name = tonnes(amount, density), thing.titled()
        if wet is None:
            self.book.left_open(self.line, thing, f"{name}: {said(amount)} and no density known, so no mass.")
        elif amount.unit not in MASS and density is not None:
            by = f"{density.value * 1000:.4g} kg/m3 ({density.said()})"
            self.book.left_open(self.line, thing, f"{name}: {said(amount)} at {by}.", assumed=True)
        return wet

    def shares(
        self, shares: Sequence[Share], amount: Amount | None = None, moisture: Amount | None = None
    ) -> tuple[list[Taken], bool]:
        """What was taken of each thing; and whether the whole [amount, moisture] was held against the book.

        Where all of a thing was taken and the whole was measured, that says what the thing had come to.
        """
        given = {n: self._share(one) for n, one in enumerate(shares) if one.amount is not None}
        rest = {n: account_of(one) for n, one in enumerate(shares) if one.amount is None}
        for thing in rest.values():
            self._there(thing)
            self._something(thing)
        wet = None if amount is None or amount.unit not in MASS else tonnes(amount, None)
        held = False
        if wet is not None and rest and all(one.wet is not None for one in given.values()):
            held = self._whole_measured(wet, dry_of(wet, moisture), amount or NOTHING, given, rest)
        found = given | {n: self.book.all_of(thing) for n, thing in rest.items()}
        return [found[n] for n in range(len(shares))], held

    def _whole_measured(
        self,
        wet: float,
        dry: float | None,
        amount: Amount,
        given: dict[int, Taken],
        rest: dict[int, Account],
    ) -> bool:
        """Share what was measured, less the parts that were given, among the things taken whole."""
        held = [self.book.of(thing) for thing in rest.values()]
        total = sum(one.wet for one in held)
        if len(rest) > 1 and not (total > LEAST and all(one.wet_known for one in held)):
            return False
        left = wet - sum(one.wet or 0.0 for one in given.values())
        if left < -LEAST:
            self.book.wrong(self.line, "amount", said(amount), "It is less than the parts that were taken.")
            return True
        known = dry is not None and all(one.dry is not None for one in given.values())
        dry_left = (dry or 0.0) - sum(one.dry or 0.0 for one in given.values()) if known else None
        self.doubt_unit(amount, total + wet - left)
        for thing, one in zip(rest.values(), held, strict=True):
            part = one.wet / total if len(rest) > 1 else 1.0
            much = None if dry_left is None else max(0.0, dry_left * part)
            self.book.measured(self.line, self.at, thing, left * part, much, "buckets")
        return True

    def part(
        self,
        thing: Account,
        wet: float | None,
        amount: Amount,
        moisture: Amount | None = None,
        doubt: float = 0.0,
    ) -> Taken:
        """So much of a thing, wrong where it is more than it held.

        doubt  t, of a mass that rests on a density nobody measured
        """
        self._enough(thing, wet, amount, doubt)
        dry, off = self._dry(thing, wet, moisture), self.off(thing, wet)
        return Taken(thing, wet, dry, self.at, off, doubt=doubt, volume=cubic_metres(amount))

    def off(self, thing: Account, wet: float | None) -> float:
        """What of a thing's own error goes with a part of it [t]."""
        held = self.book.of(thing)
        if wet is None or not held.wet > LEAST:
            return 0.0
        return self.book.off.get(thing, 0.0) * min(1.0, wet / held.wet)

    def doubt_unit(self, amount: Amount, there: float) -> None:
        """Wrong where the number is far from the book [t], and in another unit near it."""
        wet = tonnes(amount, None)
        if wet is None or not there > LEAST or there / FAR <= wet <= there * FAR:
            return
        meant = unit_meant(amount, lambda t: there / NEAR <= t <= there * NEAR)
        if meant:
            self.book.wrong(self.line, "amount", said(amount), f"The book has {there:.4g} t there. {meant}")

    def _share(self, share: Share) -> Taken:
        thing, amount = account_of(share), share.amount or NOTHING
        self._there(thing)
        density = self.density_out(thing) if cubic_metres(amount) is not None else None
        wet = self.mass(thing, amount, density)
        doubt = (wet or 0.0) * (density.off if density else 0.0)
        return self.part(thing, wet, amount, share.moisture, doubt)

    def _dry(self, thing: Account, wet: float | None, moisture: Amount | None) -> float | None:
        """Dry matter in what is taken: by its own moisture, the last measured, or the book's while it may
        still hold. A row dries and rots, so its book says nothing of it after a while."""
        if wet is None or moisture is not None:
            return dry_of(wet, moisture)
        held = self.book.of(thing)
        if thing.kind == "row":
            span = int(self.book.tolerance.moisture_days * DAY_S)
            measured = self.facts.since(thing, "moisture", self.at - span, self.at)
            if measured is not None:
                return wet * (1.0 - measured.value)
            if self.at - (held.since_s if held.since_s is not None else self.at) > span:
                return None
        if not (held.dry_known and held.wet_known) or held.wet <= LEAST:
            return None
        return wet * held.dry / held.wet

    def _there(self, thing: Account) -> None:
        if thing in self.book.now_node:
            return
        if thing.kind != "row":  # a row the diary speaks of may be older than the diary
            do = "It is not made by then; a thing is taken after it came to be. Look at the names and days."
            self.book.wrong(self.line, "sources", thing.said(), do)
        self.book.leaf(self.line, self.at, thing, known=False)

    def _something(self, thing: Account) -> None:
        """Wrong where nothing is left to be taken."""
        held = self.book.of(thing)
        if held.wet_known and held.wet <= LEAST and held.lines:
            do = f"Nothing is left of it by line {held.lines[-1]}. Weigh it first if it holds more."
            self.book.wrong(self.line, "sources", thing.said(), do)

    def _enough(self, thing: Account, wet: float | None, amount: Amount, doubt: float) -> None:
        """Wrong where more is taken than the thing can hold: by volume where it has one, else by the mass
        known, from which more of unknown mass may be gone."""
        held, volume = self.book.of(thing), cubic_metres(amount)
        lines = ", ".join(str(n) for n in held.lines[-4:]) or "none"
        if volume is not None and held.room is not None:
            if volume > held.room + held.room_off + LEAST:
                do = f"{thing.titled()} holds {held.room:.4g} m3 by lines {lines}. "
                do += "Write less, or measure it first if it holds more."
                self.book.wrong(self.line, "amount", said(amount), do)
            return
        off = self.book.off.get(thing, 0.0) + (wet or 0.0) * self.book.tolerance.weighbridge + doubt
        if wet is None or not held.wet_most or wet <= held.wet + off + LEAST:
            return
        meant = unit_meant(amount, lambda t: held.wet / FAR <= t <= held.wet + off)
        most = "" if held.wet_known else "at most "
        do = f"{thing.titled()} holds {most}{held.wet:.4g} t by lines {lines}. "
        if most:
            do += "Some left by volume, and how much that weighed is not known. "
        do += meant or "Write less, or weigh it first if it holds more."
        self.book.wrong(self.line, "amount", said(amount), do)


def account_of(share: Share) -> Account:
    if share.load:
        return Account("load", share.load)
    return Account("row", share.row) if share.row else Account("lot", share.lot)


def dry_of(wet: float | None, moisture: Amount | None) -> float | None:
    return None if wet is None or moisture is None else wet * (1.0 - moisture.value / (100 * MICRO))


def said(amount: Amount) -> str:
    return f"{plain(amount.value)} {amount.unit}"


def in_tonnes(wet: float) -> Amount:
    return Amount(round(wet * MICRO), "t")

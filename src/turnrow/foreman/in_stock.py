"""What each lot holds and whether it may leave, and what a volume of it weighs."""

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from statistics import median, stdev

from turnrow.foreman.desk import Desk
from turnrow.handbook.feedstocks import feedstocks, find
from turnrow.handbook.figures import sales_figures
from turnrow.lots.moves import Account
from turnrow.lots.taking import OF_LOTS
from turnrow.sales.promise import SPAN
from turnrow.yard import days, goods
from turnrow.yard.numbers import MICRO

LEAST = 0.001  # t: less is nothing


@dataclass(frozen=True)
class Density:
    """Of a material or lot [kg/m3]: middle and standard deviation, and where it is from."""

    middle: float
    sd: float
    words: str


@dataclass(frozen=True)
class InStock:
    """A lot that holds something.

    wet_t, off_t  t by the ledger and how far that may be off; None where it is not known
    most_t        where it is not known, the most there can be; None: no bound is known either
    volume_m3     measured, or by mass and density; None without both
    about         t, low and high, of one in ten each, of a volume nobody weighed
    out           how it may leave, "" not yet; stopped: why it may not leave although it was released
    """

    lot: str
    material: str
    wet_t: float | None
    moisture: float | None
    volume_m3: float | None
    out: str
    recalled: bool
    lines: tuple[int, ...]
    off_t: float = 0.0
    most_t: float | None = None
    density: Density | None = None
    stopped: str = ""

    @property
    def tonnes(self) -> tuple[float, float] | None:
        """Middle and standard deviation [t]: by the ledger, else by volume and density."""
        if self.wet_t is not None:
            return self.wet_t, self.off_t / SPAN
        if self.volume_m3 is None or self.density is None:
            return None
        return self.volume_m3 * self.density.middle / 1000, self.volume_m3 * self.density.sd / 1000

    @property
    def about(self) -> tuple[float, float] | None:
        found = self.tonnes
        if self.wet_t is not None or found is None:
            return None
        return max(0.0, found[0] - SPAN * found[1]), found[0] + SPAN * found[1]


def densities(desk: Desk, now: datetime) -> dict[str, Fraction]:
    """kg/m3 of each lot whose bulk density was measured."""
    at, found = days.seconds(now), {}
    for lot in desk.lots.things("lot"):
        known = desk.lots.facts.newest(Account("lot", lot), "density", at)
        if known is not None:
            found[lot] = Fraction(known.value * 1000).limit_denominator(MICRO)
    return found


def density_of(desk: Desk, material: str, measured: dict[str, Fraction]) -> Density | None:
    """What is taken for a material: the middle of the yard's own measured lots, else the handbook's range, of
    which the ends are taken for one in ten each. None where neither is known."""
    kinds = materials(desk)
    own = [float(value) for lot, value in measured.items() if kinds.get(lot, "compost") == material]
    if own:
        middle = median(own)
        spread = stdev(own) if len(own) > 1 else 0.0
        said = f"the yard’s own {len(own)} measured lots" if len(own) > 1 else "the yard’s one measured lot"
        return Density(middle, max(spread, middle * sales_figures()["density_off"].value / 100), said)
    feedstock = find(OF_LOTS.get(material, material), feedstocks())
    figure = feedstock.figure("density") if feedstock else None
    if feedstock is None or figure is None:
        return None
    words = f"the handbook’s {feedstock.key}"
    if figure.low is None or figure.high is None:
        return Density(figure.value, figure.value * sales_figures()["density_off"].value / 100, words)
    words += f", {figure.low:g} to {figure.high:g} kg/m3"
    return Density(figure.value, (figure.high - figure.low) / 2 / SPAN, words)


def stock(desk: Desk, now: datetime) -> tuple[InStock, ...]:
    """Every lot that still holds something, oldest first."""
    measured, made = densities(desk, now), materials(desk)
    released = {what.lot: what.how for _, what in desk.diary.all(goods.Released)}
    recalled = {what.lot for _, what in desk.diary.all(goods.Recalled)}
    stopped, found = _stopped(desk, now), []
    for lot in desk.lots.things("lot"):
        account, held = Account("lot", lot), desk.lots.of("lot", lot)
        if held.wet_known and held.wet < LEAST:
            continue
        if not held.wet_known and held.room is not None and held.room < LEAST:
            continue
        material = made.get(lot, "compost")
        density = _own(measured[lot]) if lot in measured else density_of(desk, material, measured)
        wet, volume = held.wet if held.wet_known else None, held.room
        if volume is None and wet is not None and lot in measured:
            volume = wet * 1000 / float(measured[lot])
        found.append(
            InStock(
                lot, material, wet, held.moisture, volume, "" if lot in recalled else released.get(lot, ""),
                lot in recalled, tuple(sorted(set(held.lines))), desk.lots.off.get(account, 0.0),
                held.wet if wet is None and held.wet_most else None, density, stopped.get(lot, ""),
            )
        )  # fmt: skip
    return tuple(found)


def _own(value: Fraction) -> Density:
    middle = float(value)
    return Density(middle, middle * sales_figures()["density_off"].value / 100, "its own, measured")


def _stopped(desk: Desk, now: datetime) -> dict[str, str]:
    """Released lots that may not leave now, each with why: failed since, or no longer shown to be proven."""
    stands = desk.stands(now)
    found = {one.lot: one.missing[0].sentence for one in stands.unproven}
    return found | {lot: asks[0].sentence for lot, asks, _ in stands.failed}


def materials(desk: Desk) -> dict[str, str]:
    """What each lot is; what passed a screen is compost, what did not is bulking."""
    found: dict[str, str] = {what.lot: what.material for _, what in desk.diary.all(goods.LotMade)}
    for _, what in desk.diary.all(goods.Screened):
        found[what.fines] = "compost"
        if what.overs:
            found[what.overs] = "bulking"
    return found

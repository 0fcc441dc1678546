"""Stock, orders, promises, bills and costs of the yard, gathered from its diary and its ledger of matter."""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

import numpy as np

from turnrow.foreman.desk import Desk
from turnrow.handbook.figures import sales_figures
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.sales.book import Bill, OpenOrder, bills, orders, products
from turnrow.sales.coming import row_coming
from turnrow.sales.cost import Account as CostAccount
from turnrow.sales.cost import Cost, Flow, by_thing, costs, flowed, turns_cost, unsaid
from turnrow.sales.price import convert
from turnrow.sales.promise import Coming, Promise, promises
from turnrow.yard import days, goods
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO

SEED = 5  # of the draws behind promises: the same diary and day, the same dates
THINGS = ("load", "material", "row", "lot", "screening", "ticket")


@dataclass(frozen=True)
class InStock:
    """A lot that holds something. `volume_m3` None without a density; `out` how it may leave, "" not yet."""

    lot: str
    material: str
    wet_t: float | None
    moisture: float | None
    volume_m3: float | None
    out: str
    recalled: bool
    lines: tuple[int, ...]


@dataclass(frozen=True)
class Kept:
    """An open order with its promise; `why` says what keeps a date from being reckoned."""

    order: OpenOrder
    left_t: float | None
    promise: Promise | None
    why: str = ""


def densities(desk: Desk, now: datetime) -> dict[str, Fraction]:
    """kg/m3 of each lot whose bulk density was measured."""
    at, found = days.seconds(now), {}
    for lot in desk.lots.things("lot"):
        known = desk.lots.facts.newest(Account("lot", lot), "density", at)
        if known is not None:
            found[lot] = Fraction(known.value * 1000).limit_denominator(MICRO)
    return found


def stock(desk: Desk, now: datetime) -> tuple[InStock, ...]:
    """Every lot that still holds something, oldest first."""
    density = densities(desk, now)
    made = materials(desk)
    released = {what.lot: what.how for _, what in desk.diary.all(goods.Released)}
    recalled = {what.lot for _, what in desk.diary.all(goods.Recalled)}
    found = []
    for lot in desk.lots.things("lot"):
        held = desk.lots.of("lot", lot)
        if held.wet_known and held.wet < 0.001:
            continue
        wet = held.wet if held.wet_known else None
        volume = wet * 1000 / float(density[lot]) if wet is not None and lot in density else None
        how = "" if lot in recalled else released.get(lot, "")
        found.append(
            InStock(
                lot, made.get(lot, "compost"), wet, held.moisture, volume, how, lot in recalled,
                tuple(sorted(set(held.lines))),
            )
        )  # fmt: skip
    return tuple(found)


def materials(desk: Desk) -> dict[str, str]:
    """What each lot is; what passed a screen is compost, what did not is bulking."""
    found: dict[str, str] = {what.lot: what.material for _, what in desk.diary.all(goods.LotMade)}
    for _, what in desk.diary.all(goods.Screened):
        found[what.fines] = "compost"
        if what.overs:
            found[what.overs] = "bulking"
    return found


def coming(desk: Desk, now: datetime) -> tuple[Coming, ...]:
    """Released stock and rows that will be compost [t]; castings and bulking are none of it."""
    there = [
        Coming(f"lot {one.lot}", one.wet_t)
        for one in stock(desk, now)
        if one.out and one.wet_t and one.material == "compost"
    ]
    settings = {name: amount.value / MICRO for name, amount in desk.settings().items()}
    at = days.seconds(now)
    for row in desk.diary.rows:
        history = desk.diary.history(row)
        built, account = history.built, Account("row", row)
        held = desk.lots.held.get(account)
        if built is None or held is None or not held.wet_known or held.wet < 1.0 or built[0].at > at:
            continue
        if built[1].process != "turned":
            continue
        since = None if history.curing is None else (at - history.curing.at) / days.DAY_S
        ripe = None if since is not None else _curing_in(desk, row, days.day_of(at, desk.zone))
        there.append(
            row_coming(
                f"row {row}", held.wet, (at - built[0].at) / days.DAY_S,
                active_days=settings["active_days"], curing_days=settings["curing_days"],
                left=settings["wet_left"] / 100, spread=settings["ready_spread"] / 100,
                off=sales_figures()["row_mass_off"].value / 100,
                curing_since=since, curing_in=ripe,
            )
        )  # fmt: skip
    return tuple(there)


def _curing_in(desk: Desk, row: str, day: int) -> tuple[float, float, float] | None:
    """Days until the row can cure, by an outlook made today of the row as it stands; None without one that
    is surer than not of it."""
    ahead = desk.ahead.get(row)
    if ahead is None or not ahead.speaks(day, desk.diary.history(row).last_line):
        return None
    band, chance = ahead.outlook.curing_h, ahead.outlook.curing_chance
    if band is None or chance < sales_figures()["curing_sure"].value / 100:
        return None
    return band.p10 / 24, band.p50 / 24, band.p90 / 24


def kept_orders(desk: Desk, now: datetime) -> tuple[Kept, ...]:
    """Open orders, the one wanted first served first, with the day each can be kept and how surely."""
    density, today = densities(desk, now), now.astimezone(desk.zone).date()
    open_ones = [one for one in orders(desk.diary, density) if not one.done]
    open_ones.sort(key=lambda one: (one.order.wanted or one.order.promised or today.max, one.line))
    usual = _usual(density)
    made: list[tuple[OpenOrder, float | None, str]] = [(one, *_tonnes(desk, one, usual)) for one in open_ones]
    wanted: list[tuple[str, float, float | None]] = []
    for one, left, _ in made:
        day = one.order.promised or one.order.wanted
        if left is not None:
            wanted.append((one.order.order, left, None if day is None else float((day - today).days)))
    sure = promises(wanted, coming(desk, now), np.random.default_rng(SEED)) if wanted else ()
    by_name = {one.name: one for one in sure}
    return tuple(Kept(one, left, by_name.get(one.order.order), why) for one, left, why in made)


def _usual(density: dict[str, Fraction]) -> Fraction | None:
    """The middle of the yard's own densities; None where none was measured."""
    values = sorted(density.values())
    return values[len(values) // 2] if values else None


def _tonnes(desk: Desk, one: OpenOrder, usual: Fraction | None) -> tuple[float | None, str]:
    """What is left of an order in tonnes, or why that cannot be said."""
    if one.left is None:
        return None, one.why
    listed = products(desk.diary).get(one.order.product)
    if listed and listed[1].material != "compost":
        return None, f"Only orders of compost are dated; {one.order.product} is {listed[1].material}."
    left = Amount(int(one.left * MICRO), one.order.amount.unit)
    try:
        return float(convert(left, "t", density=usual, bag=listed[1].bag if listed else None)), ""
    except ValueError as wrong:
        return None, f"{str(wrong).capitalize()}: measure a lot’s bulk density first."


def yard_bills(desk: Desk, now: datetime) -> tuple[Bill, ...]:
    return bills(desk.diary, densities(desk, now), _then(desk))


def _then(desk: Desk) -> dict[str, Fraction]:
    """kg/m3 of each load out as known when it left, else as first measured afterwards."""
    found = {}
    for event, out in desk.diary.all_events(goods.LoadOut):
        known = desk.lots.facts.nearest(Account("lot", out.lot), "density", event.at)
        if known is not None:
            found[out.ticket] = Fraction(known.value * 1000).limit_denominator(MICRO)
    return found


def currency_of(found: tuple[Cost, ...]) -> str:
    """The currency most costs are in; "" without any."""
    named = [one.currency for one in found if one.currency]
    return max(sorted(set(named)), key=named.count) if named else ""


@dataclass(frozen=True)
class Costs:
    """Every cost of the yard; `said`: what stands in no sum.

    by_thing  written for each row and lot, the yard's own shared over the rows by what was laid in them
    resting   by thing, after costs went along with the matter: "lot 26-01", "ticket T1", "row R7"
    held_t    tonnes a lot holds and a ticket carried, where known
    of_year   by calendar year, what was spent by kind of cost; loaded_t the tonnes that left in it
    """

    currency: str
    lines: tuple[Cost, ...]
    by_thing: dict[str, CostAccount]
    rest: CostAccount
    resting: dict[str, CostAccount]
    held_t: dict[str, float]
    a_turn: dict[str, Fraction]
    said: tuple[str, ...]
    of_year: dict[int, CostAccount]
    loaded_t: dict[int, float]

    def per_tonne(self, thing: str) -> Fraction | None:
        """What a tonne of a lot or ticket came to."""
        made = self.held_t.get(thing, 0.0)
        account = self.resting.get(thing)
        return account.total / Fraction(made) if account and made > 0 else None


def yard_costs(desk: Desk) -> Costs:
    found = costs(desk.diary)
    currency = currency_of(found)
    shares = laid_shares(desk.lots)
    accounts, rest = by_thing(found, shares, currency)
    resting = flowed(found, flows(desk.lots), shares, currency)
    turns = {row: len(desk.diary.history(row).turns) for row in desk.diary.rows}
    return Costs(
        currency, found, accounts, rest, resting, _held(desk.lots), turns_cost(found, turns, currency),
        unsaid(found, currency), _of_year(found, currency), _loaded(desk),
    )  # fmt: skip


def _of_year(found: tuple[Cost, ...], currency: str) -> dict[int, CostAccount]:
    years: dict[int, CostAccount] = {}
    for one in found:
        if one.currency == currency:
            years.setdefault(date.fromordinal(one.day).year, CostAccount()).add(one)
    return years


def _loaded(desk: Desk) -> dict[int, float]:
    """Tonnes that left the gate in each calendar year, less what came back; of known mass."""
    years: dict[int, float] = {}
    for move in desk.lots.moves:
        for posting in move.postings:
            if posting.account.kind == "ticket":
                year = date.fromordinal(days.day_of(move.at_s, desk.zone)).year
                years[year] = years.get(year, 0.0) + posting.wet
    return years


def flows(ledger: Ledger) -> tuple[Flow, ...]:
    """Every move from thing to thing as the share of what the source held just before it."""
    held: dict[Account, float] = {}
    found = []
    for move in ledger.moves:
        gains: dict[Account, float] = {}
        for one in move.postings:
            gains[one.account] = gains.get(one.account, 0.0) + one.wet
        giver = next((account for account, wet in gains.items() if wet < 0 and account.kind in THINGS), None)
        taker = next((account for account, wet in gains.items() if wet > 0 and account.kind in THINGS), None)
        if giver and taker and held.get(giver, 0.0) > 0:
            share = min(1.0, -gains[giver] / held[giver])
            found.append(
                Flow(move.at_s, giver.said(), taker.said(), Fraction(share).limit_denominator(10**9))
            )
        for account, wet in gains.items():
            held[account] = held.get(account, 0.0) + wet
    return tuple(found)


def laid_shares(ledger: Ledger) -> dict[str, Fraction]:
    """By "row R7", the share of all that was ever laid in rows from loads and heaps of material."""
    laid: dict[str, float] = {}
    for move in ledger.moves:
        fresh = any(one.wet < 0 and one.account.kind in ("load", "material") for one in move.postings)
        for one in move.postings:
            if fresh and one.wet > 0 and one.account.kind == "row":
                laid[one.account.said()] = laid.get(one.account.said(), 0.0) + one.wet
    exact = {name: Fraction(much) for name, much in laid.items()}
    whole = sum(exact.values(), Fraction(0))
    return {name: much / whole for name, much in exact.items()} if whole else {}


def _held(ledger: Ledger) -> dict[str, float]:
    """Tonnes a lot holds and a ticket carried, by name: what its costs rest on."""
    return {
        account.said(): held.wet
        for account, held in ledger.held.items()
        if account.kind in ("lot", "ticket") and held.wet_known
    }

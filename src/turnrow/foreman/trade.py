"""Bills and costs of the yard, gathered from its diary and its ledger of matter."""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from turnrow.foreman.desk import Desk
from turnrow.foreman.in_stock import densities
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.sales.book import Bill, bills
from turnrow.sales.cost import Account as CostAccount
from turnrow.sales.cost import Cost, Flow, by_thing, costs, flowed, turns_cost, unsaid
from turnrow.yard import days, goods
from turnrow.yard.numbers import MICRO

THINGS = ("load", "material", "row", "lot", "screening", "ticket")


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

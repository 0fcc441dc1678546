"""Bills and costs of the yard, gathered from its diary and its ledger of matter."""

from dataclasses import dataclass, field
from datetime import date, datetime
from fractions import Fraction

from turnrow.foreman.desk import Desk
from turnrow.foreman.in_stock import densities
from turnrow.lots.ledger import Ledger
from turnrow.lots.moves import Account
from turnrow.sales.book import Bill, bills
from turnrow.sales.cost import Account as CostAccount
from turnrow.sales.cost import Cost, Flow, Given, TurnCost, by_thing, costs, flowed, turns_cost, unsaid
from turnrow.yard import days, goods
from turnrow.yard.entries import Turned
from turnrow.yard.numbers import MICRO

MADE = ("lot", "screening")  # what rows become
LEAST_T = 0.001  # t: less is nothing
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


@dataclass
class YearCost:
    """A calendar year: what was spent; tonnes made into lots of rows and tonnes that left the gate.

    made_money, sold_money  costs that went along with these tonnes; stock that is not sold bears its own
    made_with, sold_with    of these tonnes, those that bore any cost: nothing is divided over the others
    """

    spent: CostAccount = field(default_factory=CostAccount)
    made_t: float = 0.0
    made_with: float = 0.0
    made_money: Fraction = Fraction(0)
    sold_t: float = 0.0
    sold_with: float = 0.0
    sold_money: Fraction = Fraction(0)

    @property
    def a_tonne_made(self) -> Fraction | None:
        return self.made_money / Fraction(self.made_with) if self.made_with > LEAST_T else None

    @property
    def a_tonne_sold(self) -> Fraction | None:
        return self.sold_money / Fraction(self.sold_with) if self.sold_with > LEAST_T else None


@dataclass(frozen=True)
class Costs:
    """Every cost of the yard; `said`: what stands in no sum.

    by_thing  written for each row and lot, the yard's own shared over the rows by what was laid in them
    resting   by thing, after costs went along with the matter: "lot 26-01", "ticket T1", "row R7"
    held_t    tonnes a lot holds and a ticket carried, where known
    a_turn    by row, what a turn of it came to, and how many of its turns have a cost on record
    of_year   by calendar year, what was spent in it, and what a tonne made and one sold came to
    """

    currency: str
    lines: tuple[Cost, ...]
    by_thing: dict[str, CostAccount]
    rest: CostAccount
    resting: dict[str, CostAccount]
    held_t: dict[str, float]
    a_turn: dict[str, TurnCost]
    said: tuple[str, ...]
    of_year: dict[int, YearCost]

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
    resting, given = flowed(found, flows(desk.lots), shares, currency)
    turns = {row: [event.day for event, _ in desk.diary.history(row).of(Turned)] for row in desk.diary.rows}
    return Costs(
        currency, found, accounts, rest, resting, _held(desk.lots), turns_cost(found, turns, currency),
        unsaid(found, currency), _of_year(desk, found, currency, given),
    )  # fmt: skip


def _of_year(
    desk: Desk, found: tuple[Cost, ...], currency: str, given: tuple[Given, ...]
) -> dict[int, YearCost]:
    """Tonnes made are those that went from rows into lots or onto the sieve; tonnes sold are those that left
    the gate less what came back; each of known mass."""
    years: dict[int, YearCost] = {}

    def year_of(at_s: int) -> YearCost:
        year = date.fromordinal(days.day_of(at_s, desk.zone)).year
        return years.setdefault(year, YearCost())

    for one in found:
        if one.currency == currency:
            years.setdefault(date.fromordinal(one.day).year, YearCost()).spent.add(one)
    for move in desk.lots.moves:
        kinds = {posting.account.kind for posting in move.postings}
        for posting in move.postings:
            if posting.account.kind == "ticket":
                year_of(move.at_s).sold_t += posting.wet
            elif posting.account.kind in MADE and "row" in kinds and posting.wet > 0:
                year_of(move.at_s).made_t += posting.wet
    for each in given:
        if not each.money:
            continue
        year = year_of(each.flow.at)
        source, target = each.flow.source.split(" ")[0], each.flow.target.split(" ")[0]
        if target == "ticket":
            year.sold_money += each.money
            year.sold_with += each.flow.tonnes
        elif source == "ticket":
            year.sold_money -= each.money
            year.sold_with -= each.flow.tonnes
        elif source == "row" and target in MADE:
            year.made_money += each.money
            year.made_with += each.flow.tonnes
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
                Flow(
                    move.at_s,
                    giver.said(),
                    taker.said(),
                    Fraction(share).limit_denominator(10**9),
                    gains[taker],
                )
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

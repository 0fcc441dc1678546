"""What a row, a lot and a year cost: work and goods used times their rates, shared out by mass."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.history import by_then
from turnrow.yard.numbers import MICRO

Money = Fraction


@dataclass(frozen=True)
class Cost:
    """One line of cost in money; `why` says what is missing where it has none."""

    line: int
    cost: str
    task: str
    row: str
    lot: str
    at: int
    day: int
    money: Money | None
    currency: str
    why: str = ""


@dataclass
class Account:
    """What one thing cost, by kind of cost and by task; one currency, the yard's."""

    by_cost: dict[str, Money] = field(default_factory=dict)
    by_task: dict[str, Money] = field(default_factory=dict)
    lines: list[int] = field(default_factory=list)

    def add(self, cost: Cost, share: Fraction = Fraction(1)) -> None:
        if cost.money is None:
            return
        part = cost.money * share
        self.by_cost[cost.cost] = self.by_cost.get(cost.cost, Fraction(0)) + part
        task = cost.task or "other work"
        self.by_task[task] = self.by_task.get(task, Fraction(0)) + part
        self.lines.append(cost.line)

    def give(self, other: "Account", share: Fraction) -> None:
        """Hand on a share of all that rests here."""
        for mine, theirs in ((self.by_cost, other.by_cost), (self.by_task, other.by_task)):
            for kind, money in mine.items():
                theirs[kind] = theirs.get(kind, Fraction(0)) + money * share
                mine[kind] = money * (1 - share)
        other.lines += [line for line in self.lines if line not in other.lines]

    @property
    def total(self) -> Money:
        return sum(self.by_cost.values(), Fraction(0))


def costs(diary: Diary) -> tuple[Cost, ...]:
    """Every line of cost, in the order it happened: money as written, or amount times the rate in force.

    A rate for the machine or lab named goes before one for the kind of cost; a rate in another unit is none.
    """
    rates = diary.all_events(goods.RateSet)
    found = []
    for event, what in diary.all_events(goods.Spent):
        money, currency, why = _money(what, [rate for at, rate in rates if by_then(at, event)])
        line = event.line.number
        found.append(
            Cost(line, what.cost, what.task, what.row, what.lot, event.at, event.day, money, currency, why)
        )
    return tuple(found)


def _money(what: goods.Spent, rates: Sequence[goods.RateSet]) -> tuple[Money | None, str, str]:
    if what.money is not None:
        return Fraction(what.money.value, MICRO), what.money.unit, ""
    if what.amount is None:
        return None, "", "Neither an amount nor money is written."
    own = [one for one in rates if one.cost == what.cost and one.what and one.what == what.what]
    kind = [one for one in rates if one.cost == what.cost and not one.what]
    for rate in (*reversed(own), *reversed(kind)):
        currency, _, unit = rate.rate.unit.partition("/")
        if unit == what.amount.unit:
            return Fraction(what.amount.value * rate.rate.value, MICRO**2), currency, ""
    return None, "", f"No rate for {what.what or what.cost} by the {what.amount.unit} was in force."


def by_thing(
    found: Sequence[Cost], share_of_yard: Mapping[str, Fraction], currency: str
) -> tuple[dict[str, Account], Account]:
    """Costs of each row ("row R7") and lot ("lot 26-01"), and what could be laid on none of them.

    share_of_yard  by the same names, the share each bears of what was spent for the whole yard; at most 1
                   together
    currency       costs in another one are left out (see `unsaid`)
    """
    accounts: dict[str, Account] = {}
    rest = Account()
    for cost in found:
        if cost.money is None or cost.currency != currency:
            continue
        if cost.row or cost.lot:
            accounts.setdefault(f"row {cost.row}" if cost.row else f"lot {cost.lot}", Account()).add(cost)
            continue
        for name, share in share_of_yard.items():
            accounts.setdefault(name, Account()).add(cost, share)
        left = 1 - sum(share_of_yard.values(), Fraction(0))
        if left > 0:
            rest.add(cost, left)
    return accounts, rest


@dataclass(frozen=True)
class Flow:
    """Matter that went from one thing to another: the share of what the source then held, and tonnes."""

    at: int
    source: str
    target: str
    share: Fraction
    tonnes: float = 0.0


@dataclass(frozen=True)
class Given:
    """Money that went along with a flow."""

    flow: Flow
    money: Money


def flowed(
    found: Sequence[Cost], flows: Sequence[Flow], share_of_yard: Mapping[str, Fraction], currency: str
) -> tuple[dict[str, Account], tuple[Given, ...]]:
    """What rests on each thing once costs went along with the matter, at the average cost of each day; and
    what went along with each flow.

    flows  in the order they happened; what the air takes is none, so its cost stays with what is left
    A cost written for a day after the matter had gone stays where it was written.
    """
    accounts: dict[str, Account] = {}
    waiting = sorted((one for one in found if one.currency == currency), key=lambda one: (one.at, one.line))
    place = 0
    given = []

    def laid_until(at: int | None) -> None:
        nonlocal place
        while place < len(waiting) and (at is None or waiting[place].at <= at):
            one = waiting[place]
            named = f"row {one.row}" if one.row else f"lot {one.lot}" if one.lot else ""
            for name, share in ({named: Fraction(1)} if named else share_of_yard).items():
                accounts.setdefault(name, Account()).add(one, share)
            place += 1

    for flow in flows:
        laid_until(flow.at)
        if flow.source in accounts:
            given.append(Given(flow, accounts[flow.source].total * flow.share))
            accounts[flow.source].give(accounts.setdefault(flow.target, Account()), flow.share)
    laid_until(None)
    return accounts, tuple(given)


def unsaid(found: Sequence[Cost], currency: str) -> tuple[str, ...]:
    """Sentences on the lines that stand in no sum."""
    said = [f"Line {one.line} has no money: {one.why}" for one in found if one.money is None]
    return (
        *said,
        *(
            f"Line {one.line} is in {one.currency}, not {currency}; it is in no sum."
            for one in found
            if one.money is not None and one.currency != currency
        ),
    )


@dataclass(frozen=True)
class TurnCost:
    """What one turn of a row came to: money of its turning lines over the turns they are for.

    each   None where no turn of it has a cost on record; recorded: turns that have one, of all `turns`
    """

    each: Money | None
    recorded: int
    turns: int


def turns_cost(
    found: Sequence[Cost], turns: Mapping[str, Sequence[int]], currency: str
) -> dict[str, TurnCost]:
    """By row with a turn, what a turn of it came to, by its lines with the task "turning".

    turns  the days of each row's turns
    The lines of a day are for the turns of that day; where there was none, for the newest turn before it that
    has none yet. Lines before any turn are for none. Turns without a line are never divided over.
    """
    spent: dict[str, dict[int, Money]] = {}
    for one in found:
        turning = one.row and one.task.casefold() == "turning"
        if turning and one.money is not None and one.currency == currency:
            by_day = spent.setdefault(one.row, {})
            by_day[one.day] = by_day.get(one.day, Fraction(0)) + one.money
    return {row: _turn_cost(spent.get(row, {}), sorted(days)) for row, days in turns.items() if days}


def _turn_cost(by_day: Mapping[int, Money], turns: Sequence[int]) -> TurnCost:
    recorded = {n for n, day in enumerate(turns) if day in by_day}
    money = Fraction(0)
    for day in sorted(by_day):
        if day not in turns:
            before = [n for n, turned in enumerate(turns) if turned < day and n not in recorded]
            if not before:
                continue
            recorded.add(before[-1])
        money += by_day[day]
    return TurnCost(money / len(recorded) if recorded else None, len(recorded), len(turns))

"""What a row, a lot and a year cost: work and goods used times their rates, shared out by mass."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from turnrow.yard import goods
from turnrow.yard.diary import Diary
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

    @property
    def total(self) -> Money:
        return sum(self.by_cost.values(), Fraction(0))


def costs(diary: Diary) -> tuple[Cost, ...]:
    """Every line of cost, in the order it happened: money as written, or amount times the rate in force.

    A rate for the machine or lab named goes before one for the kind of cost; a rate in another unit is none.
    """
    rates = [(event.at, what) for event, what in diary.all_events(goods.RateSet)]
    found = []
    for event, what in diary.all_events(goods.Spent):
        money, currency, why = _money(what, [rate for at, rate in rates if at <= event.at])
        line = event.line.number
        found.append(Cost(line, what.cost, what.task, what.row, what.lot, event.day, money, currency, why))
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


def carried(lot: str, accounts: Mapping[str, Account], parts: Mapping[str, Fraction]) -> dict[str, Money]:
    """Costs of a lot, by kind: its own, and of each thing it was made of the share that went into it.

    parts  by name ("row R7"), the share of that thing's matter that is in the lot, 0 to 1
    """
    total: dict[str, Money] = {}
    for name, share in (*parts.items(), (f"lot {lot}", Fraction(1))):
        if name in accounts:
            for kind, money in accounts[name].by_cost.items():
                total[kind] = total.get(kind, Fraction(0)) + money * share
    return total


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


def turns_cost(found: Sequence[Cost], turns: Mapping[str, int], currency: str) -> dict[str, Money]:
    """By row, what one turn of it came to: its lines with the task "turning" over its turns."""
    spent: dict[str, Money] = {}
    for one in found:
        if (
            one.row
            and one.task.casefold() == "turning"
            and one.money is not None
            and one.currency == currency
        ):
            spent[one.row] = spent.get(one.row, Fraction(0)) + one.money
    return {row: money / turns[row] for row, money in spent.items() if turns.get(row)}

"""All that a lot's page says, gathered: matter, standing, results, release, where it came from and went."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from turnrow.foreman.desk import Desk
from turnrow.foreman.growth import GrownLine, growth_tests
from turnrow.foreman.in_stock import InStock, densities, materials, stock
from turnrow.foreman.lot_family import lot_family
from turnrow.foreman.lots import lot_standing
from turnrow.foreman.stands import against_record
from turnrow.lots.ledger import assumed, unclosed
from turnrow.lots.moves import Account, Difference
from turnrow.lots.recall import Recall, recall
from turnrow.lots.row_balance import row_balance
from turnrow.lots.standing import Beside, Inherited
from turnrow.records.family import family
from turnrow.yard import goods
from turnrow.yard.entries import Line


@dataclass(frozen=True)
class LotLine:
    """A lot on the list of lots."""

    lot: str
    made: int  # the line
    material: str
    wet_t: float | None
    verdict: str
    beside: Beside
    out: str
    recalled: bool
    gone: bool


@dataclass(frozen=True)
class LotPage:
    """picture: SVG of its family; differences: every measurement of it beside the book; losses: of each row
    in it by weight and by ash, and what of that cannot be."""

    lot: str
    made: Line
    stock: InStock | None
    standing: Inherited
    picture: str
    recall: Recall
    differences: tuple[Difference, ...]
    open: tuple[str, ...]
    losses: tuple[str, ...]
    samples: tuple[tuple[Line, goods.Sampled], ...]
    results: tuple[tuple[Line, goods.LabResult], ...]
    grown: tuple[GrownLine, ...]
    released: tuple[tuple[Line, goods.Released], ...]
    recalled: tuple[tuple[Line, goods.Recalled], ...]
    tickets: tuple[tuple[Line, goods.LoadOut], ...]
    backs: tuple[tuple[Line, goods.LoadBack], ...]
    density: float | None
    against: tuple[tuple[str, tuple[int, ...]], ...] = ()  # releases that could not have been written


def lot_list(desk: Desk, now: datetime) -> tuple[LotLine, ...]:
    """Every lot there ever was, newest first."""
    lying = {one.lot: one for one in stock(desk, now)}
    released = {what.lot: what.how for _, what in desk.diary.all(goods.Released)}
    called = {what.lot for _, what in desk.diary.all(goods.Recalled)}
    kinds = materials(desk)
    found = []
    for lot in reversed(desk.lots.things("lot")):
        there, stood = lying.get(lot), lot_standing(desk, lot)
        found.append(
            LotLine(
                lot,
                desk.lots.nodes[desk.lots.nodes_of[Account("lot", lot)][0]].line,
                kinds.get(lot, "compost"),
                there.wet_t if there else 0.0,
                stood.verdict,
                stood.beside,
                released.get(lot, ""),
                lot in called,
                there is None,
            )
        )
    return tuple(found)


def lot_page(desk: Desk, lot: str, now: datetime) -> LotPage:
    """KeyError where the diary makes no such lot."""
    account = Account("lot", lot)
    node = desk.lots.nodes_of[account][0]
    samples = tuple(pair for pair in desk.diary.all(goods.Sampled) if pair[1].lot == lot)
    labels = {what.sample for _, what in samples}
    members, links = lot_family(desk, account)
    density = densities(desk, now).get(lot)
    tickets = tuple(pair for pair in desk.diary.all(goods.LoadOut) if pair[1].lot == lot)
    return LotPage(
        lot=lot,
        made=desk.diary.line(desk.lots.nodes[node].line),
        stock=next((one for one in stock(desk, now) if one.lot == lot), None),
        standing=lot_standing(desk, lot),
        picture=family(members, links, f"What lot {lot} was made of, and where it went."),
        recall=recall(desk.lots, account),
        differences=desk.lots.differences_of(account),
        open=_open(desk, account),
        losses=_losses(desk, account),
        samples=samples,
        results=tuple(
            pair for pair in desk.diary.all(goods.LabResult) if pair[1].lot == lot or pair[1].sample in labels
        ),
        grown=growth_tests(desk.diary, lot, labels),
        released=tuple(pair for pair in desk.diary.all(goods.Released) if pair[1].lot == lot),
        recalled=tuple(pair for pair in desk.diary.all(goods.Recalled) if pair[1].lot == lot),
        tickets=tickets,
        backs=backs(desk, {what.ticket for _, what in tickets}),
        density=None if density is None else float(density),
        against=releases_against(desk, lot),
    )


def backs(desk: Desk, tickets: Collection[str]) -> tuple[tuple[Line, goods.LoadBack], ...]:
    """What came back of loads out, by line."""
    return tuple(pair for pair in desk.diary.all(goods.LoadBack) if pair[1].ticket in tickets)


def releases_against(desk: Desk, lot: str = "") -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Releases, of a lot or of all, that stand against what was on record when they were written: a sentence
    with its line each."""
    found = []
    for line, what in desk.diary.all(goods.Released):
        wrongs = against_record(desk.then(line.number), line) if lot in ("", what.lot) else ()
        if wrongs:
            found.append(
                (
                    f"The release of lot {what.lot} in line {line.number} stands against what was on record "
                    f"when it was written: {' '.join(wrongs)} It is kept as given; judge the lot again.",
                    (line.number,),
                )
            )
    return tuple(found)


def _losses(desk: Desk, account: Account) -> tuple[str, ...]:
    """Of each row in a lot, oldest first."""
    said: list[str] = []
    back = desk.lots.tree.back(desk.lots.node_of[account])
    rows = dict.fromkeys(desk.lots.nodes[node].account for node in sorted(back))
    for row in (one for one in rows if one.kind == "row"):
        found = row_balance(desk.lots, row.name)
        said += [found.sentence(f"Row {row.name}"), *found.said]
    return tuple(said)


def _open(desk: Desk, account: Account) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.said for one in desk.lots.opens if one.account == account))


def not_closed(desk: Desk) -> Sequence[str]:
    """Everything on the yard that does not close."""
    return unclosed(desk.lots)


def taken_as_known(desk: Desk) -> Sequence[str]:
    """Every figure that was taken where the yard measured none, with where it is from."""
    return assumed(desk.lots)

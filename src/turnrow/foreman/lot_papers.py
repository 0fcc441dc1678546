"""From the desk to a lot's papers: gathers what they say and hands it to the records room."""

from turnrow.foreman.desk import Desk
from turnrow.foreman.inspector import answers
from turnrow.foreman.lot_analysis import lot_analysis
from turnrow.foreman.lot_page import lot_page
from turnrow.foreman.papers import head_seal
from turnrow.foreman.quality import LotQuality, lot_quality
from turnrow.foreman.stands import unproven
from turnrow.handbook.figures import use_figures
from turnrow.lots.moves import Account
from turnrow.lots.recall import Kin
from turnrow.records.lot_papers import LotPaper, RowInLot, share_of
from turnrow.records.row_picture import RowPicture, long_date
from turnrow.sales.book import products
from turnrow.sales.field import available_n
from turnrow.yard import goods
from turnrow.yard.entries import Amount
from turnrow.yard.temperature import Unit
from turnrow.yard.units import size


def lot_paper(desk: Desk, lot: str, unit: Unit = "C") -> LotPaper:
    """All a lot's papers say, as of the moment of the newest line, so that they print alike whenever they
    are printed. KeyError where the diary makes no such lot."""
    head = head_seal(desk)
    now = head.written
    found, quality = lot_page(desk, lot, now), lot_quality(desk, lot, now)
    stock = found.stock
    holds = (
        "All of it has gone." if stock is None
        else "It was never weighed." if stock.wet_t is None
        else f"{stock.wet_t:.3g} t of it lie there."
    )  # fmt: skip
    return LotPaper(
        yard=desk.diary.yard,
        head=head,
        zone=desk.zone,
        edition=desk.handbook.edition,
        lot=lot,
        made=found.made,
        holds=holds,
        inherited=found.standing,
        release=quality.release,
        classes=quality.classes,
        recall=found.recall,
        materials=_materials(desk, found.recall.loads),
        rows=_rows(desk, lot, unit),
        figures=quality.figures.counted,
        notes=quality.figures.notes,
        samples=found.samples,
        grown=found.grown,
        herbicide=quality.herbicide.sentences,
        released=found.released,
        recalled=found.recalled,
        tickets=found.tickets,
        backs=found.backs,
        gives=gives(quality),
        lost=() if (doubt := unproven(desk, lot, now)) is None else doubt.sentences,
        against=found.against,
        answers=tuple(
            (one.asked, one.sentence, one.lines)
            for one in answers(desk, lot, (figure.line for figure in quality.figures.counted))
        ),
        closes=(*(one.sentence() for one in found.differences), *found.open, *found.losses),
    )


def gives(quality: LotQuality) -> tuple[str, ...]:
    """What a tonne of the lot holds for a crop, in sentences; none without an analysis."""
    analysis, _ = lot_analysis(quality.figures.counted)
    if analysis is None:
        return ()
    dry, book, said = 1.0 - analysis.moisture, use_figures(), []
    if analysis.n_total is not None:
        first = available_n(analysis, book, raw=quality.release.can_be != "proven") * dry
        said.append(
            f"A tonne as it lies holds {analysis.n_total * dry:.2g} kg of nitrogen, about {first:.2g} kg "
            f"of it for the first crop (a short ton {_lb_ton(analysis.n_total * dry):.2g} and "
            f"{_lb_ton(first):.2g} lb)."
        )
    for name, much in (("P2O5", analysis.p2o5), ("K2O", analysis.k2o)):
        if much is not None:
            pounds = _lb_ton(much * dry)
            said.append(f"A tonne holds {much * dry:.2g} kg of {name} (a short ton {pounds:.2g} lb).")
    share = book["bed_share"].value
    said.append(f"In a bed, keep it to {share:g} % of the soil dug: {share / 5:g} cm in 20 cm.")
    return tuple(said)


def _lb_ton(kg_t: float) -> float:
    """Pounds in a short ton of what is so many kilograms in a tonne."""
    return kg_t * float(size("kg", "lb") / size("t", "ton"))


def labelled(desk: Desk, lot: str, product: str = "") -> tuple[str, Amount | None]:
    """(product, what one bag of it holds): the product named, else the one the lot was last bagged as."""
    bagged = [what.product for _, what in desk.diary.all(goods.Bagged) if what.lot == lot and what.product]
    name = product or (bagged[-1] if bagged else "")
    named = products(desk.diary).get(name)
    return name, named[1].bag if named else None


def _materials(desk: Desk, loads: tuple[Kin, ...]) -> tuple[tuple[str, float | None, tuple[int, ...]], ...]:
    """Loads of one material together, the largest share first."""
    groups: dict[str, list[Kin]] = {}
    for one in loads:
        name = one.account.name
        groups.setdefault(
            desk.lots.materials.get(name, name) if one.account.kind == "load" else name, []
        ).append(one)
    found = [
        (name, share_of([one.share for one in kin]), tuple(one.line for one in kin))
        for name, kin in groups.items()
    ]
    return tuple(sorted(found, key=lambda one: -(one[1] or 0.0)))


def _rows(desk: Desk, lot: str, unit: Unit) -> tuple[RowInLot, ...]:
    """Every row in the lot, drawn and judged up to the moment it was taken."""
    book = desk.lots
    node = book.node_of[Account("lot", lot)]
    shares = book.tree.back(node)
    found = []
    for up, share in shares.items():
        account = book.nodes[up].account
        if account.kind != "row" or account.name not in desk.diary.rows:
            continue
        taken = [
            child
            for child, _ in book.tree.children[up]
            if child in shares and book.nodes[child].account != account
        ]
        if not taken:
            continue
        at = book.nodes[taken[0]].at_s
        history = desk.diary.history(account.name).until(at)
        standing = desk.standing(account.name, at)
        picture = RowPicture.of(history, standing, desk.choice(account.name, at).rule, unit=unit)
        turns = tuple(dict.fromkeys(long_date(event.day) for event in history.turns))
        known = None if share != share else share
        ways = [book.nodes[child].account for child in taken]
        straight = any(one.kind == "screening" or one == Account("lot", lot) for one in ways)
        by = "" if straight else ways[0].said()
        found.append(
            RowInLot(
                account.name,
                known,
                picture,
                standing.standing,
                turns,
                book.nodes[taken[0]].line,
                standing.beside,
                by,
            )
        )
    return tuple(sorted(found, key=lambda one: one.line))

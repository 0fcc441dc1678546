"""What a line about lots, samples, sales or costs says, in a phrase."""

from collections.abc import Iterable

from turnrow.records.marks import amount_words
from turnrow.yard import goods
from turnrow.yard.entries import Amount

OWN_NAME = ("pH", "ratio")  # units that only say again what the number is


def saying(what: goods.Goods) -> str:
    if isinstance(what, goods.LotMade | goods.Screened | goods.RowSplit | goods.Weighed | goods.Bagged):
        return _matter(what)
    if isinstance(
        what, goods.Sampled | goods.LabResult | goods.QualityAsked | goods.Released | goods.Recalled
    ):
        return _judged(what)
    if isinstance(what, goods.GrowthTest):
        return _grown(what)
    return _trade(what)


def _matter(what: goods.LotMade | goods.Screened | goods.RowSplit | goods.Weighed | goods.Bagged) -> str:
    if isinstance(what, goods.LotMade):
        return f"lot {what.lot} made of {_shares(what.sources)}{_sized(what.amount)}"
    if isinstance(what, goods.Screened):
        fines = f"fines are lot {what.fines}{_sized(what.fines_amount)}"
        overs = f"; overs are lot {what.overs}{_sized(what.overs_amount)}" if what.overs else ""
        through = f" at {amount_words(what.opening)}" if what.opening else ""
        return f"{_shares(what.sources)} screened{through}: {fines}{overs}"
    if isinstance(what, goods.RowSplit):
        return f"a part of {what.row}{_sized(what.amount or what.length)} moved apart as {what.new}"
    if isinstance(what, goods.Weighed):
        thing = _thing(what.load, what.row, what.lot)
        wet = f" at {amount_words(what.moisture)} moisture" if what.moisture else ""
        return f"{thing} held {amount_words(what.amount)}{wet}, by {what.how}"
    return f"{what.bags} bags of {what.product} filled from lot {what.lot}{_sized(what.amount)}"


def _judged(
    what: goods.Sampled | goods.LabResult | goods.QualityAsked | goods.Released | goods.Recalled,
) -> str:
    if isinstance(what, goods.Sampled):
        to = f", sent to {what.sent_to}" if what.sent_to else ""
        places = _counted(what.increments, "place")
        return f"sample {what.sample} of {_thing('', what.row, what.lot)} from {places}{to}"
    if isinstance(what, goods.LabResult):
        named = (
            f"sample {what.sample}" if what.sample else _thing(what.load, what.row, what.lot, what.material)
        )
        found = "; ".join(result(one) for one in what.results[:8])
        more = f" and {len(what.results) - 8} more" if len(what.results) > 8 else ""
        return f"lab result on {named}{' by ' + what.lab if what.lab else ''}: {found}{more}"
    if isinstance(what, goods.QualityAsked):
        asked = [*what.limits, *(f"{scheme}: {word}" for scheme, word in what.maturity.items())]
        plan = f"; samples by {what.plan}" if what.plan else ""
        plan += "" if what.part_503 == "all" else f"; of Part 503: {what.part_503}"
        return f"asked of lots from here on: {', '.join(asked) or 'their heat alone'}{plan}"
    if isinstance(what, goods.Released):
        return f"lot {what.lot} released by {what.name} as {what.how} ({what.rule}: {what.verdict})"
    return f"lot {what.lot} called back: {what.reason}"


def _grown(what: goods.GrowthTest) -> str:
    thing = f"sample {what.sample}" if what.sample else _thing("", what.row, what.lot)
    up, control = (", ".join(map(str, pots)) for pots in (what.up, what.control_up))
    odd = "" if what.abnormal is None else f"; {_counted(what.abnormal, 'plant')} not as they should be"
    leaves = "" if what.leaves == "not looked at" else f"; leaves {what.leaves}"
    return (
        f"growth test of {thing} with {what.plant}: of {what.sown} seeds a pot {up} came up, "
        f"in the control {control}{odd}{leaves}"
    )


def _trade(
    what: goods.ProductNamed
    | goods.CustomerNamed
    | goods.Ordered
    | goods.LoadOut
    | goods.LoadBack
    | goods.Invoiced
    | goods.Spent
    | goods.RateSet,
) -> str:
    if isinstance(what, goods.ProductNamed):
        price = f" at {amount_words(what.price)}" if what.price else ""
        return f"product {what.product}{' is no longer sold' if what.ended else price}"
    if isinstance(what, goods.CustomerNamed):
        return f"customer {what.customer}{' buys no more' if what.ended else ''}"
    if isinstance(what, goods.Ordered):
        said = f"order {what.order}: {amount_words(what.amount)} of {what.product} for {what.customer}"
        return f"{said}, called off" if what.called_off else said
    if isinstance(what, goods.LoadOut):
        much = f"{amount_words(what.amount)}{', all that lay there,' if what.all else ''}"
        return f"load out {what.ticket}: {much} of lot {what.lot} to {what.customer}"
    if isinstance(what, goods.LoadBack):
        return f"{amount_words(what.amount)} of load out {what.ticket} came back" + _why(what.reason)
    if isinstance(what, goods.Invoiced):
        return f"invoice {what.invoice} to {what.customer} for {', '.join(what.tickets)}"
    if isinstance(what, goods.Spent):
        thing = _thing("", what.row, what.lot)
        of = f" of {what.what}" if what.what else ""
        parts = [amount_words(one) for one in (what.amount, what.money) if one]
        return f"{what.cost}: {', '.join(parts)}{of}{' for ' + thing if thing else ''}" + _why(what.task)
    return f"{what.what or what.cost} costs {amount_words(what.rate)}"


def _counted(count: int, of: str) -> str:
    return f"{count} {of}{'' if count == 1 else 's'}"


def result(one: goods.Result) -> str:
    """One figure of a lab sheet as it was typed."""
    return f"{one.analyte} {found(one)}"


def found(one: goods.Result) -> str:
    """The figure alone: "<10 MPN/g dry"."""
    sign = "<" if one.below else ">" if one.above else ""
    basis = f" {one.basis}" if one.basis else ""
    words = amount_words(one.amount)
    if one.amount.unit in OWN_NAME:  # pH 7.4, and C:N 14: a number without a unit
        words = words.removesuffix(f" {one.amount.unit}")
    return f"{sign}{words}{basis}"


def share(one: goods.Share) -> str:
    """A thing and how much of it was taken."""
    return f"{_thing(one.load, one.row, one.lot)}{_sized(one.amount)}"


def _thing(load: str, row: str, lot: str, material: str = "") -> str:
    if load:
        return f"load {load}"
    if row:
        return f"row {row}"
    return f"lot {lot}" if lot else material


def _shares(shares: Iterable[goods.Share]) -> str:
    return ", ".join(share(one) for one in shares)


def _sized(size: Amount | None) -> str:
    return f" ({amount_words(size)})" if size else ""


def _why(text: str) -> str:
    return f" ({text})" if text else ""

"""The sampling sheet from the desk: what a lot is, what it wants tested, how and when."""

from turnrow.foreman.desk import Desk
from turnrow.foreman.lot_figures import makers
from turnrow.foreman.papers import head_seal
from turnrow.foreman.quality import UNFOLLOWED, LotQuality, lot_quality
from turnrow.handbook.analytes import analytes
from turnrow.handbook.quality import sampling_plans, schemes
from turnrow.lots.moves import Account
from turnrow.quality.convert import figures_of
from turnrow.quality.sampling import composite
from turnrow.records.said import saying
from turnrow.records.sampling_sheet import SamplingPaper, Wanted
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Line
from turnrow.yard.goods import Sampled
from turnrow.yard.wrongs import refuse

USUAL = "any"
BY_THE_DIARY = ("curing days",)  # the diary counts these; no lab does


def sampling_paper(desk: Desk, lot: str) -> SamplingPaper:
    """All a lot's sampling sheet says, as the book stood when its newest line was written: the same book
    gives the same sheet. Refused for a lot the diary does not make."""
    made = {name: line for name, line, _, _ in makers(desk.diary)}
    if lot not in made:
        known = ", ".join(list(made)[:20]) or "none yet"
        raise refuse("the lot", lot, f"Give a lot of this diary: {known}.")
    if Account("lot", lot) not in desk.lots.node_of:
        raise refuse("the lot", lot, UNFOLLOWED)
    head = head_seal(desk)
    found = lot_quality(desk, lot, head.written)
    plans = sampling_plans()
    places, steps = composite(plans[found.asked.plan or USUAL], plans[USUAL])
    what = saying(made[lot].entry.what)
    return SamplingPaper(
        yard=desk.diary.yard,
        head=head,
        zone=desk.zone,
        lot=lot,
        made=f"{what[0].upper()}{what[1:]}.",
        made_lines=(made[lot].number,),
        due=found.due,
        open=_open(found),
        places=places,
        steps=steps,
        wanted=_wanted(found),
        taken=_taken(desk.diary, lot),
        herbicide=found.herbicide,
    )


def _open(found: LotQuality) -> str:
    """Why no day is told, where none is."""
    if found.due is not None or not found.asked.plan:
        return ""
    return next((ask.sentence for ask in found.release.asks if ask.what == "sampling"), "")


def _taken(diary: Diary, lot: str) -> tuple[tuple[Line, Sampled], ...]:
    return tuple((line, what) for line, what in diary.all(Sampled) if what.lot == lot)


def _wanted(found: LotQuality) -> tuple[Wanted, ...]:
    """Everything the yard's limit sets and schemes ask of a lot, each once, with who asks it."""
    asked: dict[str, list[str]] = {}
    for judged in found.judged:
        for one in judged.each:
            asked.setdefault(one.analyte, []).append(judged.set.name)
    for name in found.asked.maturity:
        for ladder in schemes()[name].ladders:
            asked.setdefault(ladder.analyte, []).append(name)
    return tuple(
        Wanted(
            name,
            {"C": "°C"}.get(analytes()[name].unit, analytes()[name].unit),
            analytes()[name].basis,
            "; ".join(dict.fromkeys(why)),
            bool(figures_of(name, found.figures.counted)),
        )
        for name, why in asked.items()
        if name not in BY_THE_DIARY
    )

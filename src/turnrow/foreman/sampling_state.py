"""When the yard's next sample is due: what it made and took in, from the ledger, held against its plan."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction

from turnrow.handbook.quality import SamplingPlan, sampling_plans
from turnrow.lots.ledger import Ledger
from turnrow.quality.sampling import YEAR, Due, Made, plan, unit_of
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import of_kind

CUBIC, TONNES = of_kind("volume"), of_kind("mass")  # m3, t
USUAL = "any"


def sampling_state(diary: Diary, book: Ledger, name: str, now: datetime) -> Due | str:
    """The next sample under the plan of that name, or a sentence on why that cannot be told."""
    rule, usual = sampling_plans()[name], sampling_plans()[USUAL]
    today = now.astimezone(diary.zone).date()
    counted = _counted(diary, book, rule)
    if isinstance(counted, str):
        return counted
    last = max((at for at, what in _samples(diary) if what.plan in ("", name)), default=None)
    began = min((at for at, _ in counted), default=today)
    year = sum((much for at, much in counted if today - timedelta(days=YEAR) < at <= today), Fraction(0))
    since = sum((much for at, much in counted if at <= today and (last is None or at > last)), Fraction(0))
    return plan(rule, usual, Made(year, since), last, began, today)


def _samples(diary: Diary) -> Iterator[tuple[date, goods.Sampled]]:
    for line, what in diary.all(goods.Sampled):
        yield line.entry.happened.astimezone(diary.zone).date(), what


def _counted(diary: Diary, book: Ledger, rule: SamplingPlan) -> list[tuple[date, Fraction]] | str:
    """(day, amount in the plan's own unit) of all that was made or taken in."""
    unit = unit_of(rule)
    if unit.startswith("yd3 made"):
        return _volumes(diary, rule)
    found, unknown = [], []
    for move in book.moves:
        gains = [one for one in move.postings if one.wet > 0 or one.dry > 0]
        from_row = any(one.account.kind == "row" for one in move.postings if one not in gains)
        if unit.startswith("t input"):
            much = sum(one.wet for one in gains if one.account.kind in ("load", "material"))
            part = "wet" if any(one.account.kind in ("load", "material") for one in move.postings) else ""
        else:
            much = sum(one.dry for one in gains if one.account.kind in ("lot", "screening") and from_row)
            kinds = {one.account.kind for one in move.postings}
            part = "dry" if "row" in kinds and kinds & {"lot", "screening"} else ""
        if part and part in move.unknown:
            unknown.append(move.line)
        elif much > 0:
            size = TONNES["ton"] if "short tons" in unit else Fraction(1)
            day = date.fromordinal(days.day_of(move.at_s, diary.zone))
            found.append((day, Fraction(round(much * MICRO), MICRO) / size))
    if unknown:
        lines = ", ".join(str(line) for line in dict.fromkeys(unknown[:10]))
        return f"{rule.name} counts {unit}; the diary does not tell that of all it moved (lines {lines})."
    return found


def _volumes(diary: Diary, rule: SamplingPlan) -> list[tuple[date, Fraction]] | str:
    found, unknown = [], []
    for line, what in diary.all(goods.LotMade):
        if not any(share.row for share in what.sources):
            continue
        size = what.amount
        if size is None or size.unit not in CUBIC:
            unknown.append(line.number)
            continue
        yards = Fraction(size.value, MICRO) * CUBIC[size.unit] / CUBIC["yd3"]
        found.append((line.entry.happened.astimezone(diary.zone).date(), yards))
    if unknown:
        lines = ", ".join(map(str, unknown[:10]))
        return f"{rule.name} counts cubic yards made; write the volume of the lots of lines {lines}."
    return found

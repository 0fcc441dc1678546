"""A growth test from the fields of a form: a count for each pot, of compost and of control."""

import re
from datetime import date, datetime

from turnrow.gate import amounts
from turnrow.gate.amounts import amount
from turnrow.gate.fields import Fields
from turnrow.gate.goods import lot_of
from turnrow.gate.names import name_wrong, near
from turnrow.yard import days, goods
from turnrow.yard.entries import Amount, What

LEAVES: tuple[goods.Leaves, ...] = ("not looked at", "sound", "cupped or twisted")
MOST_POTS, MOST_SOWN, LONGEST_DAYS = 60, 1000, 365


def growth_test(f: Fields, when: datetime) -> What:
    sown = f.whole("sown", "seeds in every pot", 1, MOST_SOWN, needed=True)
    up = _counts(f, "up", "seedlings up in each pot of compost: 9 8 10", sown)
    control = _counts(f, "control_up", "seedlings up in each pot of the control: 10 9 10", sown)
    if control and not any(control):
        f.wrong("control_up", "nothing came up", "A control of nothing says nothing: sow the test again.")
    weights = _weights(f, "weights", "tops of each pot of compost: 12.5 11 13 g", len(up))
    beside = _weights(f, "control_weights", "tops of each pot of the control: 13 12.5 14 g", len(control))
    if bool(weights) != bool(beside):
        lacking = "control_weights" if weights else "weights"
        f.wrong(lacking, "nothing", "Weigh compost and control alike, or neither.")
    if beside and not any(one.value for one in beside):
        f.wrong("control_weights", "nothing", "A control of nothing says nothing: sow the test again.")
    abnormal = f.whole("abnormal", "plants not as they should be, in all pots of compost", 0, 60_000)
    leaves = f.choice("leaves", LEAVES, "not looked at")
    sample, row, lot = _of(f, when)
    return goods.GrowthTest(
        plant=f.text("plant", "what was sown: cress, tomato, beans", needed=True, longest=40),
        sown=sown,
        up=up,
        control_up=control,
        weights=weights,
        control_weights=beside,
        abnormal=abnormal if f.has("abnormal") else None,
        leaves=next(one for one in LEAVES if one == leaves),
        sample=sample,
        row=row,
        lot=lot,
        sampled=_sampled(f, when),
        grown=f.whole("grown", "days from sowing to counting", 0, LONGEST_DAYS),
        mix=f.text("mix", "what the pots of compost held", longest=80),
        control=f.text("control", "what the control held", longest=80),
    )


def _counts(f: Fields, name: str, holds: str, sown: int) -> tuple[int, ...]:
    """Whole numbers, a pot each; none above what was sown."""
    found = []
    for one in filter(None, re.split(r"[,;\s]+", f.text(name, holds, needed=True))):
        if not re.fullmatch(r"[0-9]{1,4}", one) or int(one) > sown > 0:
            f.wrong(name, one, f"Write a whole number for each pot, 0 to the {sown or 'number'} sown.")
        else:
            found.append(int(one))
    if len(found) > MOST_POTS:
        f.wrong(name, f"{len(found)} pots", f"Write {MOST_POTS} at most.")
    return tuple(found)


def _weights(f: Fields, name: str, holds: str, pots: int) -> tuple[Amount, ...]:
    """Weights of pots with one unit behind the last; a comma is a decimal sign, as blanks part them."""
    text = f.text(name, holds)
    parts = text.replace(";", " ").split()
    unit = parts.pop() if parts and not re.search(r"[0-9]", parts[-1]) else ""
    read = [amount(f"{part} {unit}".strip(), amounts.SAMPLES) for part in parts]
    said = [(part, one) for part, one in zip(parts, read, strict=True) if isinstance(one, str)]
    for part, do in said[:1]:
        f.wrong(name, part, f"{do} For example: {holds.partition(': ')[2]}.")
    found = tuple(one for one in read if isinstance(one, Amount))
    if text and not said and len(found) != pots:
        f.wrong(name, f"{len(found)} weights", f"Write one for each of the {pots} pots counted.")
    return found


def _of(f: Fields, when: datetime) -> tuple[str, str, str]:
    """(sample, row, lot): just one is told; a sample's own row or lot is its."""
    taken = {what.sample: (line, what) for line, what in f.diary.all(goods.Sampled)}
    told = [name for name in ("sample", "row", "lot") if f.has(name)]
    sample = f.named("sample", "the sample's label, where the yard took it")
    row = f.row(needed=False)
    lot = lot_of(f, needed=False)
    if len(told) != 1:
        f.wrong("lot", ", ".join(told) or "nothing", "Name just one of sample, row, lot.")
    elif sample and not name_wrong(sample):
        if sample not in taken:
            f.wrong("sample", sample, f"No such sample. {near(sample, sorted(taken))}")
        elif when.date() < taken[sample][0].entry.happened.astimezone(f.zone).date():
            said = f"Line {taken[sample][0].number} took it later; see both days."
            f.wrong("happened", when.isoformat(), said)
    return sample, row, lot


def _sampled(f: Fields, when: datetime) -> date | None:
    day = f.day("sampled", "the day the compost was taken")
    if day and day.toordinal() > days.day_of(days.seconds(when), f.zone):
        f.wrong("sampled", day.isoformat(), "A test is not older than its sample; look at both days.")
    return day

"""A temperature held without interruption, for a stated time or one that an equation gives."""

from decimal import Decimal, localcontext

import numpy as np

from turnrow.handbook.rules import Held, HeldByEquation
from turnrow.sanitation.facts import Facts, minutes_fact
from turnrow.sanitation.found import Found, bracket
from turnrow.sanitation.record import Record
from turnrow.yard.numbers import MICRO, plain
from turnrow.yard.temperature import NINTH, from_ninths

UNREAD = "Nothing was read: unread is neither hot nor cold."
PARTS = 4  # a log must read at least so often within the time to be held
LEAST_THIN = Decimal("0.25")  # 15 s in minutes, the shortest hold of the thin equation's clause
THIN_SPLIT = 30  # minutes from which the thin equation is used


def judge(proof: Held, record: Record, facts: Facts) -> Found:
    """By the minutes given as a fact, else by a log read at least every quarter of that time."""
    name = minutes_fact(proof.limit)
    said = facts.numbers.get(name, facts.numbers.get("minutes_unbroken"))
    if said is not None:
        enough = said >= proof.minutes * MICRO
        short = f"{plain(proof.minutes * MICRO - said)} minutes unbroken ({plain(said)} of {proof.minutes})"
        return Found(
            bracket(enough, enough),
            short_of=() if enough else (short,),
            because=(
                f"{plain(said)} minutes unbroken were given as a fact ({proof.limit.words()}); "
                "keep the log they rest on.",
            ),
        )
    if not len(record.readings):
        ask = f"fact {name}: say the minutes unbroken, or give the log"
        return Found("NOT_PROVEN", short_of=(ask,), because=(UNREAD,))
    series = record.series
    fits = series.fits(proof.limit)
    most = proof.minutes * 60 // PARTS
    proven = int(series.spans(series.held(fits, most, both=True)).seconds.max(initial=0)) // 60
    able = int(series.best_spans(series.fits(proof.limit, best=True)).seconds.max(initial=0)) // 60
    verdict = bracket(proven >= proof.minutes, able >= proof.minutes)
    short = f"{proof.minutes - proven} minutes unbroken ({proven} of {proof.minutes})"
    return Found(
        verdict,
        short_of=() if verdict == "PASS" else (short,),
        because=(
            f"{proven} minutes unbroken are proven by the readings ({proof.limit.words()}), taking time "
            f"between two such readings at most {most // 60} minutes apart, at every station.",
        ),
    )


def equation(proof: HeldByEquation, record: Record, facts: Facts) -> Found:
    """D = a / 10^(b t) days, t the lowest reading [°C]; time at a varying temperature is not added
    up, which is practice and not in the text."""
    missing = [n for n in ("solids_pct", "minutes_held") if n not in facts.numbers]
    if not len(record.readings):
        return Found(
            "NOT_PROVEN",
            short_of=("readings",),
            because=(UNREAD,),
        )
    heat = int(np.min(record.readings.heat))
    lowest = from_ninths(heat, "C", 2)
    if not proof.floor.holds(np.array([heat]))[0]:
        short = f"the lowest reading {lowest}; the text wants {proof.floor.words()}"
        return Found("FAIL", short_of=(short,), because=(f"The lowest reading is {lowest}.",))
    if missing:
        return Found(
            "NOT_PROVEN",
            short_of=tuple(f"fact {n}: say {n}" for n in missing),
            because=(f"The lowest reading is {lowest}.",),
        )
    held = Decimal(facts.numbers["minutes_held"]) / MICRO
    thin = facts.numbers["solids_pct"] < proof.solids_pct * MICRO
    a, least = proof.a, Decimal(proof.least_minutes)
    if thin:
        long = held >= proof.least_minutes_thin
        a, least = (proof.a_thin, Decimal(proof.least_minutes_thin)) if long else (proof.a, LEAST_THIN)
    need = max(_minutes(a, proof.b_ten_thousandths, heat), least)
    enough = held >= need
    share = plain(facts.numbers["solids_pct"])
    return Found(
        bracket(enough, enough),
        short_of=() if enough else (f"{need - held:.2f} minutes held ({held.normalize():f} of {need:.2f})",),
        because=(
            f"At {lowest}, the lowest reading, and {share} % solids the equation asks {need:.2f} minutes; "
            f"{held.normalize():f} were given as held.",
        ),
    )


def _minutes(a: int, b_ten_thousandths: int, heat: int) -> Decimal:
    """a / 10^(b t) days in minutes, to 40 digits; `heat` in ninths of a millionth °C."""
    with localcontext() as context:
        context.prec = 40
        power = Decimal(b_ten_thousandths) * Decimal(heat) / (10_000 * NINTH)
        return Decimal(a) * 1440 / Decimal(10) ** power

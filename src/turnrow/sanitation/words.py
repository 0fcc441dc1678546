"""Reasons and shortages in plain sentences."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from turnrow.handbook.rules import HotDays
from turnrow.sanitation.cells import Cells
from turnrow.sanitation.counts import Counts
from turnrow.sanitation.found import Found, counted, listed
from turnrow.sanitation.record import Record
from turnrow.sanitation.worlds import COLD, HOT, UNKNOWN, Days
from turnrow.yard import days as calendar
from turnrow.yard.days import HOUR_S
from turnrow.yard.temperature import Limit, Unit, from_ninths

MOST = 4  # days named before "and so many more"


def date(day: int, cells: Cells) -> str:
    """A day of the record, with its year where the record is so long that it could be another's."""
    return calendar.short_date(day, year=cells.days >= calendar.HALF_A_YEAR)


def short_of(
    proof: HotDays, found: Found, days: int, lacks: tuple[str, ...], policies: Mapping[str, str]
) -> tuple[str, ...]:
    """What is missing, one phrase each: "1 hot day in a row (14 of 15)"."""
    row = " in a row" if policies["continuity"] == "consecutive" else " in all"
    kind = "whole day of 24 h" if policies["day"] == "elapsed" else "hot day"
    more = counted(proof.days - days, kind, kind.replace("day", "days", 1))
    phrases = {
        "days": f"{more}{row} ({days} of {proof.days})",
        "turns": f"{counted(proof.turns - found.turns, 'turn')} ({found.turns} of {proof.turns})",
        "mean": f"a mean over those days: {proof.mean.words() if proof.mean else ''}",
        "peak": f"{proof.peak_hours} hours of those days: {proof.peak.words() if proof.peak else ''}",
        "over": f"days at or under the upper limit: {proof.upper.words() if proof.upper else ''}",
    }
    return tuple(phrases[name] for name in lacks)


def because(
    proof: HotDays,
    record: Record,
    found: Found,
    days: Days,
    over: NDArray[np.bool_],
    policies: Mapping[str, str],
    counts: Counts,
) -> tuple[str, ...]:
    if not len(record.readings):
        return ("Nothing was read: unread is neither hot nor cold.",)
    said = [_days(found, proof.limit, policies)]
    said += temperatures(record.cells, days, proof.limit)
    if over.any():
        first = record.cells.first
        named = listed([date(first + k, record.cells) for k in np.flatnonzero(over).tolist()], MOST)
        what = "disqualifies the record" if policies["over_limit_day"] == "disqualifies" else "is not counted"
        assert proof.upper is not None
        said.append(f"A day over the upper limit ({proof.upper.words()}) {what}: {named}.")
    if proof.turns:
        said.append(_turns(proof, found, record.cells, policies, counts))
    if policies["day"] == "elapsed":
        said.append(
            "Time counts between two hot readings no more than 36 h apart by hand or 2 h by logger, "
            "so n daily readings prove (n - 1) x 24 h."
        )
    if proof.peak is not None:
        said.append(
            "Peak hours count between two readings at most 2 h apart that both satisfy: one reading a "
            "day can never prove them."
        )
    if len(record.cells.stations) > 1:
        by_mean = record.cells.hot_by_mean(proof.limit, proof.upper)
        if by_mean > found.hot_days:
            said.append(
                f"By the mean of the stations {counted(by_mean, 'day')} would be hot; every part counts, "
                "so the coldest station decides."
            )
    return tuple(said)


def _days(found: Found, limit: Limit, policies: Mapping[str, str]) -> str:
    how = {
        "consecutive": "counted in a row; a day that is not hot or not known breaks the run",
        "cumulative": "counted in all; a day that is not hot or not known is left out",
    }[policies["continuity"]]
    return (
        f"{counted(found.hot_days, 'day')} proven hot ({limit.words()}), "
        f"the longest run {counted(found.longest, 'day')}; {how}."
    )


def _turns(proof: HotDays, found: Found, cells: Cells, policies: Mapping[str, str], counts: Counts) -> str:
    text = f"{counted(found.turns, 'turn')} counted"
    if not proof.turns_inside:
        text += ", wherever in the process"
    elif found.run is not None:
        text += f" from {date(found.run[0], cells)} to {date(found.run[1], cells)}"
    how = policies.get("turn_count", "visit")
    if how == "recovery":
        text += f"; one a day, with every station hot again within {counted(counts.recovery_days, 'day')}"
    elif how == "visit":
        text += f"; passes within {counts.visit_s / HOUR_S:g} h of the first, or of one day where a time is "
        text += "not known, are one turn"
    else:
        text += "; every pass counts"
    if proof.spacing_days:
        text += f"; those at least {counted(proof.spacing_days, 'calendar day')} after the one before"
    return text + "."


def temperatures(cells: Cells, days: Days, limit: Limit) -> list[str]:
    """Which days were cold and by what reading; which are not known and why.

    days  the cells under that limit
    """
    if limit.unit not in days.said:
        days.said[limit.unit] = _temperatures(cells, days, limit)
    return days.said[limit.unit]


def _temperatures(cells: Cells, days: Days, limit: Limit) -> list[str]:
    hot, said = days.hot, []
    seen = np.flatnonzero(hot == HOT)
    after = int(seen[0]) if len(seen) else 0
    low = (cells.read & ~limit.holds(cells.coldest)).any(axis=1)
    cold = [k for k in np.flatnonzero((hot == COLD) & low).tolist() if k >= after]
    if cold:
        each = [_coldest(cells, k, limit) for k in cold[:MOST]]
        said.append(f"Not hot: {listed(each, MOST, len(cold))}.")
    unknown: list[int] = np.flatnonzero(hot == UNKNOWN).tolist()
    if unknown:
        each = [_unread(cells, k, limit.unit) for k in unknown[:MOST]]
        said.append(f"Neither hot nor cold: {listed(each, MOST, len(unknown))}.")
    return said


def _coldest(cells: Cells, k: int, limit: Limit) -> str:
    """The lowest reading of a cold day, to as many decimals as show it apart from the limit."""
    lowest = np.where(cells.count[k] > 0, cells.coldest[k], np.iinfo(np.int64).max)
    place = int(lowest.argmin())
    shown = _apart(int(lowest[place]), limit)
    name = cells.stations[place]
    return f"{date(cells.first + k, cells)} ({shown}{f' at station {name}' if name else ''})"


def _unread(cells: Cells, k: int, unit: Unit) -> str:
    missing = cells.unread(k)
    day = date(cells.first + k, cells)
    if not cells.count[k].any():
        return f"{day} (nothing read)"
    alone = cells.lone[k] & cells.asked
    if missing or not alone.any():
        return f"{day} (station {listed(missing, 3)} not read)"
    place = int(alone.argmax())
    name = cells.stations[place]
    heat = from_ninths(int(cells.hottest[k, place]), unit)
    where = f" at station {name}" if name else ""
    return f"{day} ({heat}{where} once, so hot that it needs a second reading)"


def _apart(heat: int, limit: Limit) -> str:
    """A reading with as many decimals as it takes to look different from the limit."""
    for decimals in range(1, 6):
        shown = from_ninths(heat, limit.unit, decimals)
        if shown != from_ninths(limit.ninths, limit.unit, decimals):
            return shown
    return from_ninths(heat, limit.unit, 6)

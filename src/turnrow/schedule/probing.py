"""When a row is probed: never read, read too long ago, a round due, a station missed or doubted."""

from collections.abc import Sequence

from turnrow.handbook.rules import Rule
from turnrow.sanitation.probe_faults import BATHS, FOR_EVER, Fault, bath_of
from turnrow.sanitation.standing import Standing
from turnrow.schedule.agreed import SHUT
from turnrow.schedule.evidence import wanted
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import NONSENSE, UNIT, Seen
from turnrow.schedule.words import advice, ago, count, listed, many
from turnrow.yard import days
from turnrow.yard.entries import Advice, ProbeChecked
from turnrow.yard.history import Event, History

WHY_ROUND = (
    "Nobody can see the heat inside a row. What was not read is neither hot nor cold for the rule, and a "
    "fire begins unseen. Stand upwind of the steam, and do not climb the row."
)
WHY_AGAIN = (
    "A probe can be broken, badly pushed in, or read too soon. One reading with another probe tells whether "
    "it is the heap or the instrument."
)
WHY_STATIONS = "Each reading speaks for the piece of row around it; the longer the row the more it takes."
WHY_CHECK = (
    "A probe that is two degrees wrong makes every day it read wrong. Ice water is 0 °C; boiling water is "
    "100 °C at sea level and less on a hill."
)


def probing(
    seen: Seen, history: History, rule: Rule | None, standing: Standing, limits: Limits
) -> Advice | None:
    """The row's reading of today: one job, every reason for it in its sentences."""
    row, urgent, said = seen.row, False, list[str]()
    nonsense = [spot for spot in seen.spots if spot.suspect in NONSENSE]
    doubted = [spot for spot in seen.spots if spot.suspect and spot.suspect not in NONSENSE]
    if not seen.spots:
        since = f" since it was built on {days.short_date(history.built[0].day)}" if history.built else ""
        lines = [history.built[0].line.number if history.built else history.last_line]
        text = f"Probe row {row} first: nothing has been read{since}, so nothing can be said of its heat."
        return advice(
            row,
            "probe",
            text + _stations(seen, history, rule, standing, limits),
            WHY_ROUND,
            lines,
            urgent=True,
        )
    assert seen.read_day is not None
    due = seen.age >= seen.every
    if nonsense:
        urgent = True
        names = listed(dict.fromkeys(spot.station for spot in nonsense))
        how = "and look at the unit" if nonsense[0].suspect == UNIT else "with another probe"
        said.append(
            f"Read station {names} of row {row} again, {how}, before anything else: "
            f"{nonsense[0].sentence.rstrip('.')}. {SHUT}"
        )
    if seen.stale:
        urgent = True
        last = seen.hottest or seen.spots[0]
        said.append(
            f"Probe row {row} today: its last reading, {last.words}, was {ago(seen.read_day, seen.today)} "
            "and says nothing of today."
        )
    elif due:
        every = "every day" if seen.every == 1 else f"every {count(seen.every)} days"
        turned = " and it was turned since" if seen.after_turn else ""
        said.append(
            f"Probe row {row} today: last read {ago(seen.read_day, seen.today)}{turned}, and a round is due "
            f"{every}."
        )
    if seen.missing:
        names = listed(seen.missing)
        tail = "it was passed over" if len(seen.missing) == 1 else "they were passed over"
        said.append(
            f"Read station {names} of row {row}: {tail} in the round of {ago(seen.read_day, seen.today)}."
        )
    if doubted:
        hottest = max(doubted, key=lambda spot: spot.heat)
        urgent = urgent or hottest.heat >= limits.heat("turn_limit").ninths
        names = listed(dict.fromkeys(spot.station for spot in doubted))
        said.append(
            f"Read station {names} of row {row} again, by hand and with another probe: "
            f"{hottest.sentence.rstrip('.')}."
        )
    few = _stations(seen, history, rule, standing, limits)
    if few and not said:
        return advice(row, "probe", few.strip(), WHY_STATIONS, seen.read_lines, key="stations")
    if not said:
        return None
    why = WHY_AGAIN if (nonsense or doubted) and not due else WHY_ROUND
    return advice(row, "probe", " ".join(said) + few, why, seen.read_lines, urgent=urgent)


def _stations(seen: Seen, history: History, rule: Rule | None, standing: Standing, limits: Limits) -> str:
    """Too few stations for the row's length or volume; "" where there are enough or it is not known."""
    need = wanted(history, rule, standing, limits)
    have = len(history.stations)
    if need is None or have >= need.stations:
        return ""
    return (
        f" Row {seen.row} has {many(have, 'station')} and needs {count(need.stations)}: {need.why}. Mark the "
        "others and read them too."
    )


def probe_checks(
    used: dict[str, int],
    checks: list[tuple[Event, ProbeChecked]],
    wrong: Sequence[Fault],
    limits: Limits,
    today: int,
) -> list[Advice]:
    """Calibration due, one job a probe, ice water and boiling water each; first of a probe that failed.

    used  probes in use, each with the newest line that names it; wrong  probes known to be off
    """
    newest = {(what.probe, bath_of(what)): event for event, what in checks}
    failing = {fault.probe: fault for fault in wrong if fault.until == FOR_EVER}
    every = limits.days("probe_check_days")
    due = []
    for probe, line in sorted({**dict.fromkeys(failing, 0), **used}.items()):
        if probe in failing:
            due.append(_failed(probe, failing[probe], limits))
            continue
        last = {bath: newest.get((probe, bath)) for bath in BATHS}
        late = [bath for bath, event in last.items() if event is None or today - event.day >= every]
        if not late:
            continue
        known = [event for event in last.values() if event]
        event = max(known, key=lambda one: one.day, default=None)
        since = f"last checked {ago(event.day, today)}" if event else "no check of it is written down"
        if known and len(late) == 1:
            since += f", and in {late[0]} {_when(last[late[0]], today)}"
        text = (
            f"Check probe {probe} in {' and in '.join(late)}: {since}, and it is due every "
            f"{many(every, 'day')}. Each check is an entry of its own."
        )
        due.append(_check(probe, text, [line, *(one.line.number for one in known)], urgent=False))
    return due


def _when(event: Event | None, today: int) -> str:
    return "never" if event is None else ago(event.day, today)


def _failed(probe: str, fault: Fault, limits: Limits) -> Advice:
    text = (
        f"Do not use probe {probe}: it {fault.said}, and {limits.words('probe_off')} is allowed. What it "
        f"read since its last good check in {fault.bath} is not counted. Read those rows again with another "
        f"probe; mend or replace it, then check it in {fault.bath} again."
    )
    return _check(probe, text, [fault.line], urgent=True)


def _check(probe: str, text: str, lines: list[int], *, urgent: bool) -> Advice:
    because = tuple(sorted({line for line in lines if line}))
    return Advice(
        key=f"probe {probe} check",
        row="",
        job="check probe",
        text=text,
        why=WHY_CHECK,
        because=because,
        urgent=urgent,
    )

"""When a row is probed: never read, read too long ago, a round due, a station missed or doubted."""

from turnrow.handbook.rules import Rule
from turnrow.sanitation.standing import Standing
from turnrow.schedule.evidence import wanted
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import NONSENSE, Seen
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
        said.append(
            f"Read station {names} of row {row} again with another probe before anything else: "
            f"{nonsense[0].sentence.rstrip('.')}. Until then nobody opens the row."
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
    used: dict[str, int], checks: list[tuple[Event, ProbeChecked]], limits: Limits, today: int
) -> list[Advice]:
    """Calibration due, one job a probe. `used`: probes in use, each with the newest line that names it."""
    newest = {what.probe: event for event, what in checks}
    every = limits.days("probe_check_days")
    due = []
    for probe, line in sorted(used.items()):
        last = newest.get(probe)
        if last and today - last.day < every:
            continue
        since = f"last checked {ago(last.day, today)}" if last else "no check of it is written down"
        text = (
            f"Check probe {probe} in ice water and in boiling water: {since}, and it is due every "
            f"{many(every, 'day')}."
        )
        lines = [line, *([last.line.number] if last else [])]
        due.append(
            Advice(
                key=f"probe {probe} check",
                row="",
                job="check probe",
                text=text,
                why=WHY_CHECK,
                because=tuple(sorted(lines)),
            )
        )
    return due

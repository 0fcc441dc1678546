"""What `turnrow outlook` is asked and given; every refusal at once."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from turnrow.gate.clock import clock
from turnrow.gate.event_file import read_events
from turnrow.gate.file_bytes import file_bytes
from turnrow.gate.files import read_temperatures
from turnrow.gate.heap_described import Described, read_described
from turnrow.gate.numbers_in import unit_code
from turnrow.heap.bare.log import BareLog, Doubt, bare_log
from turnrow.heap.bare.screen import FIRE_C, as_fahrenheit
from turnrow.heap.bare.taken import at_place, celsius_of, depths_swapped, hours_from, places
from turnrow.yard import days
from turnrow.yard.numbers import MICRO
from turnrow.yard.readings import NO_DEPTH, Readings, none
from turnrow.yard.temperature import UNITS
from turnrow.yard.wrongs import Refusal, Refused, refuse, shown

FURTHEST_H = 336.0  # two weeks
LONGEST_DAYS = 800
MOST_HORIZONS = 50
MOST_ORIGINS = 20_000
COOL_C, WARM_TYPED = 27.0, 40.0  # a log in °F that stays cool, its numbers those of a hot heap in °C
Answer = TypeVar("Answer")


@dataclass(frozen=True)
class Asked:
    """The options as values; wrong: what is refused in them, told together with what is in the files."""

    at: str
    horizons: tuple[float, ...]
    step_h: float | None  # of a backtest
    unit: str
    depth_mm: int | None
    wrong: tuple[Refusal, ...]


@dataclass(frozen=True, eq=False)
class Taken:
    """The log and all that came with it. start: seconds UTC of hour 0; origins: hours; looked: the hour up to
    which its readings are looked at; zoned: whether its times carry an offset; series: the readings looked
    at; every: those of all places; turned: seconds of the turns logged; built: seconds of the build, where
    told; described: the heap, where its size is told."""

    log: BareLog
    start: int
    origins: tuple[float, ...]
    looked: float
    zone: ZoneInfo
    zoned: bool
    series: Readings
    every: Readings
    turned: NDArray[np.int64]
    built: int | None
    described: Described | None
    notices: tuple[str, ...]


def asked_of(at: str, horizons: str, backtest: str, unit: str, depth_cm: str) -> Asked:
    """The options as values."""
    wrong: list[Refusal] = []
    ahead: list[float] = []
    for text in horizons.split(","):
        hours = _number(text)
        if hours is None or not 0 < hours <= FURTHEST_H:
            wrong.append(Refusal("--horizons", shown(text), "Write hours above 0, to 336, such as 6,24,48."))
        else:
            ahead.append(hours)
    if len(ahead) > MOST_HORIZONS:
        wrong.append(Refusal("--horizons", str(len(ahead)), f"Ask for {MOST_HORIZONS} at most."))
    step = None
    if backtest:
        step = _number(re.sub(r"\s*h$", "", backtest.strip()))
        if step is None or not 1 <= step <= FURTHEST_H:
            wrong.append(Refusal("--backtest", shown(backtest), "Write how often, such as 12h (1 to 336)."))
        if at:
            wrong.append(Refusal("--at", shown(at), "Give --at or --backtest, not both."))
    code = unit_code(unit)
    if code is None:
        wrong.append(Refusal("--unit", shown(unit), "Write C, F or K."))
    depth = _number(depth_cm) if depth_cm else None
    if depth_cm and (depth is None or not 0 <= depth <= 1000):
        wrong.append(Refusal("--depth-cm", shown(depth_cm), "Write centimetres along the probe."))
    mm = None if depth is None else round(depth * 10)
    return Asked(at.strip(), tuple(dict.fromkeys(ahead)), step, UNITS[code or 0], mm, tuple(wrong))


def _number(text: str) -> float | None:
    found = re.fullmatch(r"\d{1,5}(\.\d{1,6})?", text.strip())
    return float(found[0]) if found else None


def take(log: str, events: str, air: str, heap: str, zone: str, station: str, asked: Asked) -> Taken:
    """Read the files. Refused with everything that is wrong in any of them, and in what was asked."""
    wrong = [*asked.wrong]
    notices: list[str] = []
    if not log:
        wrong.append(Refusal("LOG", "nothing", "Name a CSV of readings; --example prints one."))
    data: dict[str, bytes] = {}
    for where, path in (("LOG", log), ("--events", events), ("--air", air), ("--heap", heap)):
        try:
            if path:
                data[where] = file_bytes(Path(path), where)
        except Refused as told:
            wrong += told.refusals
    place, zoned, remarks = clock(zone, data.get("LOG", b""), wrong)
    notices += remarks
    if place is None:
        raise Refused(wrong)
    readings = none()
    if "LOG" in data:
        readings = _try(lambda: _temperatures(data["LOG"], log, place, notices), readings, wrong)
    outside = none()
    if "--air" in data and not _bare_heading(data["--air"]):
        outside = _try(lambda: _temperatures(data["--air"], air, place, notices), none(), wrong)
    turned = np.zeros(0, dtype=np.int64)
    if "--events" in data:
        file = _try(lambda: read_events(data["--events"], Path(events).name, zone=place), None, wrong)
        if file is not None:
            turned, notices = file.of("turned"), [*notices, *file.notices]
            if len(file.of("turned")) < len(file.at):
                notices.append("only turns change this outlook; waterings and covers are passed over.")
    described = None
    if "--heap" in data:
        described = _try(lambda: read_described(data["--heap"], Path(heap).name, place), None, wrong)
    built = None if described is None else described.built
    if described is not None:
        notices += described.notices
        if not described.known:
            described = None
            notices.append("the heap's size is not told, so only `built` is used: the statistical outlook.")
    at = _try(lambda: _moment(asked.at, place), None, wrong) if asked.at else None
    series, doubts = readings, list[tuple[int, str, str]]()
    if len(readings):
        known = (station, asked.depth_mm, built)
        series, doubts = _try(lambda: _series(readings, *known, notices), (none(), doubts), wrong)
    if len(series):
        newest = max(int(series.at[-1]), *(moment for moment, *_ in doubts), int(series.at[0]))
        until = newest if at is None else at
        _try(lambda: _one_heaps(series, until, Path(log).name), None, wrong)
    if wrong:
        raise Refused(wrong)
    start = int(series.at[0])
    looked = (until - start) / days.HOUR_S
    try:
        found = bare_log(
            hours_from(series.at, start),
            celsius_of(series),
            hours_from(turned, start),
            hours_from(outside.at, start),
            celsius_of(outside),
        )
    except ValueError:
        raise refuse(Path(log).name, "no reading that could be a heap's", "Look at its unit.") from None
    found = _with(found, [Doubt((moment - start) / days.HOUR_S, *why) for moment, *why in doubts])
    origins = _origins(found, asked, looked)
    every = readings if built is None else readings.pick(readings.at >= built)
    return Taken(
        found, start, origins, looked, place, zoned, series, every, turned, built, described, tuple(notices)
    )


def _bare_heading(data: bytes) -> bool:
    """A file that says nothing was read: headings, and no row under them."""
    return bool(data.strip()) and len(data.strip().splitlines()) == 1


def _try(read: Callable[[], Answer], otherwise: Answer, wrong: list[Refusal]) -> Answer:
    """What `read` gives; what it refuses goes to `wrong`, and `otherwise` is given."""
    try:
        return read()
    except Refused as told:
        wrong += told.refusals
        return otherwise


def _temperatures(data: bytes, path: str, zone: ZoneInfo, notices: list[str]) -> Readings:
    intake = read_temperatures(data, Path(path).name, zone=zone)
    notices += intake.notices
    if len(intake.rows) > 1:
        raise refuse(Path(path).name, ", ".join(intake.rows), "Give the log of one heap.")
    return next(iter(intake.rows.values()))


def _moment(text: str, zone: ZoneInfo) -> int:
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise refuse("--at", text, "Write a moment, such as 2026-05-03T07:40.") from None
    return days.seconds(found if found.tzinfo else found.replace(tzinfo=zone))


def _series(
    readings: Readings, station: str, depth: int | None, built: int | None, notices: list[str]
) -> tuple[Readings, list[tuple[int, str, str]]]:
    """The readings of one place in the heap, and (moment, column, reason) of what was passed over."""
    doubts: list[tuple[int, str, str]] = []
    if built is not None:
        early = readings.at < built
        doubts += [(int(at), "at", "read before the heap was built") for at in readings.at[early]]
        if early.all():
            raise refuse("--heap, built", "a date after every reading", "Give the heap's own log.")
        readings = readings.pick(~early)
    every = places(readings)
    fit = [(s, d) for s, d in every if station in ("", s) and depth in (None, d)]
    if not fit:
        known = ", ".join(_place(s, d) for s, d in every[:10])
        asked = _place(station, NO_DEPTH if depth is None else depth)
        raise refuse("--station, --depth-cm", asked, f"The log has {known}.")
    chosen, mm = fit[0]
    if len(every) > 1:
        notices.append(f"looked at: {_place(chosen, mm)}, of {len(every)} places; choose with --station.")
    swapped, other = depths_swapped(readings, chosen, mm)
    why = f"looks like the reading at {other / 10:g} cm: two depths the wrong way round? Set aside."
    doubts += [(int(at), "depth_cm", why) for at in swapped]
    series = at_place(readings, chosen, mm)
    series = series.pick(~np.isin(series.at, swapped))
    if (series.unit == UNITS.index("F")).all() and celsius_of(series).max() < COOL_C:
        typed = int(series.value.max()) / MICRO
        if typed > WARM_TYPED:
            why = f"never above {celsius_of(series).max():.0f} °C; were °C written as °F, it were {typed:.0f}"
            doubts.append((int(series.at[0]), "unit", why))
    return series, doubts


def _one_heaps(series: Readings, until: int, name: str) -> None:
    """Refused where the log is too long for one heap's, or where its readings up to a moment are °F written
    as °C or the heap burns: neither is to be forecast."""
    span = int(series.at[-1] - series.at[0]) // days.DAY_S
    if span > LONGEST_DAYS:
        raise refuse(name, f"{span} days", f"Give one heap's log, {LONGEST_DAYS} days at most.")
    series = series.pick(series.at <= until)
    found = as_fahrenheit(celsius_of(series))
    if found is not None:
        hot, low, high = found
        raise refuse(
            f"{name}, column unit",
            f"{hot} of {len(series.at)} readings above {FIRE_C:g} °C",
            f"Look at the unit: as °F these would be {low:.0f} to {high:.0f} °C. If it is right, "
            "the heap may burn: call the fire service; nothing is forecast.",
        )


def _place(station: str, depth: int) -> str:
    """In words; depth [mm]."""
    deep = f"at {depth / 10:g} cm" if depth != NO_DEPTH else ""
    return " ".join(part for part in (f"station {station}" if station else "", deep) if part)


def _with(log: BareLog, doubts: list[Doubt]) -> BareLog:
    return replace(log, doubts=tuple(sorted([*log.doubts, *doubts], key=lambda one: one.hour)))


def _origins(log: BareLog, asked: Asked, looked: float) -> tuple[float, ...]:
    """Without --at the origin is the newest reading, whether it counts or not, never one days before."""
    first = float(log.hour[0])
    last = float(log.until(max(looked, first)).hour[-1])
    if asked.step_h is None:
        if looked < first:
            raise refuse("--at", asked.at, "Give a moment not before the first reading that can be used.")
        if looked > last + FURTHEST_H:
            got = (
                asked.at or f"the newest that counts is {(looked - last) / 24:.0f} days older than the newest"
            )
            raise refuse(
                "--at" if asked.at else "LOG",
                got,
                "Give a moment at most two weeks after the last reading that counts: probe first.",
            )
        return (looked,)
    last = float(log.hour[-1])
    count = int((last - first) // asked.step_h) + 1
    if count > MOST_ORIGINS:
        raise refuse("--backtest", f"{count} origins", f"At most {MOST_ORIGINS}: forecast less often.")
    return tuple(first + i * asked.step_h for i in range(count))

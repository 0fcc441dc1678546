"""A fitted heap carried on into the coming days: what a probe will read, and what follows from it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import kernel as k
from turnrow.heap import leftover as rest
from turnrow.heap import material as mat
from turnrow.heap.expected import weather
from turnrow.heap.fit import Fitted, near_air
from turnrow.heap.known import Done, Known
from turnrow.heap.leftover import Ahead, Leftover
from turnrow.heap.material import Floats
from turnrow.heap.outlook import QUANTILES, Band, Outlook, Passing
from turnrow.heap.tidied import HOUR, happening
from turnrow.heap.track import Tables, Track, follow, probe

DAYS_H = 24
LEAST_PASSING = 0.05  # a first time over a limit is told where so many courses pass it
USUAL_CM = (30.0, 60.0, 90.0)
TARGET = 0.55  # OWN: the middle of the moisture published guides prefer
DEPTH_MOST = 0.95  # of the centre's depth, for depths nobody read
RULE = (
    "its core stays within {excess:g} °C of the day’s air for {days:g} days, it holds at least "
    "{moisture:.0f} % moisture, and so little food is left that at its best it takes up less than {uptake:g} "
    "g of oxygen an hour for each kg of organic matter"
)


@dataclass(frozen=True, eq=False)
class Courses:
    """The n guesses, an hour each row: hours (h,) ahead; places (d, 2) station and depth_m; warm (h, d, n)
    °C without a probe's error; steady (h, d, n) the same with no more than is known of the drifts; track.

    Limits and runs ask for the highest or lowest over many hours and places, which chance drifts would
    overstate: they are told by `steady`.
    """

    hours: Floats
    places: Floats
    warm: Floats
    steady: Floats
    track: Track
    air_c: Floats
    start_h: int


def forecast(
    fitted: Fitted,
    known: Known,
    *,
    hours: int,
    limits_c: Sequence[float],
    depths_cm: Sequence[float] = (),
    events: Sequence[Done] = (),
    run_c: float = 55.0,
    target: float = TARGET,
    leftover: Leftover | None = None,
    amended: Callable[[Courses], Courses] | None = None,
) -> Outlook:
    """The outlook from the moment `fitted` was made for.

    hours      whole hours ahead, at least 24
    limits_c   limits whose passing is asked for [°C]
    depths_cm  the fan's depths; left out: those read, or the usual ones that the heap has
    events     what is planned; what was done stands in `fitted`
    amended    what is to be made of the courses' temperatures before anything is told of them
    ValueError for fewer hours, a depth below 0 or an event before the moment or of unknown kind.
    """
    b = leftover or Leftover()
    depths = _depths(fitted, depths_cm)
    gone = courses(fitted, known, hours=hours, depths_m=depths, events=events, leftover=b)
    gone = amended(gone) if amended else gone
    stations = np.unique(gone.places[:, 0])
    n = fitted.members
    drawn = np.random.default_rng([fitted.seed, 4])
    probe_k = b.probe_k * drawn.standard_normal((len(gone.hours), n))
    fan = np.empty((len(gone.hours), len(depths), len(QUANTILES)))
    for i in range(len(depths)):
        mine = np.arange(n) % len(stations) * len(depths) + i  # each guess speaks of one station
        shown = gone.warm[:, mine, np.arange(n)] + probe_k
        fan[:, i] = np.quantile(shown, QUANTILES, axis=1).T
    read = _was_read(gone.places, fitted)
    steady = gone.steady[:, read if read.any() else slice(None)]
    days = int(gone.hours[-1]) // DAYS_H
    kept = np.minimum.accumulate(steady.min(axis=1), axis=0) >= run_c
    state, length = fitted.state, fitted.length_m
    dry = mat.dry_matter(state).sum(axis=0)
    water = mat.zones(state, k.W).sum(axis=0)
    short = np.maximum(target / (1.0 - target) * dry - water, 0.0) * length / 1000.0
    curing = _curing(fitted, gone)
    ends = [int(np.flatnonzero(gone.track.ends == gone.start_h + DAYS_H * (d + 1))[-1]) for d in range(days)]
    told = fitted.prior.length_m is not None
    now = _as_now(fitted, depths)
    newest = _newest(gone.places, fitted)
    return Outlook(
        at_s=fitted.tidied.start_s + fitted.tidied.now_h * HOUR,
        hours=gone.hours,
        depths_cm=np.array(depths) * 100.0,
        fan=fan,
        as_now_c=now,
        passing=tuple(passing(limit, steady, gone.hours, newest) for limit in limits_c),
        run_c=run_c,
        run=np.array([kept[DAYS_H * (d + 1) - 1].mean() for d in range(days)]) if read.any() else np.zeros(0),
        moisture=tuple(band(gone.track.wet[i]) for i in ends),
        water_m3=band(short),
        target=target,
        mass_t=band(gone.track.mass[-1] * length / 1000.0) if told else None,
        volume_m3=band(gone.track.area[-1] * length) if told else None,
        curing_h=band(curing[np.isfinite(curing)]) if np.isfinite(curing).mean() >= 0.5 else None,
        curing_chance=float(np.isfinite(curing).mean()),
        curing_rule=_rule(),
        used="process model",
        why="fitted to the heap's own readings"
        if read.any()
        else "nothing was read yet: what is believed speaks",
        notices=fitted.notices,
    )


def courses(
    fitted: Fitted,
    known: Known,
    *,
    hours: int,
    depths_m: Sequence[float],
    events: Sequence[Done],
    leftover: Leftover,
) -> Courses:
    """The guesses carried on, with what is left over of the readings, at each station and depth."""
    t = fitted.tidied
    if hours < DAYS_H or any(depth < 0 for depth in depths_m):
        raise ValueError(f"{hours} hours at depths {depths_m} m, want at least {DAYS_H} and none below 0")
    now_s = t.start_s + t.now_h * HOUR
    if any(one.at_s < now_s for one in events):
        raise ValueError("an event planned before the moment of the outlook")
    planned = sorted((happening(one, t.start_s, fitted.length_m) for one in events), key=lambda one: one.at_h)
    planned = [one for one in planned if one.at_h <= t.now_h + hours]
    cap = float(t.temp_c.min()) if len(t.temp_c) else 40.0
    air, _ = weather(known.outside, t.start_s, t.now_h + hours, cap)
    p = {key: row.value for key, row in heap_parameters().items()} | dict(fitted.values)
    track = follow(fitted.state, p, Tables(air), planned, (t.now_h, t.now_h + hours))
    ahead_h = np.arange(1.0, hours + 1.0)
    at_h = t.now_h + ahead_h
    leg = np.searchsorted([one.at_h for one in planned], at_h, side="right").astype(float)
    n, stations = fitted.members, np.unique(t.spots.station) if len(t.spots.station) else np.zeros(1)
    places = np.array([[float(s), depth] for s in stations for depth in depths_m])
    drawn = np.random.default_rng([fitted.seed, 3])
    now = rest.at(
        float(t.now_h),
        float(len(t.done)),
        places,
        t.spots,
        fitted.left,
        leftover,
        drawn.standard_normal((1 + len(places) + len(stations), n)),
    )
    warm = _left(now, ahead_h, leg, leftover, drawn, n)
    steady = np.repeat(warm.mean(axis=2, keepdims=True), n, axis=2)
    for i, depth in enumerate(depths_m):
        shown = probe(track, air.air_c, at_h, leg, np.full(hours, depth))[:, None]
        warm[:, i :: len(depths_m)] += shown
        steady[:, i :: len(depths_m)] += shown
    return Courses(ahead_h, places, warm, steady, track, air.air_c, t.now_h)


def _left(now: Ahead, hours: Floats, leg: Floats, b: Leftover, drawn: np.random.Generator, n: int) -> Floats:
    normals = drawn.standard_normal((len(hours), 1 + len(now.places), n))
    return rest.carried(now, hours, leg, b, normals)


def _depths(fitted: Fitted, asked: Sequence[float]) -> list[float]:
    if len(asked):
        return [float(depth) / 100.0 for depth in asked]
    read = np.unique(np.round(fitted.tidied.spots.depth_m, 3))
    if len(read):
        return [float(depth) for depth in read]
    deep = float(np.median(mat.area(fitted.state) / fitted.state[k.BASE]))
    return [depth / 100.0 for depth in USUAL_CM if depth / 100.0 <= DEPTH_MOST * 2 * deep] or [0.3 * deep]


def _was_read(places: Floats, fitted: Fitted) -> Floats:
    s = fitted.tidied.spots
    same = (places[:, :1] == s.station) & (np.abs(places[:, 1:] - s.depth_m) < 0.01)
    return np.asarray(same.any(axis=1))


def _as_now(fitted: Fitted, depths: Sequence[float]) -> Floats:
    """(D,) the newest reading at each depth; the mean of the stations read in its hour."""
    s, found = fitted.tidied.spots, np.full(len(depths), np.nan)
    for i, depth in enumerate(depths):
        mine = np.abs(s.depth_m - depth) < 0.01
        if mine.any():
            newest = mine & (s.at_h > s.at_h[mine].max() - 1.0)
            found[i] = fitted.tidied.temp_c[newest].mean()
    return found


def _newest(places: Floats, fitted: Fitted) -> Floats:
    """(d,) the newest reading of each place [°C], NaN where there is none."""
    s, found = fitted.tidied.spots, np.full(len(places), np.nan)
    for i, (station, depth) in enumerate(places):
        mine = np.flatnonzero((s.station == station) & (np.abs(s.depth_m - depth) < 0.01))
        if len(mine):
            found[i] = fitted.tidied.temp_c[mine[np.argmax(s.at_h[mine])]]
    return found


def passing(limit_c: float, warm: Floats, hours: Floats, now: Floats) -> Passing:
    """Whether and when courses (h, d, n) pass a limit at any place; now, the newest readings."""
    over = warm.max(axis=1) > limit_c
    passes = over.any(axis=0)
    first = hours[np.argmax(over, axis=0)][passes]
    when = band(first) if passes.mean() >= LEAST_PASSING else None
    return Passing(limit_c, float(passes.mean()), when, bool(np.any(now > limit_c)))


def band(found: Floats) -> Band:
    """Five quantiles of (n,) values, at least one."""
    return Band(*(float(v) for v in np.quantile(found, QUANTILES)))


def _rule() -> str:
    p = {key: row.value for key, row in heap_parameters().items()}
    return RULE.format(
        excess=p["finish_excess"],
        days=p["finish_days"],
        moisture=100.0 * p["finish_moisture"],
        uptake=p["finish_uptake"],
    )


def _curing(fitted: Fitted, gone: Courses) -> Floats:
    """(n,) hours until each guess may cure; infinite where not within the hours."""
    p = {key: row.value for key, row in heap_parameters().items()}
    near = near_air(gone.track, gone.air_c)
    track = gone.track
    long = np.empty(near.shape)
    since = fitted.cool_h
    for i in range(len(near)):
        since = np.where(
            near[i], since + (1.0 if i == 0 or track.hours[i] > track.hours[i - 1] else 0.0), 0.0
        )
        long[i] = since
    at = np.minimum(np.searchsorted(track.ends, track.hours), len(track.ends) - 1)
    fit = (long >= 24.0 * p["finish_days"]) & (track.wet[at] >= p["finish_moisture"])
    fit &= track.eats[at] < p["finish_uptake"]
    first = np.argmax(fit, axis=0)
    return np.where(fit.any(axis=0), track.hours[first] - gone.start_h, np.inf)

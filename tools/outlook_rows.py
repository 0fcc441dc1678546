"""How well a fitted heap's outlook does on rows made by other laws than its own: tables of docs/outlook.md.

    python tools/outlook_rows.py [--seed 30030] [--rows 30] [--members 512] [--workers 2] [--days 2 3 4]

Each row is looked at from the second day on, after its morning round, with what its yard knew then and the
turns it means to make. What comes is its later rounds, place by place; what a dead or stuck probe showed is
left out. "As now" is the newest reading of the same place. Once from the handbook's beliefs, once from those
and what twelve rows of another season taught.

The first time over a limit: that of the truth is the first hour from the look on at which any place the row
is read at (every station, every depth of its rounds) is over the limit, without a probe's error. Said is the
middle of the courses that pass, in the hottest of the places read, and "never" where fewer than half do. Rows
over it at the look are left out. "Line" is the same by a straight line through each place's last two rounds.
"""

import argparse
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any

DAYS = (2, 3, 4, 5, 7, 10, 14, 21, 28, 35, 42)
AHEAD = {24: 4, 48: 4, 72: 4, 168: 12, 324: 12}  # hours ahead and how near to them a round must be
LIMITS_C, NEAR_H, HOURS, HOUR = (65.5, 70.0), 12.0, 336, 3600
EARLIER_SEED, EARLIER_ROWS, EARLIER_DAY = 900, 12, 24
# a miss: day, hours ahead, miss, "as now", CRPS, in 90 %, in 80 %, width of the 90 %
Miss = tuple[int, int, float, float, float, bool, bool, float]
# a first time: limit, day, hours to it or infinity, said, chance, in the 90 % of those said to pass, line,
# hottest newest reading
First = tuple[float, int, float, float, float, bool, float, float]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seed", type=int, default=30030)
    parser.add_argument("--rows", type=int, default=30)
    parser.add_argument("--members", type=int, default=512)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--days", type=int, nargs="+", default=DAYS, choices=DAYS, metavar="DAY")
    asked = parser.parse_args()
    os.environ["OPENBLAS_NUM_THREADS"] = "1"  # of the processes to come
    from turnrow.demo.truth.rows import synthetic_rows

    rows = synthetic_rows(asked.seed, asked.rows)
    earlier = synthetic_rows(EARLIER_SEED, EARLIER_ROWS)
    with ProcessPoolExecutor(asked.workers, mp_context=get_context("spawn")) as pool:
        fits = list(pool.map(fitted, [(row, EARLIER_DAY, asked.members, None) for row in earlier]))
        from turnrow.heap.fit import taught

        for name, lesson in (("the handbook's beliefs", None), ("taught by twelve rows", taught(fits))):
            jobs = [(row, day, asked.members, lesson) for row in rows for day in asked.days]
            show(name, list(pool.map(_look, jobs)))


def fitted(job: Sequence[Any]) -> Any:
    from turnrow.demo.truth.told import told
    from turnrow.heap.fit import fit, prior

    row, day, members, lesson = job
    now = row.built_s + day * 24 * HOUR - 3 * HOUR
    known = told(row, now)
    return fit(known, prior(known, lesson), now_s=now, members=members)


def _look(job: Sequence[Any]) -> tuple[list[Miss], list[First]]:
    """What one origin missed by, and what it said of limits not passed by then."""
    from turnrow.demo.truth.told import planned, told
    from turnrow.heap.ahead import forecast

    row, day, _, _ = job
    found = fitted(job)
    at = found.tidied.start_s + found.tidied.now_h * HOUR
    made = forecast(
        found, told(row, at), hours=HOURS, limits_c=LIMITS_C, events=planned(row, at, at + HOURS * HOUR)
    )
    return list(_misses(row, day, at, made)), list(_firsts(row, day, at, made, found.tidied))


def _firsts(row: Any, day: int, at: int, made: Any, tidied: Any) -> Iterator[First]:
    for one in made.passing:
        over = row.truth.over[one.limit_c]
        if over is not None and over <= at:
            continue
        came = (over - at) / HOUR if over is not None and over <= at + HOURS * HOUR else float("inf")
        said = one.hours.p50 if one.hours is not None and one.chance >= 0.5 else float("inf")
        held = one.hours is not None and one.hours.p5 <= came <= one.hours.p95
        yield one.limit_c, day, came, said, one.chance, held, *_line(one.limit_c, tidied)


def _line(limit: float, tidied: Any) -> tuple[float, float]:
    """Hours to the limit by a straight line through each place's last two rounds, and the hottest newest
    reading [°C]."""
    import numpy as np

    spots, first, hottest = tidied.spots, float("inf"), float("-inf")
    for station, depth in {(int(s), float(d)) for s, d in zip(spots.station, spots.depth_m, strict=True)}:
        mine = np.flatnonzero((spots.station == station) & (np.abs(spots.depth_m - depth) < 0.005))
        mine = mine[np.argsort(spots.at_h[mine])][-2:]
        temp, at = tidied.temp_c[mine], spots.at_h[mine]
        hottest = max(hottest, float(temp[-1]))
        if len(mine) == 2 and temp[1] > temp[0]:
            crosses = at[1] + (limit - temp[1]) * (at[1] - at[0]) / (temp[1] - temp[0]) - tidied.now_h
            first = min(first, max(float(crosses), 1.0))
    return (first if first <= HOURS else float("inf")), hottest


def _misses(row: Any, day: int, at: int, made: Any) -> Iterator[Miss]:
    import numpy as np

    from turnrow.heap.bare.score import crps_sample
    from turnrow.heap.scored import sample

    r, sound = row.rounds, ~row.truth.wrong
    for depth_place, depth in enumerate(made.depths_cm):
        for station in np.unique(r.station):
            mine = sound & (r.station == station) & (np.abs(r.depth_cm - depth) < 0.5)
            before, after = mine & (r.at_s <= at), mine & (r.at_s > at)
            if not before.any():
                continue
            now = float(r.temp_c[before][-1])
            for hour, came in zip((r.at_s[after] - at) / HOUR, r.temp_c[after], strict=True):
                for ahead, near in AHEAD.items():
                    if abs(hour - ahead) <= near and hour <= HOURS:
                        fan = made.fan[round(float(hour)) - 1, depth_place]
                        crps = crps_sample(sample(fan), float(came))
                        in90, in80 = fan[0] <= came <= fan[4], fan[1] <= came <= fan[3]
                        yield (
                            day,
                            ahead,
                            float(fan[2] - came),
                            abs(now - float(came)),
                            crps,
                            bool(in90),
                            bool(in80),
                            float(fan[4] - fan[0]),
                        )


def show(name: str, looked: Sequence[tuple[list[Miss], list[First]]]) -> None:
    import numpy as np

    every = np.array([one for misses, _ in looked for one in misses], dtype=float)
    print(
        f"\n{name}\n| ahead | outcomes | mean miss | bias | as now | CRPS | better by | in 90 % | in 80 % "
        "| width |"
    )
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for ahead in AHEAD:
        m = every[every[:, 1] == ahead]
        off, now, crps, in90, in80, wide = m[:, 2], *m[:, 3:].mean(axis=0)
        print(
            f"| {ahead} h | {len(m)} | {np.abs(off).mean():.2f} | {off.mean():+.2f} | {now:.2f} | {crps:.2f} "
            f"| {1 - crps / now:.0%} | {in90:.0%} | {in80:.0%} | {wide:.1f} |"
        )
    print("48 h ahead by day: CRPS, as now, in 90 %")
    for day in DAYS:
        m = every[(every[:, 1] == 48) & (every[:, 0] == day)]
        if len(m):
            print(
                f"  day {day}: {m[:, 4].mean():.2f}, {m[:, 3].mean():.2f}, {m[:, 5].mean():.0%} of {len(m)}"
            )
    print(f"first time over: good is within {NEAR_H:g} h, or rightly never in {HOURS} h")
    firsts = [first for _, several in looked for first in several]
    for limit in LIMITS_C:
        mine = [one for one in firsts if one[0] == limit]
        chance, came = np.array([one[4] for one in mine]), np.array([one[2] < np.inf for one in mine])
        print(
            f"{limit:g} °C, {len(mine)} origins before it: chance said {chance.mean():.2f}, came "
            f"{came.mean():.2f}, Brier {np.mean((chance - came) ** 2):.3f}"
        )
        for day in DAYS[:5]:
            show_first(limit, day, [one for one in mine if one[1] == day])


def good(came: float, said: float) -> bool:
    return came == said or abs(came - said) <= NEAR_H


def show_first(limit: float, day: int, mine: Sequence[First]) -> None:
    import numpy as np

    if not mine:
        return
    right = [good(one[2], one[3]) for one in mine]
    off = [one[2] - one[3] for one in mine if max(one[2], one[3]) < np.inf]
    middle = f"{np.median(np.abs(off)):.0f} h, came later by {np.median(off):+.0f} h" if off else "-"
    held = [one[5] for one in mine if one[2] < np.inf]
    line = sum(good(one[2], one[6]) for one in mine)
    print(
        f"  {limit:g} °C, day {day}: {sum(right)} of {len(mine)} good, by a line {line}; middle off where "
        f"both pass {middle}; within the 90 % of when {sum(held)} of {len(held)}"
    )
    for low, high in ((-np.inf, 40.0), (40.0, 50.0), (50.0, np.inf)):
        these = [yes for yes, one in zip(right, mine, strict=True) if low <= one[7] < high]
        if these:
            print(f"    hottest reading {low:g} to {high:g} °C: {sum(these)} of {len(these)}")


if __name__ == "__main__":
    main()

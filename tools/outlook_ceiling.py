"""How near the first time over a limit could be told at best: a figure of docs/outlook.md.

    python tools/outlook_ceiling.py [--seed 30032] [--rows 30] [--day 2] [--others 24]

Each invented row is run again and again by its own laws, in its own weather, with its own turns and all it is
made of, but for two things no reading of its first days holds: how hot it can get (`over_c`, drawn anew as it
was drawn) and which places are a little warmer than others. Whoever knew all else for certain could know no
more of the hour than these runs say. Told is the hour that most of them pass near, or "never"; what came and
what is counted are as in `outlook_rows.py`. Readings of a row that is hot already say something of how hot it
can get, so that for it the figure may be too low; rows with no reading over 50 °C are counted by themselves.
"""

import argparse
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from turnrow.demo.truth import drawn, probe
from turnrow.demo.truth.march import Act, march
from turnrow.demo.truth.rows import HOUR, MIDNIGHT_S, TrueRow, synthetic_rows
from turnrow.demo.truth.sky import sky
from turnrow.demo.truth.stuff import joined

Floats = NDArray[np.float64]
LIMIT_C, NEAR_H, HOURS, DAYS, STILL_C = 65.5, 12.0, 336, 60, 50.0
HOTTEST = (51.5, 2.2)  # of `over_c`, as turnrow.demo.truth.drawn has it


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    for name, usual in (("seed", 30032), ("rows", 30), ("day", 2), ("others", 24)):
        parser.add_argument(f"--{name}", type=int, default=usual)
    asked = parser.parse_args()
    rows = synthetic_rows(asked.seed, asked.rows)
    chance = np.random.default_rng(asked.seed)  # the draws of synthetic_rows once more, in its order
    air = sky(MIDNIGHT_S, 60, 200 + DAYS, chance)
    made = [drawn.row(number, chance) for number in range(asked.rows)]
    other, at, right, under = np.random.default_rng([asked.seed, 5]), 24 * asked.day - 3, [], []
    for row, make in zip(rows, made, strict=True):
        over = row.truth.over[LIMIT_C]
        if over is not None and over <= row.built_s + at * HOUR:
            continue
        came = _first(row.truth.temp_c.max((1, 2)), at)
        firsts = _others(row, make, air, at, asked.others, other)
        said = max((*np.arange(2.0, HOURS, 2.0), np.inf), key=lambda hour: int(_near(firsts, hour).sum()))
        right.append(bool(_near(np.array([came]), said)[0]))
        early = (row.rounds.at_s <= row.built_s + at * HOUR) & ~row.truth.wrong
        under.append(not np.any(row.rounds.temp_c[early] > STILL_C))
    good, cool = np.array(right), np.array(under)
    print(
        f"seed {asked.seed}, day {asked.day}: {good.sum()} of {len(good)} within {NEAR_H:g} h or rightly "
        f"never; of those under {STILL_C:g} °C {good[cool].sum()} of {cool.sum()}"
    )


def _others(row: TrueRow, made: drawn.Row, air: Any, at: int, count: int, chance: Any) -> Floats:
    """(count,) hours from `at` to the limit of rows like this one but for what is not known of it."""
    first, make, n = (row.built_s - MIDNIGHT_S) // HOUR, made.make, len(made.make.row)
    ones = [
        replace(make, row=np.full(n, i), over_c=np.full(n, chance.normal(*HOTTEST))) for i in range(count)
    ]
    acts = [
        Act(first + turn.hour, i, True, 1000 * turn.water_m3 / made.length_m)
        for i in range(count)
        for turn in made.turns
        if turn.hour < at + HOURS
    ]
    seen = march(joined(ones), air, np.full(count * n, first), acts, at + HOURS + 1)
    shrunk, depths = np.sqrt(seen.area_m2 / seen.area_m2[0]), row.truth.depths_cm
    turns = [turn.hour for turn in made.turns]
    found = np.empty(count)
    for i in range(count):
        temp = np.empty((len(shrunk), n, len(depths)))
        for station, (wide, high) in enumerate(zip(make.width_m, make.height_m, strict=True)):
            part = shrunk[:, i * n + station]
            for place, depth in enumerate(depths):
                across, up = probe.tip(np.full(len(part), depth), wide * part, high * part)
                temp[:, station, place] = probe.at_tip(seen.temp_c[..., i * n + station], across, up)
        warm = probe.spots(temp.shape, turns, make.thorough[0], chance)
        found[i] = _first((temp + warm * (temp - probe.SPOTLESS_C)).max((1, 2)), at)
    return found


def _first(temp_c: Floats, at: int) -> float:
    over = temp_c[at + 1 : at + HOURS + 1] > LIMIT_C
    return float(np.argmax(over) + 1) if over.any() else float("inf")


def _near(firsts: Floats, said: float) -> NDArray[np.bool_]:
    if np.isinf(said):
        return np.isinf(firsts)
    return np.abs(firsts - said) <= NEAR_H


if __name__ == "__main__":
    main()

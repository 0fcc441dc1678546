"""How well the outlook of a bare log does on the open logs: the tables of docs/outlook.md.

    python tools/outlook_seasons.py ../shared/data/temperatures

The beliefs as they stand; each halved and doubled; all drawn at random; and for each season scored,
beliefs chosen anew on the other logs alone.
"""

import argparse
import csv
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np

from turnrow.heap.bare.backtest import Score, scores
from turnrow.heap.bare.beliefs import Beliefs, around
from turnrow.heap.bare.log import BareLog, bare_log
from turnrow.heap.bare.outlook import outlooks
from turnrow.heap.bare.score import Numbers

AHEAD = (6.0, 24.0, 48.0, 72.0)
SEASONS = ("hot_bin_2014", "hot_bin_2015", "hot_bin_2015_curing")
PILES = ("FC", "PL", "CM")
CHOICES = {
    "ceiling_c": (54.0, 57.0, 60.0),
    "taper_k": (10.0, 15.0, 20.0, 30.0),
    "rise_k_day": (8.0, 10.0, 12.0, 14.0),
    "fresh_odds": (3.0, 9.0, 27.0),
    "spend_days": (12.0, 25.0, 50.0),
    "trend_days": (0.25, 0.5, 1.0),
    "comes_back": (0.7, 0.85, 0.95),
    "eta": (0.25, 0.5, 1.0),
    "settled_k": (2.5, 3.0, 3.5, 4.0),
}


def season(folder: Path, name: str, *, with_air: bool = False) -> BareLog:
    """One of the bins' logs: core, turns, and the outside where asked."""
    with (folder / f"{name}.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    start = datetime.fromisoformat(rows[0]["datetime"])
    hours = [(datetime.fromisoformat(row["datetime"]) - start).total_seconds() / 3600 for row in rows]
    outside = next(key for key in rows[0] if key.startswith("outside"))
    core = [(h, float(r["core_C"])) for h, r in zip(hours, rows, strict=True) if r["core_C"]]
    air = [(h, float(r[outside])) for h, r in zip(hours, rows, strict=True) if r[outside] and with_air]
    turned = [h for h, r in zip(hours, rows, strict=True) if "turn" in r["event"]]
    return bare_log(*np.array(core).T, np.array(turned), *np.array(air).reshape(-1, 2).T)


def pile(folder: Path, group: str) -> BareLog:
    """The first probe of one pile of the trial, read every second day."""
    with (folder / "pile_trial_60_days.csv").open(encoding="utf-8") as file:
        rows = [r for r in csv.DictReader(file) if r["group"] == group and r["replicate"] == "1"]
    read = np.array([(int(r["day"]) * 24.0 - 24, float(r["temp_C"])) for r in rows])
    none = np.zeros(0)
    return bare_log(read[:, 0], read[:, 1], none, none, none)


def held(log: BareLog, beliefs: Sequence[Beliefs], ahead: Sequence[float] = AHEAD) -> list[Score]:
    step = 24.0 if np.median(np.diff(log.hour)) > 30 else 12.0
    origins = np.arange(0.0, log.hour[-1] + 1e-9, step).tolist()
    return scores(log, outlooks(log, origins, ahead, beliefs=beliefs))


def as_now(log: BareLog, ahead: Sequence[float] = AHEAD) -> list[float]:
    """Mean absolute error of "as now", every quarter of an hour, both ends drawn over gaps of 2 h at most."""
    gap = np.diff(log.hour, prepend=log.hour[0])

    def at(hours: Numbers) -> Numbers:
        after = np.minimum(np.searchsorted(log.hour, hours), len(log.hour) - 1)
        good = (hours <= log.hour[-1]) & ((gap[after] <= 2) | (log.hour[after] == hours))
        return np.where(good, np.interp(hours, log.hour, log.heat), np.nan)

    origins = np.arange(0.0, log.hour[-1], 0.25)
    return [float(np.nanmean(np.abs(at(origins + hours) - at(origins)))) for hours in ahead]


def loss(logs: Sequence[tuple[BareLog, float]], beliefs: Beliefs) -> float:
    """CRPS over the error of "as now", a mean over hours ahead and weighted logs."""
    told = [(np.mean([1 - one.crps_skill for one in held(log, [beliefs], AHEAD[1:])]), w) for log, w in logs]
    return float(sum(part * w for part, w in told) / sum(w for _, w in told))


def chosen_on(logs: Sequence[tuple[BareLog, float]]) -> Beliefs:
    """Beliefs chosen one after the other, twice round, from CHOICES."""
    best = Beliefs()
    for _ in range(2):
        for key, values in CHOICES.items():
            best = min((replace(best, **{key: value}) for value in values), key=lambda b: loss(logs, b))
    return best


def line(name: str, log: BareLog, beliefs: Sequence[Beliefs]) -> str:
    parts = [
        f"{one.ahead:g} h {one.mae:.2f} / {one.mae_as_now:.2f} K {one.skill:+.0%}, crps {one.crps:.2f}, "
        f"held {one.coverage:.0%} of {one.origins}, {one.width:.1f} K wide"
        for one in held(log, beliefs)
    ]
    return f"{name:22} " + " | ".join(parts)


def moved(folder: Path) -> Iterator[str]:
    """Skill of the two seasons with each belief halved and doubled."""
    logs = [season(folder, name) for name in SEASONS[:2]]
    for key in Beliefs.__dataclass_fields__:
        for size in (0.5, 2.0) if not key.startswith("ceiling") else (0.95, 1.05):
            value = getattr(Beliefs(), key) * size
            beliefs = replace(Beliefs(), **{key: value})
            found = [held(log, [beliefs], AHEAD[1:]) for log in logs]
            parts = [
                "/".join(f"{one.skill:.0%}" for one in f) + " " + "/".join(f"{one.coverage:.0%}" for one in f)
                for f in found
            ]
            yield f"{key} {value:g}: " + " | ".join(parts)


def drawn(folder: Path, count: int) -> Iterator[str]:
    """How skill and coverage spread when every belief is drawn at random, from half to double (the ceiling
    from 52 to 62 °C)."""
    rng = np.random.default_rng(11)
    logs = [season(folder, name) for name in SEASONS[:2]]
    each = []
    for _ in range(count):
        values = {
            key: getattr(Beliefs(), key) * 2.0 ** rng.uniform(-1, 1) for key in Beliefs.__dataclass_fields__
        }
        values |= {"ceiling_c": rng.uniform(52, 62), "comes_back": min(values["comes_back"], 1.0)}
        found = [held(log, [Beliefs(**values)], AHEAD[1:]) for log in logs]
        each.append([[(one.skill, one.coverage) for one in f] for f in found])
    spread = np.percentile(np.array(each), (10, 50, 90), axis=0)  # (3, season, ahead, 2)
    for i, name in enumerate(SEASONS[:2]):
        for j, ahead in enumerate(AHEAD[1:]):
            skill, cover = (" ".join(f"{v:.0%}" for v in spread[:, i, j, k]) for k in (0, 1))
            yield f"{name} {ahead:g} h, 10th 50th 90th of {count}: skill {skill}; held {cover}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--daily", action="store_true", help="hot_bin_2014 at its own readings alone")
    parser.add_argument("--moved", action="store_true", help="each belief halved and doubled")
    parser.add_argument("--chosen", action="store_true", help="beliefs chosen on the other logs")
    parser.add_argument("--drawn", type=int, default=0, help="so many sets of beliefs drawn at random")
    asked = parser.parse_args()
    folder: Path = asked.folder
    log = season(folder, "hot_bin_2015")
    print("as now, every 15 min, hot_bin_2015:", " ".join(f"{miss:.2f}" for miss in as_now(log)))
    for name in SEASONS:
        for with_air in (False, True):
            print(
                line(
                    name + (" air" if with_air else ""),
                    season(folder, name, with_air=with_air),
                    around(Beliefs()),
                )
            )
    piles = [(pile(folder, group), 1 / len(PILES)) for group in PILES]
    for group, (log, _) in zip(PILES, piles, strict=True):
        print(line(f"pile {group}", log, around(Beliefs())))
    if asked.daily:
        log = season(folder, SEASONS[0])
        origins = np.arange(0.0, log.hour[-1] + 1e-9, 24.0).tolist()
        for one in scores(log, outlooks(log, origins, AHEAD[1:])):
            told = f"{one.mae:.2f} / {one.mae_as_now:.2f} K {one.skill:.0%}, held {one.coverage:.0%}"
            print(f"{one.ahead:g} h {told} of {one.origins}")
    if asked.moved:
        print(*moved(folder), sep="\n")
    if asked.drawn:
        print(*drawn(folder, asked.drawn), sep="\n")
    if asked.chosen:
        for name in SEASONS[:2]:
            for curing in (True, False):
                wanted = [other for other in SEASONS[: 3 if curing else 2] if other != name]
                best = chosen_on([*((season(folder, other), 1.0) for other in wanted), *piles])
                changed = {k: getattr(best, k) for k in CHOICES if getattr(best, k) != getattr(Beliefs(), k)}
                print(f"chosen on {', '.join(wanted)} and the piles: {changed or 'as they stand'}")
                print(line(f"{name} one", season(folder, name), [best]))
                print(line(f"{name} around", season(folder, name), around(best)))


if __name__ == "__main__":
    main()

"""An outlook told as was chosen: by the model's courses, by the row's own log, or by both, evenly mixed."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from turnrow.heap.ahead import Courses
from turnrow.heap.leftover import Leftover
from turnrow.heap.log_says import SPEAKS_H, LogSays
from turnrow.heap.material import Floats
from turnrow.heap.outlook import Outlook
from turnrow.heap.scored import even_mix, percentiles_of, quantiles_of, sample

BACK_H = 168  # from here on the model's own again


def of_the_log(model: Outlook, says: LogSays) -> Outlook:
    """The model's outlook with the log's fan at its depths, for the hours both have."""
    hours = min(SPEAKS_H, len(model.hours))
    fan = model.fan[:hours].copy()
    for i, depth in enumerate(model.depths_cm):
        mine = says.of_depth(float(depth) / 100.0)[:hours]
        if mine.shape[1]:
            fan[:, i] = quantiles_of(mine)
    return replace(model, hours=model.hours[:hours], fan=fan, used="statistical")


def of_both(model: Outlook, log: Outlook) -> Outlook:
    """Two outlooks of the same places, believed alike, for the hours both have."""
    hours = min(len(model.hours), len(log.hours))
    fan = quantiles_of(even_mix(sample(model.fan[:hours]), sample(log.fan[:hours])))
    return replace(model, hours=model.hours[:hours], fan=fan, used="both")


def as_chosen(used: str, says: LogSays) -> Callable[[Courses], Courses]:
    """What is to be made of the model's courses so that a probe will read what was chosen, place by place and
    hour by hour: each course keeps its rank, so limits and runs rest on the same fan.

    (The margins of one forecast upon the courses of another: Schefzik et al. 2013, ensemble copula coupling,
    MEMORY.) Past SPEAKS_H the two were never held against one another: what was moved goes back, straight, to
    the model's own by BACK_H. Places the log does not know stay the model's.
    """

    def amended(gone: Courses) -> Courses:
        warm, steady = gone.warm.copy(), gone.steady.copy()
        for i, (station, depth) in enumerate(gone.places):
            same = (says.places[:, 0] == station) & (np.abs(says.places[:, 1] - depth) < 0.01)
            if same.any():
                log = _without_probe(says.ahead_c[:, np.argmax(same)])
                _move(gone.warm[:, i], log, used, (warm[:, i], steady[:, i]))
        return replace(gone, warm=warm, steady=steady)

    return amended


def _without_probe(log: Floats) -> Floats:
    """(h, 99) percentiles of the heap from those of readings, as one normal spread is taken from another."""
    middle, spread = log[:, 49:50], log.std(axis=1, keepdims=True)
    left = np.maximum(1.0 - (Leftover().probe_k / np.maximum(spread, 1e-9)) ** 2, 0.0)
    return np.asarray(middle + (log - middle) * np.sqrt(left))


def _move(model: Floats, log: Floats, used: str, moved: Sequence[Floats]) -> None:
    """Move temperatures (h, n) of one place by what takes the model's percentiles to those chosen."""
    shift = np.zeros(99)
    for h in range(min(len(model), BACK_H - 1)):
        mine = np.asarray(percentiles_of(model[h]))
        if h < SPEAKS_H:
            shift = (even_mix(mine, log[h]) if used == "both" else log[h]) - mine
        part = min(1.0, (BACK_H - h - 1.0) / (BACK_H - SPEAKS_H))
        for each in moved:
            each[h] += part * np.interp(each[h], mine, shift)

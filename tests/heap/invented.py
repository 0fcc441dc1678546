"""An invented heap, read daily at three depths: the model's own course with other parameters, and noise."""

import numpy as np

from turnrow.heap import report
from turnrow.heap.known import Blend, Done, Known, Outside, Read, Section, Told
from turnrow.heap.material import Heap
from turnrow.heap.run import Happening, simulate
from turnrow.heap.weather import steady

START = 1_780_002_000 // 3600 * 3600
DAY, HOUR = 86400, 3600
TURNS = (4, 9, 16)
OWN = {"k1": 0.32, "pore_size": 1.7, "hot": 71.7, "active0": 0.15, "cool_turn": 0.3}


def course(days: int = 24):  # type: ignore[no-untyped-def]
    weather = steady(days * 24, air_c=13.0, swing_c=6.0, sun=400.0, rain_mm_day=1.0)
    heap = Heap(length_m=30.0, temp_c=14.0, moisture=0.6, own=OWN)
    return weather, simulate(heap, weather, [Happening(24.0 * d + 10, "turn") for d in TURNS])


def known(days: int = 24, every_h: int = 24, turns: tuple[int, ...] = TURNS) -> Known:
    weather, gone = course(days)
    r = np.random.default_rng(11)
    hours = np.arange(8, days * 24, every_h)
    at, depth, temp = [], [], []
    for cm in (30.0, 60.0, 90.0):
        shown = report.at_depth(gone.cells, cm / 100, gone.air_c)[hours]
        at.append(START + hours * HOUR)
        depth.append(np.full(len(hours), cm))
        temp.append(shown + r.normal(0, 0.8, len(hours)))
    read = Read(
        np.concatenate(at),
        np.concatenate(depth),
        np.zeros(3 * len(hours), dtype=np.int64),
        np.concatenate(temp),
    )
    return Known(
        built_s=START,
        read=read,
        done=tuple(Done(START + d * DAY + 10 * HOUR, "turn") for d in turns),
        section=Section(30.0, 4.2, 1.7),
        blend=Blend(moisture=Told(0.61, 0.03), cn=Told(28.0, 3.0)),
        outside=Outside(START, weather.air_c, weather.humid, weather.sun, weather.wind, weather.rain_mm),
    )

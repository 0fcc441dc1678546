"""A true row as its yard would tell it to an outlook: nothing of its truth."""

import numpy as np

from turnrow.demo.truth.rows import HOUR, Believed, TrueRow
from turnrow.heap.known import Blend, Done, Known, Measured, Outside, Read, Section, Told


def told(row: TrueRow, now_s: int) -> Known:
    """What the yard knows of the row at now_s; of the air nothing later, of readings and turns all, for the
    outlook itself must not look ahead."""
    air, rounds = row.outside, row.rounds
    hours = max((now_s - air.start_s) // HOUR + 1, 1)
    columns = (air.temp_c, air.humid, air.sun, air.wind, air.rain_mm)
    return Known(
        built_s=row.built_s,
        read=Read(rounds.at_s, rounds.depth_cm, rounds.station, rounds.temp_c),
        done=tuple(Done(one.at_s, "turn", one.water_m3, written_s=one.written_s) for one in row.turns),
        section=Section(row.length_m, row.width_m, row.height_m),
        blend=Blend(_told(row.moisture), _told(row.cn), _told(row.density), temp_c=_told(row.temp_c)),
        measured=tuple(
            Measured(one.at_s, "moisture", _told(one.moisture)) for one in row.checked if one.at_s <= now_s
        ),
        outside=Outside(air.start_s, *(np.asarray(column)[:hours] for column in columns)),
    )


def planned(row: TrueRow, now_s: int, until_s: int) -> list[Done]:
    """The turns to come, as the yard means to make them and does."""
    return [
        Done(at, "turn", one.water_m3)
        for at, one in zip(row.truth.turned_s, row.turns, strict=True)
        if now_s < at <= until_s
    ]


def _told(one: Believed) -> Told:
    return Told(one.value, one.sd)

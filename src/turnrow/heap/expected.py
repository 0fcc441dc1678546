"""Air on every hour of an outlook: as known, gaps drawn across, and then as it was."""

import numpy as np

from turnrow.heap.known import Outside
from turnrow.heap.material import Floats
from turnrow.heap.weather import Weather

HOUR = 3600
AIR_C, SWING_C, HUMID, SUN, WIND, RAIN_MM_H = 13.0, 5.0, 0.75, 350.0, 2.5, 0.06  # OWN: a mild showery day
BRIDGE_H, AGAIN_H = 6, 72
LEAST = {"temp_c": -60.0, "humid": 0.0, "sun": 0.0, "wind": 0.0, "rain_mm": 0.0}
MOST = {"temp_c": 60.0, "humid": 1.0, "sun": 1400.0, "wind": 50.0, "rain_mm": 200.0}


def weather(outside: Outside | None, start_s: int, hours: int, cap_c: float) -> tuple[Weather, list[str]]:
    """Weather from start_s for `hours`, and what had to be assumed.

    Past what is known each hour is as the mean of that hour in the last three days known.
    cap_c  no more than this is assumed of air nobody knows: the coldest reading in the heap
    """
    clock = (np.arange(hours + 1) + start_s // HOUR) % 24.0
    noon = np.maximum(np.sin(2 * np.pi * (clock - 6.0) / 24.0), 0.0)
    usual = {
        "temp_c": min(AIR_C, cap_c) + SWING_C * np.sin(2 * np.pi * (clock - 9.0) / 24.0),
        "humid": np.full(hours + 1, HUMID),
        "sun": SUN * noon,
        "wind": np.full(hours + 1, WIND),
        "rain_mm": np.full(hours + 1, RAIN_MM_H),
    }
    notices: list[str] = []
    found: dict[str, Floats] = {}
    missing = []
    for key in usual:
        column = None if outside is None else getattr(outside, key)
        if column is None:
            missing.append(key)
            found[key] = usual[key]
            continue
        assert outside is not None
        found[key], gaps = _filled(np.asarray(column, dtype=float), outside.start_s, start_s, key, usual[key])
        if key == "temp_c" and gaps:
            notices.append(f"air not known for {gaps} h so far: drawn across, or as in the days before.")
    if "temp_c" in missing:
        notices.append(f"no air known: taken as a mild day of {min(AIR_C, cap_c):.0f} °C with showers.")
    elif missing:
        names = {"humid": "humidity", "sun": "sun", "wind": "wind", "rain_mm": "rain"}
        notices.append(f"{', '.join(names[key] for key in missing)} not known: a usual day's is taken.")
    made = Weather(found["temp_c"], found["humid"], found["sun"], found["wind"], found["rain_mm"][:-1])
    return made, notices


def _filled(column: Floats, its_s: int, start_s: int, key: str, usual: Floats) -> tuple[Floats, int]:
    """The column on the hours asked, and how many hours before its last value had none."""
    n = len(usual)
    got = np.full(n, np.nan)
    place = np.arange(len(column)) + round((its_s - start_s) / HOUR)
    inside = (place >= 0) & (place < n)
    got[place[inside]] = column[inside]
    got[~((got >= LEAST[key]) & (got <= MOST[key]))] = np.nan
    known = np.flatnonzero(np.isfinite(got))
    if not len(known):
        return usual, 0
    last = int(known[-1])
    gaps = int(np.isnan(got[: last + 1]).sum())
    drawn = np.interp(np.arange(n), known, got[known])
    before = np.searchsorted(known, np.arange(n), side="right") - 1
    after = np.minimum(before + 1, len(known) - 1)
    wide = np.isnan(got) & ((known[after] - known[np.maximum(before, 0)] > BRIDGE_H) | (np.arange(n) > last))
    again = _day_again(got, known, last)
    hour = np.arange(n) % 24
    return np.where(wide, again[hour], np.where(np.isnan(got), drawn, got)), gaps


def _day_again(got: Floats, known: np.ndarray[tuple[int], np.dtype[np.int64]], last: int) -> Floats:
    """(24,) mean by hour of the last three days known; the mean of them where an hour was never known."""
    near = known[known > last - AGAIN_H]
    found = np.full(24, float(got[near].mean()))
    for hour in range(24):
        same = near[near % 24 == hour]
        if len(same):
            found[hour] = got[same].mean()
    return found

"""What counts as curing on record, when only the diary speaks of it."""

import numpy as np

from turnrow.yard.history import History
from turnrow.yard.temperature import Limit

BELOW = Limit("<", 131_000_000, "F")


def recorded(history: History) -> bool:
    """The row was moved to curing, was read on a later day, and on its newest day every reading lay
    below 131 °F.

    21 CFR 112.54(b) asks for adequate curing and gives no number of days; as its agency is quoted, the
    compost falls and stays below 131 °F and ends at air temperature. A move alone shows none of that,
    and whether it was long enough stays for a person to say. Source: fsma-msu.
    """
    if history.curing is None or not len(history.readings):
        return False
    newest = int(history.readings.day.max())
    if newest <= history.curing.day:
        return False
    return bool(np.all(BELOW.holds(history.readings.heat[history.readings.day == newest])))

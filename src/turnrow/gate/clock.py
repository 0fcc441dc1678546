"""The clock a plain file's times stand at, where no zone was given."""

import re
from zoneinfo import ZoneInfo

from turnrow.yard import days
from turnrow.yard.wrongs import Refusal, shown

_OFFSET = re.compile(rb"\d[T ]\d\d:\d\d(?::\d\d(?:\.\d+)?)?\s?(Z|[+-]\d\d:?\d\d)")


def clock(zone: str, data: bytes, wrong: list[Refusal]) -> tuple[ZoneInfo | None, bool, list[str]]:
    """The zone given, else that of the first time that has an offset, else UTC, a clock never changed.

    Returns the zone (None when refused, told in `wrong`), whether the times carry an offset, remarks.
    """
    first = _OFFSET.search(data[:65536])
    if zone:
        try:
            return days.zone(zone), first is not None, []
        except ValueError:
            wrong.append(Refusal("--zone", shown(zone), "Give an IANA name such as Europe/Dublin."))
            return None, False, []
    if first is None:
        return days.zone("UTC"), False, []
    text = first[1].decode()
    hours = int(text[1:3]) if text != "Z" else 0
    if text != "Z" and text[-2:] != "00":
        return days.zone("UTC"), True, [f"times stand at {text}; answered in UTC, for others give --zone"]
    name = "UTC" if not hours else f"Etc/GMT{'-' if text[0] == '+' else '+'}{hours}"
    return days.zone(name), True, []

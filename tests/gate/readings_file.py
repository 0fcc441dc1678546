"""A logger's file read as the tests of it read it: for row R7 of a yard in Dublin."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from turnrow.gate.files import Intake, read_temperatures
from turnrow.yard.numbers import plain
from turnrow.yard.wrongs import Refusal, Refused

DUBLIN = ZoneInfo("Europe/Dublin")


def read(text: str | bytes, mapping: Mapping[str, Any] | None = None, row: str = "R7") -> Intake:
    data = text if isinstance(text, bytes) else text.encode()
    return read_temperatures(data, "log.csv", zone=DUBLIN, mapping=mapping, row=row)


def refused(
    text: str | bytes, mapping: Mapping[str, Any] | None = None, row: str = "R7"
) -> tuple[Refusal, ...]:
    with pytest.raises(Refused) as caught:
        read(text, mapping, row)
    return caught.value.refusals


def values(found: Intake, row: str = "R7") -> list[str]:
    return [plain(int(v)) for v in found.rows[row].value]


def times(found: Intake, row: str = "R7") -> list[str]:
    return [datetime.fromtimestamp(int(a), UTC).strftime("%m-%d %H:%M:%S") for a in found.rows[row].at]


def wide(**more: Any) -> dict[str, Any]:
    """A mapping of a file with a column `when` and one of readings, `core`."""
    return {
        "time": {"column": "when"},
        "reading": [{"column": "core", "station": "1", "depth_cm": 60, "unit": "C"}],
        **more,
    }

"""The quick way into a plain file gives what the careful way gives, or steps aside."""

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.gate import plain
from turnrow.gate.files import read_temperatures
from turnrow.gate.plain import read_plain
from turnrow.yard import days
from turnrow.yard.readings import COLUMNS

UTC = days.zone("UTC")
NUMBERS = st.decimals(min_value=-200, max_value=999, places=6).map(str) | st.integers(-99, 120).map(str)
LINES = st.lists(
    st.tuples(
        st.sampled_from(["R1", "R2", "north"]),
        st.datetimes(min_value=datetime(2001, 1, 1), max_value=datetime(2040, 1, 1)),
        st.sampled_from(["1", "2", "toe"]),
        st.sampled_from(["30", "60.5"]),
        NUMBERS,
        st.sampled_from(["C", "F", "K", "°C"]),
    ),
    min_size=1,
    max_size=40,
)


@settings(max_examples=60, deadline=None)
@given(LINES, st.sampled_from([40, 100, 700, 10**6]), st.booleans())
def test_quick_and_careful_reading_agree(tmp_path_factory, lines, block: int, ended: bool) -> None:
    """However small the blocks in which the file is read, and with or without a last newline."""
    text = "row,at,station,depth_cm,value,unit\n" + "".join(
        f"{r},{at:%Y-%m-%dT%H:%M:%S},{s},{d},{v},{u}\n" for r, at, s, d, v, u in lines
    )
    text = text if ended else text[:-1]
    path = tmp_path_factory.mktemp("plain") / "a.csv"
    path.write_text(text, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plain, "BLOCK", block)
        quick = dict(read_plain(path) or [])
    careful = read_temperatures(text.encode(), "a.csv", zone=UTC).rows
    assert set(quick) == set(careful)
    for row, readings in careful.items():
        for name in COLUMNS:
            if name != "station":
                assert np.array_equal(getattr(quick[row], name), getattr(readings, name)), name
        names = [quick[row].stations[k] for k in quick[row].station]
        assert names == [readings.stations[k] for k in readings.station]


@pytest.mark.parametrize(
    "line",
    [
        "2026-05-01T07:00,1e2,C",
        "2026-05-01T07:00,54.9999999,C",
        "2026-05-01T07:00,nan,C",
        "2026-05-01T07:00,,C",
        "2026-05-01T07:00,58,X",
        "2026-05-32T07:00,58,C",
        "2026-05-01T07:00Z,58,C",
        "1970-01-01T00:00,58,C",
        '2026-05-01T07:00,"58",C',
        "2026-05-01T07:00,58,C,more",
        "2026-05-01T07:00,5 8,C",
        "2026-05-01T07:00,58,",
        "2026-05-01T07:00,.5,C",
        "2026-05-01T07:00,-,C",
        "2026-05-01T07:00,1234567890,C",
        "2026-05-01T07:00,58",
        "2026-05-01",
        "2026-02-29T07:00,58,C",
        "2026-13-01T07:00,58,C",
        "2026-04-31T07:00,58,C",
        "2026-05-01T24:00,58,C",
        "2026-05-01 07:00,58,C",
        "2026-05-01T07:60,58,C",
        "2200-01-01T00:00,58,C",
        "",
        "2026-05-01T07:00,58,C\r",
    ],
)
def test_what_is_not_plain_is_left_to_the_careful_way(tmp_path: Path, line: str) -> None:
    path = tmp_path / "a.csv"
    path.write_text(f"at,value,unit\n2026-05-01T06:00,58,C\n{line}\n", "utf-8")
    assert read_plain(path) is None


def test_a_plain_file_of_bare_dates_is_read_as_noons(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("at,value,unit\n2026-05-02,58,C\n2026-05-01,57,C\n", "utf-8")
    ((name, readings),) = read_plain(path) or []
    assert (name, readings.timed.any(), readings.item.tolist()) == ("", False, [3, 2])
    assert (readings.at % days.DAY_S == days.DAY_S // 2).all()


@settings(max_examples=300, deadline=None)
@given(st.dates(min_value=date(1990, 1, 1), max_value=date(2199, 12, 31)))
def test_every_date_is_the_calendars(tmp_path_factory, day: date) -> None:
    path = tmp_path_factory.mktemp("plain") / "a.csv"
    path.write_text(f"at,value,unit\n{day},58,C\n", "utf-8")
    ((_, readings),) = read_plain(path) or []
    assert readings.day.tolist() == [day.toordinal()]


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_end_well(tmp_path_factory, tail: bytes) -> None:
    """No bytes run past the end: they are read, or left to the careful way."""
    path = tmp_path_factory.mktemp("plain") / "a.csv"
    path.write_bytes(b"at,value,unit\n2026-05-01T06:00,58,C\n" + tail)
    rows = read_plain(path)
    assert rows is None or [len(readings) for _, readings in rows] == [1 + len(tail.splitlines())]

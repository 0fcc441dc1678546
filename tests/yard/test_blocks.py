"""A logger's columns packed and unpacked: the same back, and nothing but a plain no to hostile bytes."""

import hashlib
import json
import zlib
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.yard import blocks, days, readings
from turnrow.yard.numbers import LARGEST
from turnrow.yard.readings import COLUMNS, TYPES, Readings

DUBLIN = ZoneInfo("Europe/Dublin")
START = int(datetime(2026, 3, 1, tzinfo=UTC).timestamp())

one = st.tuples(
    st.integers(START, START + 400 * days.DAY_S),
    st.integers(0, 2),
    st.integers(-1, 3000),
    st.integers(-LARGEST, LARGEST),
    st.integers(0, 2),
    st.booleans(),
)


def columns(rows, stations=("1", "2", "north end")) -> Readings:
    at, station, depth, value, unit, timed = zip(*rows, strict=True) if rows else ([],) * 6
    moments = np.array(at, dtype=np.int64)
    made = (moments, days.days_of(moments, DUBLIN), station, depth, value, unit, timed, [9] * len(rows))
    every = (*made, range(1, len(rows) + 1))
    return Readings(
        **{name: np.array(x, dtype=kind) for name, x, kind in zip(COLUMNS, every, TYPES, strict=True)},
        stations=stations,
    )


@settings(deadline=None)
@given(st.lists(one, max_size=40))
def test_readings_packed_and_unpacked_are_the_same(rows):
    packed = columns(rows)
    back = blocks.unpack(blocks.pack(packed), 9, DUBLIN)
    assert back.stations == packed.stations
    for name in COLUMNS:
        got, kept = getattr(back, name), getattr(packed, name)
        assert got.dtype == kept.dtype
        assert got.tolist() == kept.tolist(), name


def test_the_same_readings_give_the_same_bytes_named_by_their_sha256():
    rows = [(START + n * 60, n % 3, 900, 55_000_000 + n, 0, True) for n in range(200)]
    blob = blocks.pack(columns(rows))
    assert blob == blocks.pack(columns(rows))
    assert blocks.name_of(blob) == hashlib.sha256(blob).hexdigest()


def test_the_layout_is_as_written_at_the_top_of_the_file():
    """Read by the standard library alone."""
    blob = blocks.pack(
        columns([(START, 1, 900, 55_000_000, 1, True), (START + 60, 0, -1, 54_937_500, 0, False)])
    )
    assert blob[:8] == b"TRBLOCK1"
    size = int.from_bytes(blob[8:12], "little")
    assert json.loads(blob[12 : 12 + size]) == {"n": 2, "stations": ["1", "2", "north end"]}
    plain = zlib.decompress(blob[12 + size :])
    assert len(plain) == 2 * 26

    def whole(start: int, width: int) -> list[int]:
        cells = (plain[start + k * width : start + (k + 1) * width] for k in range(2))
        return [int.from_bytes(cell, "little", signed=True) for cell in cells]

    assert whole(0, 8) == [START, 60]
    assert whole(16, 8) == [55_000_000, -62_500]
    assert [whole(32, 4), whole(40, 4), whole(48, 1), whole(50, 1)] == [[900, -1], [1, 0], [1, 0], [1, 0]]


GOOD = blocks.pack(columns([(START + n * 600, n % 3, 900, 55_000_000 + n, 0, True) for n in range(100)]))


@settings(deadline=None, max_examples=500)
@given(st.data())
def test_hostile_bytes_are_a_plain_no_or_readings(data):
    blob = bytearray(GOOD)
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(blob) - 1))
        blob[place] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(blob)))
    try:
        back = blocks.unpack(bytes(blob[:cut]), 1, DUBLIN)
    except ValueError:
        return
    assert len(back) <= 100


@settings(deadline=None, max_examples=300)
@given(st.integers(0, 6), st.binary(max_size=26 * 6), st.lists(st.text(max_size=3), max_size=3))
def test_any_columns_whatever_are_a_plain_no_or_sound_readings(n, plain, stations):
    header = json.dumps({"n": n, "stations": stations}).encode()
    padded = plain.ljust(26 * n, b"\0")[: 26 * n]
    blob = b"TRBLOCK1" + len(header).to_bytes(4, "little") + header + zlib.compress(padded)
    try:
        back = blocks.unpack(blob, 1, DUBLIN)
    except ValueError:
        return
    assert len(back) == n
    assert all(abs(value) <= LARGEST for value in back.value.tolist())
    assert all(0 <= code < len(stations) for code in back.station.tolist())
    assert back.heat.tolist() == [
        {0: v * 9, 1: (v - 32_000_000) * 5, 2: (v - 273_150_000) * 9}[u]
        for v, u in zip(back.value.tolist(), back.unit.tolist(), strict=True)
    ]


def packed(n: int, at: int = START, value: int = 0, station: int = 0, unit: int = 0) -> bytes:
    header = json.dumps({"n": n, "stations": ["1"]}).encode()
    cells = ((at, 8), (value, 8), (900, 4), (station, 4), (unit, 1), (1, 1))
    plain = b"".join(cell.to_bytes(width, "little", signed=True) for cell, width in cells)
    return b"TRBLOCK1" + len(header).to_bytes(4, "little") + header + zlib.compress(plain)


@pytest.mark.parametrize(
    "blob",
    [
        b"",
        b"TRBLOCK1",
        b"TRBLOCK2" + packed(1)[8:],
        b"TRBLOCK1\xff\xff\xff\xff{}",
        packed(2),
        packed(0),
        packed(-1),
        packed(10**12),
        packed(1, station=1),
        packed(1, station=-1),
        packed(1, unit=3),
        packed(1, at=2**62),
        packed(1, at=-(2**62)),
        packed(1, value=2**62),
        packed(1, value=-(2**63)),
    ],
)
def test_what_is_no_block_is_a_plain_no(blob):
    with pytest.raises(ValueError, match="block"):
        blocks.unpack(blob, 1, DUBLIN)


def test_a_bomb_is_not_inflated():
    header = json.dumps({"n": 1, "stations": ["1"]}).encode()
    blob = b"TRBLOCK1" + len(header).to_bytes(4, "little") + header + zlib.compress(b"\0" * 50_000_000)
    with pytest.raises(ValueError, match="block holds 27 bytes"):
        blocks.unpack(blob, 1, DUBLIN)


def test_what_could_not_be_unpacked_is_not_packed():
    for rows in ([(2**60, 0, 900, 0, 0, True)], [(START, 0, 900, LARGEST + 1, 0, True)]):
        made = columns([(START, 0, 900, 0, 0, True)])
        at, value = np.array([rows[0][0]]), np.array([rows[0][3]])
        wrong = Readings(
            **{n: getattr(made, n) for n in COLUMNS} | {"at": at, "value": value}, stations=("1",)
        )
        with pytest.raises(ValueError, match="block"):
            blocks.pack(wrong)


def test_a_block_of_nothing_goes_out_and_in():
    assert len(blocks.unpack(blocks.pack(readings.none()), 1, DUBLIN)) == 0

"""The fan: what it draws is what the outlook says, it says it without colour, and words agree with it."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from turnrow.heap.outlook import Band, Outlook, Passing
from turnrow.records.fan import FAN_HEAD, NARROW, WIDE, Drawn, fan_picture, fan_rows, fan_words
from turnrow.records.row_picture import LimitLine, RowPicture
from turnrow.yard.days import DAY_S, seconds
from turnrow.yard.temperature import NINTH

from .conftest import START, ordinary

NOW_S = seconds(START) + 23 * DAY_S + 3600
FLAT = Band(0.5, 0.5, 0.5, 0.5, 0.5)


def outlook(hours: int = 336) -> Outlook:
    """At 60 and 90 cm: the middle falls by 0.02 K an hour; the inner band is 1 K and more to each side."""
    h = np.arange(1.0, hours + 1)
    wide = 1.0 + h / 100.0
    one = np.stack([64 - 0.02 * h + d * wide for d in (-2, -1, 0, 1, 2)], axis=1)
    fan = np.stack([one, one - 5.0], axis=1)
    return Outlook(
        at_s=NOW_S,
        hours=h,
        depths_cm=np.array([60.0, 90.0]),
        fan=fan,
        as_now_c=np.array([63.0, 58.0]),
        passing=(Passing(65.5, 0.5, FLAT, False),),
        run_c=55.0,
        run=np.full(hours // 24, 0.6),
        moisture=(FLAT,) * (hours // 24),
        water_m3=FLAT,
        target=0.55,
        mass_t=FLAT,
        volume_m3=FLAT,
        curing_h=None,
        curing_chance=0.2,
        curing_rule="an invented one",
        used="process model",
        why="an invented outlook",
    )


def drawn(unit: str = "C", depth: float = 60.0, with_outlook: bool = True) -> Drawn:
    further = (LimitLine(9 * 65_500_000, "65.5 °C, turn"),)
    picture = RowPicture.of(ordinary(), None, None, unit=unit, further=further)  # type: ignore[arg-type]
    return Drawn(picture, outlook() if with_outlook else None, depth, NOW_S)


def points(svg: str, kind: str) -> list[tuple[float, float]]:
    found = re.search(rf'class="{kind}" d="M([^"Z]+)', svg)
    assert found is not None
    return [tuple(map(float, pair.split())) for pair in found[1].split("L")]  # type: ignore[misc]


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("unit", ["C", "F"])
def test_bands_and_middle_stand_where_the_limit_says(width: float, unit: str) -> None:
    """The dotted limit gives one height, the middle's first point another: the scale must carry all three."""
    svg = fan_picture(drawn(unit), width)
    ET.fromstring(svg)
    limit_y = float(re.search(r"M[\d.]+ ([\d.]+)L[^>]+1\.5 3\.5", svg)[1])  # type: ignore[index]
    middle = points(svg, "middle")
    outer, inner = points(svg, "band outer"), points(svg, "band inner")
    # drawn as a running mean of nine hours: at either end of the five that are there, so hours 3 and 334
    first, last = (64 - 0.02 * 3, middle[0][1]), (64 - 0.02 * 334, middle[-1][1])
    a_kelvin = (last[1] - first[1]) / (first[0] - last[0])
    assert limit_y == pytest.approx(first[1] - (65.5 - first[0]) * a_kelvin, abs=0.3)
    assert outer[0][1] == pytest.approx(first[1] - 2 * 1.03 * a_kelvin, abs=0.3)
    assert inner[0][1] == pytest.approx(first[1] - 1.03 * a_kelvin, abs=0.3)
    assert max(x for x, _ in outer) <= width and all(a[0] < b[0] for a, b in pairwise(middle))


def test_the_bands_have_edges_and_words_so_that_colour_is_not_needed() -> None:
    wide = fan_picture(drawn())
    assert wide.count('class="edge"') == 4 and wide.count('stroke-dasharray="5 4"') == 2
    for words in ("8 of 10 within", "9 of 10 within", "the middle", "now", "65.5 °C, turn"):
        assert words in wide
    assert "style=" not in wide and "<style" not in wide


def test_nothing_is_expected_before_now_and_nothing_read_after_it() -> None:
    svg = fan_picture(drawn(depth=90.0))
    now_x = float(re.search(r'x="([\d.]+)"[^>]*>now<', svg)[1]) - 4  # type: ignore[index]
    read = [
        float(x)
        for d in re.findall(r'class="trace" d="([^"]+)"', svg)
        for x in re.findall(r"[ML]?([\d.]+) ", d)
    ]
    assert read and max(read) <= now_x + 0.2
    assert min(x for x, _ in points(svg, "band outer")) >= now_x - 0.2


def test_words_and_table_say_what_the_fan_says() -> None:
    one = drawn()
    assert "tomorrow at this hour about 64 °C (8 of 10 from 62 °C to 65 °C)" in fan_words(one)
    rows = fan_rows(one)
    assert len(rows) == 14 and all(len(row) == len(FAN_HEAD) for row in rows)
    assert rows[0][1:] == ("61.0 °C", "62.3 °C", "63.5 °C", "64.8 °C", "66.0 °C")
    assert "146 °F" in fan_words(drawn("F"))


def test_another_depth_has_its_own_fan_and_only_readings_near_it() -> None:
    shallow, deep = drawn(depth=60.0), drawn(depth=90.0)
    assert float(deep.fan[0, 2]) == pytest.approx(float(shallow.fan[0, 2]) - 5.0)
    assert shallow.lines(10) == ()  # the readings of this row were taken at 90 cm
    heat = [int(v) for line in deep.lines(10) for v in line.heat]
    assert heat and max(heat) < 80 * NINTH


def test_without_an_outlook_the_plain_history_is_drawn() -> None:
    svg = fan_picture(drawn(depth=90.0, with_outlook=False))
    assert 'class="trace"' in svg and "band" not in svg
    assert fan_rows(drawn(with_outlook=False)) == []

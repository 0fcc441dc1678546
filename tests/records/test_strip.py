"""The strip: a cell a day and station, nothing by colour alone, nothing lost."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.records import pen
from turnrow.records.cividis import colour_of_heat, web
from turnrow.records.row_picture import LimitLine, RowPicture, whole_degrees
from turnrow.records.strip import TABLE_HEAD, heat_strip, strip_rows, strip_words
from turnrow.sanitation.standing import Suspect
from turnrow.yard.numbers import MICRO
from turnrow.yard.temperature import NINTH, ninths

from .conftest import WINDROW, Pages, build, ordinary, stand

SVG = "{http://www.w3.org/2000/svg}"


def picture(**more: object) -> RowPicture:
    history = ordinary(**more)  # type: ignore[arg-type]
    return RowPicture.of(history, stand(history), WINDROW)


def texts(svg: str) -> list[str]:
    return [t.text or "" for t in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_each_cell_shows_the_coldest_reading_of_its_day_rounded_down() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    pages.round(1, "R1", [54.9])
    pages.round(1.2, "R1", [61.0])
    history = pages.history("R1")
    svg = heat_strip(RowPicture.of(history, None, None))
    assert "54" in texts(svg)
    assert "55" not in texts(svg) and "61" not in texts(svg)
    assert web(colour_of_heat(ninths(54_900_000, "C"))) in svg


def test_figures_are_in_the_readers_unit_whatever_was_typed() -> None:
    history = ordinary(days=3, stations=1)
    drawn = RowPicture.of(history, None, None, unit="F")
    # 10.4 °C typed on day 1 (see heated): conversion F = 1.8 C + 32, rounded down
    typed = [int(v) / MICRO for v in history.readings.value]
    for value in typed:
        assert str(int(value * 1.8 + 32)) in texts(heat_strip(drawn))


@given(st.integers(-40 * MICRO, 120 * MICRO))
def test_whole_degrees_never_show_more_than_was_read(value: int) -> None:
    for unit in ("C", "F"):
        shown = whole_degrees(ninths(value, unit), unit)
        assert shown * MICRO <= value < (shown + 1) * MICRO


def test_a_day_and_a_station_not_read_are_hatched_and_said() -> None:
    svg = heat_strip(picture())
    root = ElementTree.fromstring(svg)
    unread = [p for p in root.iter(f"{SVG}path") if p.get("class") == "unread"]
    assert len(unread) == 6  # day 7 of five stations, and station 4 on day 11
    assert "hatched: not read" in texts(svg)
    assert "1 day not read" in strip_words(picture())


def test_a_suspect_cell_has_a_cut_corner_and_stands_in_the_table() -> None:
    history = ordinary(days=6, stations=2)
    suspects = (Suspect("2", 5, 5, "jump", "x"), Suspect("1", 0, 0, "freezing", "x", fault=False))
    drawn = RowPicture.of(history, stand(history, suspects), WINDROW)
    root = ElementTree.fromstring(heat_strip(drawn))
    assert len([p for p in root.iter(f"{SVG}path") if p.get("class") == "suspect"]) == 1
    marked = [row for row in strip_rows(drawn) if row[TABLE_HEAD.index("suspect")]]
    assert [(row[0], row[1]) for row in marked] == [("2026-05-05", "2")]


def test_turns_waterings_run_and_limit_stand_in_words() -> None:
    said = texts(heat_strip(picture()))
    assert said.count("turned") == 4
    assert "watered 2.5 m³" in said
    assert "13 hot days in a row, 15 needed; 4 turns, 5 needed" in said
    assert "limit: 55 °C or hotter, 15 days" in said


def test_nothing_read_says_so_instead_of_an_empty_box() -> None:
    pages = Pages()
    build(pages, "R1", 3)
    drawn = RowPicture.of(pages.history("R1"), None, WINDROW)
    assert "no temperature has been read" in heat_strip(drawn)
    assert strip_rows(drawn) == []


def test_no_inline_style_no_names_and_no_scripts_so_that_a_strict_policy_holds() -> None:
    for svg in (heat_strip(picture()), heat_strip(picture(days=120, stations=30))):
        assert not re.search(r"style|<script|\bid=|href|url\(", svg)
        assert 'fill="currentColor"' in svg


def test_a_strange_station_name_stays_text() -> None:
    pages = Pages()
    build(pages, "R1", 1)
    pages.round(1, "R1", [20.0])
    what = pages.lines[-1].entry.what
    reading = type(what.readings[0])('<b>"&\x07', 900, 20 * MICRO)  # type: ignore[union-attr]
    pages.write(2, type(what)(row="R1", unit="C", readings=(reading,)))  # type: ignore[call-arg]
    assert '<b>"&?' in texts(heat_strip(RowPicture.of(pages.history("R1"), None, None)))


@pytest.mark.parametrize("days, stations", [(24, 5), (60, 5), (120, 5), (120, 30), (400, 8), (900, 2)])
def test_every_day_and_every_extreme_is_in_the_picture_however_long(days: int, stations: int) -> None:
    drawn = picture(days=days, stations=stations)
    svg = heat_strip(drawn)
    root = ElementTree.fromstring(svg)
    width = float(root.get("viewBox", "").split()[2])
    for shape in root.iter(f"{SVG}rect"):
        assert float(shape.get("x", "0")) + float(shape.get("width", "0")) <= width + 0.5
    colours = {shape.get("fill") for shape in root.iter(f"{SVG}rect")}
    heat, table = drawn.readings.heat, drawn.daily
    lowest = [int(heat[i]) for i in table.coldest.ravel() if i >= 0]
    assert {web(colour_of_heat(h)) for h in lowest} <= colours
    hottest, coldest = drawn.whole(int(heat.max())), drawn.whole(int(heat.min()))
    said = " ".join(texts(svg)) + strip_words(drawn)
    assert hottest in said and coldest in said
    assert len(strip_rows(drawn)) == days * stations


@given(
    st.lists(
        st.tuples(st.floats(0, 900), st.sampled_from(["turned", "watered 2.5 m³", "moved to curing"])),
        max_size=60,
    )
)
@settings(max_examples=60, deadline=None)
def test_words_under_marks_never_lie_over_one_another(wanted: list[tuple[float, str]]) -> None:
    placed = pen.tiers([pen.Label(x, text) for x, text in wanted], 0, 960)
    for number, (tier, x, said) in enumerate(placed):
        half = pen.width_of(said) / 2
        assert x - half >= -0.01 and x + half <= 960.01
        for other_tier, other, text in placed[number + 1 :]:
            if tier == other_tier:
                assert abs(other - x) >= half + pen.width_of(text) / 2
    counted = sum(int(said.partition(" ×")[2] or 1) for _, _, said in placed)
    assert counted == len(wanted)


def test_the_same_row_is_drawn_the_same_twice() -> None:
    assert heat_strip(picture()) == heat_strip(picture())


def test_a_limit_off_the_scale_still_stands_at_its_end() -> None:
    drawn = RowPicture(
        "R1", picture().readings, ("1",), picture().zone, limits=(LimitLine(99 * NINTH, "99 °C"),)
    )
    assert "limit: 99 °C" in texts(heat_strip(drawn))


def test_a_phones_strip_keeps_every_word_inside_its_width() -> None:
    """Folded into weeks, with the station beside every week and no word cut or off the side."""
    for drawn in (picture(days=18), picture(days=70), picture(days=200)):
        for word in ElementTree.fromstring(heat_strip(drawn, 272)).iter(f"{SVG}text"):
            wide = pen.width_of(word.text or "") * 0.8  # as drawn; the room kept is a little more
            share = {"start": 0.0, "middle": 0.5, "end": 1.0}[word.get("text-anchor", "start")]
            left = float(word.get("x", "0")) - share * wide
            assert left >= -1 and left + wide <= 273, word.text

"""What is on hand: loads in, less what rows were built of. Worked by hand; the materials are invented.

A short ton is 0.90718474 t and a cubic yard 0.764554857984 m3: NIST Handbook 44, appendix C (MEMORY).
"""

from collections.abc import Callable

import pytest

from turnrow.yard import entries
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Line, LoadIn, Part, RowBuilt, Struck
from turnrow.yard.stock import Pile, piles

Lines = Callable[..., list[Line]]
WHEN = "2026-05-01T08:00:00+00:00"


def much(number: float, unit: str) -> Amount:
    return Amount(round(number * 1_000_000), unit)


def came(material: str, number: float, unit: str = "t", refused: str = "") -> LoadIn:
    return LoadIn(load="x", material=material, amount=much(number, unit), refused=refused)


def built(*parts: tuple[str, float, str]) -> RowBuilt:
    made = tuple(Part(material, much(number, unit)) for material, number, unit in parts)
    return RowBuilt(row="R1", parts=made)


def lie(lines: Lines, *what: entries.What) -> dict[str, Pile]:
    diary = Diary(lambda name: b"", lines(*((WHEN, one) for one in what)))
    return {pile.material: pile for pile in piles(diary)}


def test_a_pile_is_what_came_less_what_rows_took(lines: Lines) -> None:
    """12 t + 10 short tons - 15 t = 6.0718474 t."""
    found = lie(lines, came("straw", 12), came("straw", 10, "ton"), built(("straw", 15, "t")))
    assert found["straw"].tonnes == pytest.approx(6.0718474, abs=1e-9)
    assert found["straw"].lines == (1, 2, 3)


def test_loads_sent_away_and_struck_lines_do_not_count(lines: Lines) -> None:
    found = lie(
        lines,
        came("hay", 5),
        came("hay", 7, refused="plastic in it"),
        came("hay", 3),
        Struck(line=3, reason="twice"),
    )
    assert found["hay"].tonnes == pytest.approx(5)


def test_a_struck_row_gives_back_what_it_took(lines: Lines) -> None:
    found = lie(lines, came("hay", 5), built(("hay", 4, "t")), Struck(line=2, reason="another row"))
    assert found["hay"].tonnes == pytest.approx(5)


def test_names_meet_whatever_their_case_and_spaces(lines: Lines) -> None:
    found = lie(lines, came("Oat  Straw", 4), came("oat straw", 2), built(("OAT STRAW", 1, "t")))
    assert [(name, pile.tonnes) for name, pile in found.items()] == [("oat straw", pytest.approx(5))]


def test_volumes_stay_volumes_until_a_density_is_known(lines: Lines) -> None:
    """10 yd3 - 2 m3 = 5.64554857984 m3; of 200 kg/m3, 1.129109715968 t, and 1 t beside it."""
    pile = lie(lines, came("leaves", 10, "yd3"), came("leaves", 1), built(("leaves", 2, "m3")))["leaves"]
    assert pile.cubic_metres == pytest.approx(5.64554857984)
    assert pile.left(None) is None
    assert pile.left(200) == pytest.approx(2.129109715968)


def test_more_laid_than_came_is_shown_below_nothing(lines: Lines) -> None:
    found = lie(lines, came("chips", 2), built(("chips", 3, "t"), ("never written", 4, "t")))
    assert found["chips"].tonnes == pytest.approx(-1)
    assert "never written" not in found


def test_a_pile_used_up_is_empty(lines: Lines) -> None:
    """3 x 0.1 t came, 0.3 t went: floats leave 5e-17, which is nothing."""
    loads = [came("lime", 0.1)] * 3
    assert lie(lines, *loads, built(("lime", 0.3, "t")))["lime"].empty

"""The invented season as a diary: whole, repeatable, and labelled for what it is."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import get_args

import msgspec
import pytest

from turnrow.demo import cast, season
from turnrow.journal.book import Book
from turnrow.yard import entries
from turnrow.yard.entries import Line

ROLES = {"yard hand", "second yard hand", "trainee", "manager", "office"}


def _bytes(lines: list[Line]) -> list[bytes]:
    return [msgspec.json.encode(line) for line in lines]


def _built(path: Path, **what: object) -> list[Line]:
    season.build(path, **what)  # type: ignore[arg-type]
    with Book.open(str(path)) as book:
        return list(book.lines())


def test_the_same_day_and_seed_give_the_same_book(tmp_path: Path) -> None:
    first = _built(tmp_path / "one", end=date(2027, 4, 3), seed=11)
    again = _built(tmp_path / "two", end=date(2027, 4, 3), seed=11)
    other = _built(tmp_path / "three", end=date(2027, 4, 3), seed=12)
    assert _bytes(first) == _bytes(again)
    assert first[-1].seal != other[-1].seal
    assert {line.entry.id for line in first}.isdisjoint(line.entry.id for line in other)


def test_every_kind_of_entry_is_there(built) -> None:
    kinds = {type(line.entry.what) for line in built.lines}
    assert kinds == set(get_args(entries.What))


def test_the_book_verifies(built) -> None:
    assert built.book.verify() == ()
    assert 2500 <= len(built.lines) <= 6000


def test_it_says_first_that_it_is_invented(built) -> None:
    laid = built.lines[0].entry.what
    assert isinstance(laid, entries.YardLaidOut)
    assert laid.invented
    assert "invented" in laid.place
    note = built.lines[1].entry.what
    assert isinstance(note, entries.Note)
    assert "Invented" in note.text


def test_people_are_roles(built) -> None:
    assert {line.entry.who for line in built.lines} == ROLES


def test_about_forty_rows_over_one_season(built) -> None:
    rows = [line.entry.what for line in built.lines if isinstance(line.entry.what, entries.RowBuilt)]
    assert len({row.row for row in rows}) == len(rows) == 43
    assert {row.process for row in rows} == {"turned", "static", "slow", "worm"}
    span = built.lines[-1].entry.happened - built.lines[0].entry.happened
    assert timedelta(days=240) < span < timedelta(days=275)


def test_nothing_is_written_before_it_happened_nor_out_of_order(built) -> None:
    assert all(line.written >= line.entry.happened for line in built.lines)
    written = [line.written for line in built.lines]
    assert written == sorted(written)
    assert written[-1] < built.morning


def test_the_far_pad_came_late_while_the_phone_had_no_signal(built) -> None:
    late = [line for line in built.lines if line.written - line.entry.happened > timedelta(hours=20)]
    assert {built.day(0) - line.entry.happened.date().toordinal() for line in late} == {33, 32, 31}
    assert {line.entry.device for line in late} == {cast.SECOND_PHONE}
    assert "R29" in {getattr(line.entry.what, "row", "") for line in late}
    assert len({line.written for line in late}) == 1


def test_a_season_fits_any_last_day(tmp_path: Path) -> None:
    """Leap day, the mornings on which the clocks change, the turn of the year."""
    for end in (date(2028, 2, 29), date(2027, 3, 14), date(2026, 11, 1), date(2027, 1, 1)):
        lines = _built(tmp_path / end.isoformat(), end=end)
        assert lines[-1].entry.happened.date() == end
        assert all(line.written >= line.entry.happened for line in lines), end


def test_the_season_offered_is_over_by_now() -> None:
    noon_utc = datetime(2026, 10, 14, 12, 30, tzinfo=UTC)  # 07:30 in the yard
    assert season.last_morning(noon_utc) == date(2026, 10, 14)
    assert season.last_morning(noon_utc - timedelta(hours=1)) == date(2026, 10, 13)


def test_a_book_with_lines_is_left_alone(built) -> None:
    with pytest.raises(ValueError, match="wants 0"):
        season.build(built.book, end=date(2026, 10, 14))
    assert built.book.head().line == len(built.lines)

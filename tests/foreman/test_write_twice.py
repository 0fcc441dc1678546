"""An entry sent again is the one there already, even where the first changed what it is read against."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.yard.wrongs import Refused

NOW = datetime(2026, 5, 3, 7, 40, tzinfo=UTC)
FORMS = {
    "row built": {"row": "R1", "stations": "1..3"},
    "load in": {"load": "T1", "material": "straw", "amount": "4 t"},
    "note": {"text": "steam"},
}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Book.create(str(tmp_path / "yard.journal")) as book:
        yield Desk(book)


@pytest.mark.parametrize("kind", FORMS)
def test_sent_again_later_it_is_known(desk: Desk, kind: str) -> None:
    first = desk.write(kind, FORMS[kind], now=NOW, who="Ada", id="a-1")
    later = desk.write(kind, FORMS[kind], now=NOW + timedelta(hours=3), who="Ada", id="a-1")
    assert (later.lines, later.known) == ((), (first.lines[0].number,))
    assert desk.book.head().line == 1


def test_a_strike_sent_again_is_known(desk: Desk) -> None:
    desk.write("note", {"text": "steam"}, now=NOW, who="Ada")
    for _ in range(2):
        receipt = desk.write("struck", {"line": "1", "reason": "dew"}, now=NOW, who="Ada", id="a-2")
    assert (receipt.known, desk.book.head().line) == ((2,), 2)


def test_other_words_under_a_known_id_are_refused(desk: Desk) -> None:
    desk.write("note", {"text": "steam"}, now=NOW, who="Ada", id="a-1")
    with pytest.raises(Refused):
        desk.write("note", {"text": "smoke"}, now=NOW, who="Ada", id="a-1")
    assert desk.book.head().line == 1

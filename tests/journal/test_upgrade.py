"""Old lines are read through steps; their bytes stay."""

import msgspec
import pytest

from turnrow.journal import seal, upgrade
from turnrow.journal.book import Book
from turnrow.journal.store import Row
from turnrow.yard import entries
from turnrow.yard.wrongs import Refused

OLD = (
    b'{"happened":"2019-05-03T07:40:00Z","id":"old","v":0,'
    b'"what":{"kind":"stirred","pile":"R7","times":2},"who":"Ana"}'
)


def step(thing):
    """From an invented format 0, in which rows were piles and turned was stirred."""
    what = dict(thing["what"])
    if what["kind"] == "stirred":
        what = {"kind": "turned", "row": what["pile"], "passes": what["times"]}
    return {**thing, "what": what}


@pytest.fixture
def old_book(book: Book) -> Book:
    us = 1_556_870_000_000_000
    with book.store.writing():
        book.store.add([Row(1, "old", us, OLD, seal.seal(seal.GENESIS, 1, us, OLD), None)])
    return book


def test_an_old_line_reads_in_todays_words_and_keeps_its_bytes(old_book, make, written, monkeypatch):
    monkeypatch.setattr(upgrade, "STEPS", {0: step})
    line = old_book.line(1)
    assert line.entry.what == entries.Turned(row="R7", passes=2)
    assert line.entry.v == entries.FORMAT
    old_book.append([make("new")], written=written)
    assert old_book.verify() == ()
    assert old_book.store.row(1).raw == OLD


def test_an_old_phone_sending_again_what_is_there_is_known(old_book, written, monkeypatch):
    monkeypatch.setattr(upgrade, "STEPS", {0: step})
    receipt = old_book.append([old_book.line(1).entry], written=written)
    assert (receipt.known, receipt.lines) == ((1,), ())
    other = msgspec.structs.replace(old_book.line(1).entry, who="Ben")
    with pytest.raises(Refused, match="line 1"):
        old_book.append([other], written=written)


def test_a_format_no_step_leads_from_is_a_fault_of_its_line(old_book):
    found = old_book.verify()
    assert [(fault.line, fault.check) for fault in found] == [(1, "entry")]


def test_a_line_of_a_newer_turnrow_is_refused_by_name_and_the_chain_still_checked(book):
    newer = OLD.replace(b'"v":0', b'"v":99')
    us = 1_556_870_000_000_000
    with book.store.writing():
        book.store.add([Row(1, "old", us, newer, seal.seal(seal.GENESIS, 1, us, newer), None)])
    with pytest.raises(Refused, match="newer turnrow"):
        list(book.lines())
    assert [(fault.line, fault.check) for fault in book.verify()] == [(1, "format")]


def test_the_bytes_always_say_their_format(make):
    assert f'"v":{entries.FORMAT}'.encode() in seal.canonical(make("a"))


@pytest.mark.parametrize("raw", [b"", b"{}", b"[]", b"null", b'{"v":"1"}', b'{"v":1}', b"\xff", b"[" * 5000])
def test_bytes_that_are_no_entry_are_a_value_error(raw):
    with pytest.raises(ValueError, match="not an entry"):
        upgrade.entry_of(raw)


def test_a_note_from_before_the_cameras_time_was_kept_reads_and_writes_as_it_was():
    raw = (
        b'{"happened":"2026-05-03T07:40:00Z","id":"7f","v":1,"what":{"kind":"note","photo":"'
        + b"ef" * 32
        + b'","photo_kind":"image/jpeg","text":"steam"},"who":"Ana"}'
    )
    entry = upgrade.entry_of(raw)
    assert isinstance(entry.what, entries.Note) and entry.what.photo_taken == ""
    assert seal.canonical(entry) == raw

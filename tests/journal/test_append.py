"""What goes into a book, and what is turned away."""

import sqlite3
from datetime import datetime, timedelta

import msgspec
import pytest

from turnrow.journal.book import Book
from turnrow.yard import blocks, entries
from turnrow.yard.wrongs import Refused


def whys(refused):
    return [refusal.do for refusal in refused.value.refusals]


def test_lines_are_numbered_from_one_without_holes_and_sealed_to_each_other(book, make, written):
    first = book.append([make("a"), make("b")], written=written)
    second = book.append([make("c")], written=written + timedelta(hours=1))
    lines = list(book.lines())
    assert [line.number for line in lines] == [1, 2, 3]
    assert tuple(lines) == first.lines + second.lines
    assert len({line.seal for line in lines}) == 3
    assert book.head().seal == lines[-1].seal


def test_an_entry_reads_back_as_it_was_typed_offset_and_all(book, make, written):
    happened = datetime.fromisoformat("2026-05-03T07:40:00+01:00")
    book.append([make("a", happened=happened, device="Ana's phone", day_only=True)], written=written)
    back = book.line(1).entry
    assert back == make("a", happened=happened, device="Ana's phone", day_only=True)
    assert back.happened.utcoffset() == timedelta(hours=1)
    assert book.line(1).written == written


def test_an_entry_sent_twice_is_written_once(book, make, written):
    book.append([make("a"), make("b")], written=written)
    again = book.append([make("b"), make("c"), make("a")], written=written + timedelta(days=1))
    assert again.known == (2, 1)
    assert [line.entry.id for line in again.lines] == ["c"]
    assert book.head().line == 3


def test_an_entry_twice_in_one_sending_is_written_once(book, make, written):
    receipt = book.append([make("a"), make("a")], written=written)
    assert (len(receipt.lines), receipt.known) == (1, (1,))


def test_the_same_id_with_other_words_is_refused_and_names_the_line(book, make, written):
    book.append([make("a"), make("b")], written=written)
    with pytest.raises(Refused) as refused:
        book.append([make("c"), make("b", who="Ben")], written=written)
    assert "line 2" in whys(refused)[0]
    assert book.head().line == 2


def test_the_same_moment_with_another_offset_is_another_entry(book, make, written):
    book.append([make("a", happened=datetime.fromisoformat("2026-05-03T07:40:00+01:00"))], written=written)
    with pytest.raises(Refused):
        book.append(
            [make("a", happened=datetime.fromisoformat("2026-05-03T06:40:00+00:00"))], written=written
        )


def test_every_refusal_is_told_at_once_and_nothing_is_written(book, make, packed, logged, written):
    book.append([make("a")], written=written)
    with pytest.raises(Refused) as refused:
        book.append(
            [make("a", who="Ben"), logged, make("x", entries.Struck(line=9, reason="")), make("good")],
            {"0" * 64: b"stray"},
            written=written,
        )
    text = " ".join(refusal.sentence() for refusal in refused.value.refusals)
    assert len(refused.value.refusals) == 4
    for said in ("stands on line 1", "Send its bytes", "no such line", "no entry that names it"):
        assert said in text
    assert book.head().line == 1


def test_an_entry_that_would_not_read_back_is_refused_before_the_book_is_touched(book, make, written):
    wrong = [
        make("a", entries.Turned(row="R7", passes="two")),
        make("b", happened=datetime(2026, 5, 3)),
        make("", entries.Turned(row="R7")),
        make("c", entries.Note(text="\ud800")),
        make("d", v=entries.FORMAT + 1),
    ]
    with pytest.raises(Refused) as refused:
        book.append([*wrong, make("good")], written=written)
    assert len(refused.value.refusals) == len(wrong)
    assert book.head().line == 0


@pytest.mark.parametrize("line", [0, -1, 7, 10**18])
def test_a_strike_of_no_line_is_refused(full, make, written, line):
    with pytest.raises(Refused, match="no such line"):
        full.append([make("s", entries.Struck(line=line, reason="slip"))], written=written)


def test_a_strike_of_a_struck_line_is_refused(full, make, written):
    with pytest.raises(Refused, match="struck already, by line 6"):
        full.append([make("s", entries.Struck(line=3, reason="slip"))], written=written)


def test_a_strike_of_a_strike_is_refused(full, make, written):
    with pytest.raises(Refused, match="a strike itself"):
        full.append([make("s", entries.Struck(line=6, reason="slip"))], written=written)


def test_strikes_within_one_sending_follow_the_same_rules(book, make, written):
    def strike(id, line):
        return make(id, entries.Struck(line=line, reason="slip"))

    receipt = book.append([make("a"), strike("s", 1)], written=written)
    assert [line.number for line in receipt.lines] == [1, 2]
    with pytest.raises(Refused) as refused:
        book.append(
            [make("b"), strike("t", 3), strike("u", 3), strike("v", 4), strike("w", 7)], written=written
        )
    assert len(refused.value.refusals) == 3


def test_a_blob_must_come_with_its_entry_and_bear_the_name_of_its_bytes(book, logged, packed, written):
    name = blocks.name_of(packed)
    with pytest.raises(Refused, match="Send its bytes"):
        book.append([logged], written=written)
    with pytest.raises(Refused, match="named by the SHA-256"):
        book.append([logged], {name: packed + b"!"}, written=written)
    book.append([logged], {name: packed}, written=written)
    assert book.blob(name) == packed
    assert book.append([logged], {name: packed}, written=written).known == (1,)


def test_a_block_that_holds_other_readings_than_its_entry_says_is_refused(book, logged, packed, written):
    wrong = msgspec.structs.replace(logged, what=msgspec.structs.replace(logged.what, count=49))
    with pytest.raises(Refused, match="holds 50 readings"):
        book.append([wrong], {blocks.name_of(packed): packed}, written=written)


def test_the_file_a_block_was_read_from_may_be_kept_beside_it(book, logged, packed, written):
    text = b"at,value\n2026-05-03,54.9\n"
    name = blocks.name_of(text)
    what = msgspec.structs.replace(logged.what, file="probe.csv", file_hash=name)
    receipt = book.append(
        [msgspec.structs.replace(logged, what=what)],
        {blocks.name_of(packed): packed, name: text},
        written=written,
    )
    assert (len(receipt.lines), book.blob(name)) == (1, text)
    assert book.verify() == ()


def test_a_clock_set_back_does_not_turn_the_book_back(book, make, written):
    book.append([make("a")], written=written)
    receipt = book.append([make("b")], written=written - timedelta(hours=2))
    assert receipt.lines[0].written == written
    assert receipt.clock_behind_s == 7200
    assert book.append([make("c")], written=written + timedelta(seconds=1)).clock_behind_s == 0
    assert book.verify() == ()


def test_a_late_entry_stands_where_it_arrived(book, make, written):
    book.append([make("today")], written=written)
    book.append([make("from a phone", happened=written - timedelta(days=4))], written=written)
    assert [line.entry.id for line in book.lines()] == ["today", "from a phone"]


def test_written_needs_a_zone_and_a_year_after_1970(book, make, written):
    for wrong in (datetime(2026, 5, 3), datetime.fromisoformat("1969-12-31T00:00:00+00:00")):
        with pytest.raises(ValueError, match="written"):
            book.append([make("a")], written=wrong)


def test_nothing_to_write_writes_nothing(book, written):
    assert book.append([], written=written).lines == ()
    assert book.head().line == 0


def test_lines_start_after_a_line_and_a_line_not_there_is_refused(full):
    assert [line.number for line in full.lines(after=4)] == [5, 6]
    assert list(full.lines(after=6)) == []
    with pytest.raises(Refused, match="last line is 6"):
        full.line(7)


def test_many_entries_go_in_and_out_in_order(book, make, written):
    every = [make(f"id {n}", entries.Turned(row=f"R{n % 9}")) for n in range(1203)]
    book.append(every, written=written)
    assert [line.entry for line in book.lines()] == every
    assert book.append(every, written=written).known == tuple(range(1, 1204))


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE lines SET bytes = x'00' WHERE number = 3",
        "UPDATE lines SET written_us = 0",
        "DELETE FROM lines WHERE number = 6",
        "DELETE FROM lines",
        "INSERT OR REPLACE INTO lines SELECT 6, 'other', written_us, bytes, seal, strikes FROM lines LIMIT 1",
        "INSERT OR REPLACE INTO lines SELECT 7, 'turn', written_us, bytes, seal, strikes FROM lines LIMIT 1",
        "INSERT INTO lines SELECT 9, 'other', written_us, bytes, seal, strikes FROM lines LIMIT 1",
        "UPDATE blobs SET bytes = x'00'",
        "DELETE FROM blobs",
        "INSERT OR REPLACE INTO blobs SELECT name, x'00' FROM blobs",
    ],
)
def test_the_file_itself_refuses_to_change_or_remove(full: Book, sql):
    before = list(full.store.rows())
    with sqlite3.connect(full.store.where) as raw, pytest.raises(sqlite3.IntegrityError):
        raw.execute(sql)
    raw.close()
    assert list(full.store.rows()) == before
    assert full.verify() == ()

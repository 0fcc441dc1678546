"""Nothing in a book can be changed, dropped, swapped, slipped in or cut off unseen."""

import sqlite3
import sys
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from tamper import past_the_guards

from turnrow.journal import seal
from turnrow.journal.book import Book
from turnrow.journal.store import Row
from turnrow.yard import entries
from turnrow.yard.wrongs import DamagedJournal, Refused

quick = settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    derandomize=True,
)


@pytest.fixture
def file(full: Book) -> Path:
    full.close()
    return Path(full.store.where)


@pytest.fixture
def copy(file: Path):
    """A fresh copy of the six lines each time it is called."""
    whole = file.read_bytes()

    def fresh() -> Path:
        other = file.with_name("copy.journal")
        other.with_name("copy.journal-journal").unlink(missing_ok=True)
        other.write_bytes(whole)
        return other

    return fresh


def faults(path: Path, **asked):
    with Book.open(str(path)) as book:
        return book.verify(**asked)


def rows(path: Path) -> list[Row]:
    with Book.open(str(path)) as book:
        return list(book.store.rows())


def put(raw: sqlite3.Connection, every: list[Row]) -> None:
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute("DELETE FROM lines")
    raw.executemany("INSERT INTO lines VALUES (?, ?, ?, ?, ?, ?)", every)


def test_a_book_as_it_was_written_holds(file):
    assert faults(file) == ()


def test_an_empty_book_holds(book):
    assert book.verify() == ()
    assert book.verify(expect_head="0:" + book.head().seal)[0].check == "head"  # no line bears the first seal


FLIPS = [(line, column) for line in range(1, 7) for column in ("bytes", "seal", "id", "written_us")]


@quick
@given(st.data())
def test_any_flipped_bit_of_any_column_is_found_and_its_line_named(copy, data):
    line, column = data.draw(st.sampled_from(FLIPS))
    path = copy()
    with past_the_guards(path) as raw:
        kept = raw.execute(f"SELECT {column} FROM lines WHERE number = ?", (line,)).fetchone()[0]
        changed = flipped(kept, data)
        place = "CAST(? AS TEXT)" if isinstance(kept, str) else "?"
        raw.execute(f"UPDATE lines SET {column} = {place} WHERE number = ?", (changed, line))
    found = faults(path)
    assert found and found[0].line == line, (column, found)


@quick
@given(st.data())
def test_any_flipped_bit_of_a_blob_or_its_name_is_found(copy, data):
    path = copy()
    column = data.draw(st.sampled_from(["bytes", "name"]))
    with past_the_guards(path) as raw:
        kept = raw.execute(f"SELECT {column} FROM blobs").fetchone()[0]
        place = "CAST(? AS TEXT)" if isinstance(kept, str) else "?"
        raw.execute(f"UPDATE blobs SET {column} = {place}", (flipped(kept, data),))
    found = faults(path)
    assert (found[0].line, found[0].check) == (4, "blob")


def flipped(kept, data):
    """The value with one bit the other way."""
    if isinstance(kept, int):
        return kept ^ (1 << data.draw(st.integers(0, 62)))
    changed = bytearray(kept.encode() if isinstance(kept, str) else kept)
    bit = data.draw(st.integers(0, len(changed) * 8 - 1))
    changed[bit // 8] ^= 1 << bit % 8
    return bytes(changed)


@quick
@given(st.data())
def test_any_flipped_bit_of_the_file_is_found_or_changed_no_line(copy, data):
    path = copy()
    before, blob = rows(path), blobs(path)
    whole = bytearray(path.read_bytes())
    bit = data.draw(st.integers(0, len(whole) * 8 - 1))
    whole[bit // 8] ^= 1 << bit % 8
    path.write_bytes(whole)
    try:
        found = faults(path)
        unchanged = found or (rows(path) == before and blobs(path) == blob)
    except (Refused, DamagedJournal):
        return
    assert unchanged, f"bit {bit}"


def blobs(path: Path):
    with Book.open(str(path)) as book:
        return {name: book.store.blob(name) for name in book.store.blob_names()}


@pytest.mark.parametrize("line", range(1, 6))
def test_a_dropped_line_is_found(copy, line):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("DELETE FROM lines WHERE number = ?", (line,))
    found = faults(path)
    assert (found[0].line, found[0].check) == (line, "number")
    with Book.open(str(path)) as book, pytest.raises(DamagedJournal) as stopped:
        list(book.lines())
    assert stopped.value.line == line


@pytest.mark.parametrize("line", range(1, 6))
def test_a_dropped_line_is_found_when_the_rest_is_numbered_anew(copy, line):
    path = copy()
    every = [row for row in rows(path) if row.number != line]
    every = [row._replace(number=number) for number, row in enumerate(every, 1)]
    with past_the_guards(path) as raw:
        put(raw, every)
    assert (line, "seal") in [(fault.line, fault.check) for fault in faults(path)]
    assert faults(path)[0].line == line


@pytest.mark.parametrize(("one", "other"), [(1, 2), (2, 3), (1, 5), (4, 5), (2, 6)])
def test_swapped_lines_are_found(copy, one, other):
    path = copy()
    every = rows(path)
    every[one - 1], every[other - 1] = (
        every[other - 1]._replace(number=one),
        every[one - 1]._replace(number=other),
    )
    with past_the_guards(path) as raw:
        put(raw, every)
    assert faults(path)[0].line == one


@pytest.mark.parametrize("line", range(1, 8))
def test_a_line_slipped_in_is_found_though_sealed_to_the_line_before(copy, make, line):
    path = copy()
    every = rows(path)
    before = every[line - 2].seal if line > 1 else seal.GENESIS
    entry = make("forged", entries.Turned(row="R7"))
    raw_bytes, us = seal.canonical(entry), every[0].written_us
    slipped = Row(line, entry.id, us, raw_bytes, seal.seal(before, line, us, raw_bytes), None)
    rest = [row._replace(number=row.number + 1) for row in every[line - 1 :]]
    with past_the_guards(path) as raw:
        put(raw, [*every[: line - 1], slipped, *rest])
    if line <= 6:
        assert faults(path)[0].line == line + 1
    else:  # at the end anyone can add a line: that is what the book is for
        assert faults(path) == ()


def test_a_cut_tail_is_found_by_the_head_on_a_paper_only(copy):
    path = copy()
    paper = rows(path)[-1].seal.hex()
    with past_the_guards(path) as raw:
        raw.execute("DELETE FROM lines WHERE number = 6")
    assert faults(path) == ()
    assert [(fault.line, fault.check) for fault in faults(path, expect_head=paper)] == [(0, "head")]
    assert [(fault.line, fault.check) for fault in faults(path, expect_head="6:" + paper)] == [(6, "head")]


def test_a_book_written_anew_from_a_line_is_found_by_the_head_on_a_paper(copy, make):
    path = copy()
    every = rows(path)
    paper = f"5:{every[4].seal.hex()[:16]}"
    assert faults(path, expect_head=paper) == ()
    entry = make(
        "round", entries.Round(row="R7", unit="C", readings=(entries.Reading("1", 900, 65_000_000),))
    )
    every[2] = every[2]._replace(raw=seal.canonical(entry))
    with past_the_guards(path) as raw:
        put(raw, sealed_anew(every))
    assert faults(path) == ()
    assert [(fault.line, fault.check) for fault in faults(path, expect_head=paper)] == [(5, "head")]


def sealed_anew(every: list[Row]) -> list[Row]:
    before, out = seal.GENESIS, []
    for row in every:
        before = seal.seal(before, row.number, row.written_us, row.raw)
        out.append(row._replace(seal=before))
    return out


def test_a_paper_of_an_earlier_day_still_proves_its_part(full, make, written):
    paper = full.head()
    full.append([make("later")], written=written)
    assert full.verify(expect_head=paper.seal) == ()
    assert full.verify(expect_head=f"{paper.line}: {paper.seal[:8]} {paper.seal[8:24]}") == ()
    assert full.verify(expect_head=f"7:{paper.seal}")[0].check == "head"


@pytest.mark.parametrize("wrong", ["abc", "412:", "g" * 64, "a" * 15, "a" * 65, "-1:" + "a" * 64])
def test_a_head_that_is_none_is_refused(full, wrong):
    with pytest.raises(Refused, match="Copy the seal"):
        full.verify(expect_head=wrong)


def change(raw_bytes: bytes, old: bytes, new: bytes) -> bytes:
    assert old in raw_bytes
    return raw_bytes.replace(old, new)


WELL_SEALED = {
    # what a program that seals rightly but writes wrongly would leave behind
    "canonical": lambda rows: (2, {"raw": change(rows[1].raw, b'"id":', b'"id": ')}),
    "entry": lambda rows: (5, {"raw": change(rows[4].raw, b'"turned"', b'"flipped"')}),
    "format": lambda rows: (5, {"raw": change(rows[4].raw, b'"v":1', b'"v":99')}),
    "id": lambda rows: (5, {"raw": change(rows[4].raw, b'"turn"', b'"built"')}),
    "strike": lambda rows: (6, {"raw": change(rows[5].raw, b'"line":3', b'"line":6'), "strikes": 6}),
    "written": lambda rows: (4, {"written_us": 5}),
    "block": lambda rows: (4, {"raw": change(rows[3].raw, b'"count":50', b'"count":51')}),
    "blob": lambda rows: (4, {"raw": change(rows[3].raw, b'"blob":"', b'"blob":"0')}),
}


@pytest.mark.parametrize("check", WELL_SEALED)
def test_each_check_finds_its_own_fault_under_right_seals(copy, check):
    path = copy()
    every = rows(path)
    line, changed = WELL_SEALED[check](every)
    every[line - 1] = every[line - 1]._replace(**changed)
    with past_the_guards(path) as raw:
        put(raw, sealed_anew(every))
    found = faults(path)
    assert (line, check) in [(fault.line, fault.check) for fault in found]
    assert {fault.line for fault in found} <= {line, 0}


def test_a_strike_filed_wrong_is_found(copy):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("UPDATE lines SET strikes = 2 WHERE number = 6")
    assert [(fault.line, fault.check) for fault in faults(path)] == [(6, "strike")]


def test_a_blob_of_no_line_is_found(copy):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("INSERT INTO blobs VALUES (?, x'00')", ("0" * 64,))
    assert [(fault.line, fault.check) for fault in faults(path)] == [(0, "blob")]


def test_guards_taken_off_are_found(copy):
    path = copy()
    with sqlite3.connect(path) as raw:
        raw.execute("DROP TRIGGER line_stays")
    raw.close()
    assert [(fault.line, fault.check) for fault in faults(path)] == [(0, "structure")]


def test_faults_are_bounded_and_the_rest_counted(copy):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("UPDATE lines SET seal = zeroblob(32)")
    found = faults(path, most=3)
    assert [fault.line for fault in found] == [1, 2, 3, 0]
    assert found[-1].what == "3 more faults"


def test_reading_stops_at_a_line_that_does_not_read_and_names_it(copy):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("UPDATE lines SET bytes = x'7B7D' WHERE number = 4")
    with Book.open(str(path)) as book:
        came = []
        with pytest.raises(DamagedJournal, match="line 4") as stopped:
            for line in book.lines():
                came.append(line.number)
        assert (came, stopped.value.line) == ([1, 2, 3], 4)
        with pytest.raises(DamagedJournal, match="line 4"):
            book.line(4)


def test_a_changed_or_missing_blob_is_never_handed_out(copy, logged):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("UPDATE blobs SET bytes = x'00'")
    with Book.open(str(path)) as book:
        with pytest.raises(DamagedJournal, match="has changed"):
            book.blob(logged.what.blob)
        with pytest.raises(DamagedJournal, match="missing"):
            book.blob("0" * 64)


def test_faults_read_as_plain_objects(copy):
    path = copy()
    with past_the_guards(path) as raw:
        raw.execute("UPDATE lines SET seal = zeroblob(32) WHERE number = 6")
    assert set(msgspec.to_builtins(faults(path)[0])) == {"line", "check", "what"}


def test_lines_that_go_backwards_are_named_and_not_read_for_ever(full: Book, monkeypatch):
    """As SQLite answers from a garbled page: asked for later lines, it gives an earlier one."""
    first = full.store.row(1)
    assert first is not None
    real = full.store._all
    monkeypatch.setattr(
        full.store,
        "_all",
        lambda query, *v: [tuple(first)] if "ORDER BY number LIMIT" in query else real(query, *v),
    )
    found = full.verify()
    assert any(fault.check == "structure" and "order of their numbers" in fault.what for fault in found)

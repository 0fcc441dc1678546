"""A book copied out and in again is the same book."""

import io
import json
import sys
import tracemalloc
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from tamper import past_the_guards

from turnrow.journal.book import Book
from turnrow.journal.export import export_lines, import_lines
from turnrow.yard import blocks, entries
from turnrow.yard.wrongs import DamagedJournal, Refused


@pytest.fixture
def out(full: Book, tmp_path: Path) -> Path:
    path = tmp_path / "yard.jsonl"
    with path.open("wb") as to:
        export_lines(full, to)
    return path


@pytest.fixture
def other(tmp_path: Path):
    with Book.create(str(tmp_path / "other.journal")) as made:
        yield made


def whole(book: Book):
    return list(book.store.rows()), {name: book.store.blob(name) for name in book.store.blob_names()}


def test_out_and_in_gives_the_same_book_bytes_seals_and_blobs(full, out, other):
    taken = import_lines(other, out)
    assert whole(other) == whole(full)
    assert (taken.added, taken.known, taken.head) == (6, 0, full.head())
    assert other.verify(expect_head=full.head().seal) == ()
    again = io.BytesIO()
    export_lines(other, again)
    assert again.getvalue() == out.read_bytes()


def test_the_same_file_twice_adds_nothing(out, other):
    import_lines(other, out)
    taken = import_lines(other, out)
    assert (taken.added, taken.known) == (0, 6)


def test_a_book_that_holds_a_first_part_gets_the_rest(full, out, other, make, written, tmp_path):
    import_lines(other, out)
    full.append([make("later"), make("note", entries.Note(text='ß µ 腐 \n"quoted"'))], written=written)
    longer = tmp_path / "longer.jsonl"
    with longer.open("wb") as to:
        export_lines(full, to)
    taken = import_lines(other, longer)
    assert (taken.added, taken.known) == (2, 6)
    assert whole(other) == whole(full)


def test_a_book_longer_than_the_file_stays_as_it_is(full, out, make, written):
    full.append([make("later")], written=written)
    before = whole(full)
    assert import_lines(full, out).added == 0
    assert whole(full) == before


def test_another_history_is_refused_from_the_first_line_that_differs(out, other, make, written):
    other.append([make("lay", entries.YardLaidOut(name="Top Field", zone="UTC"))], written=written)
    before = whole(other)
    with pytest.raises(Refused, match=r"line 1.*another history"):
        import_lines(other, out)
    assert whole(other) == before


def edited(path: Path, change) -> Path:
    lines = path.read_bytes().splitlines(keepends=True)
    change(lines)
    path.write_bytes(b"".join(lines))
    return path


def swap(lines):
    lines[2], lines[3] = lines[3], lines[2]


# rows of the file: 0 its top, 1 2 3 lines, 4 the blob, 5 line 4, 6 7 lines 5 and 6
BROKEN = {
    "a changed word": (lambda rows: rows.__setitem__(2, rows[2].replace(b"R7", b"R8")), "line 2, seal"),
    "a changed moment": (
        lambda rows: rows.__setitem__(1, rows[1].replace(b'"written":1', b'"written":2')),
        "seal",
    ),
    "a dropped line": (lambda rows: rows.pop(2), "line 2, number"),
    "swapped lines": (swap, "number"),
    "a line told twice": (
        lambda rows: rows.insert(3, rows[2]),
        "line 2, number: got line 2 stands again after line 2",
    ),
    "a cut tail": (lambda rows: rows.pop(), "line 5, head"),
    "a line torn in the middle": (lambda rows: rows.__setitem__(7, rows[7][:40]), "row 8 of the file"),
    "a dropped blob": (lambda rows: rows.pop(4), "line 4, blob"),
    "a changed blob": (
        lambda rows: rows.__setitem__(4, rows[4].replace(b'"bytes":"V', b'"bytes":"W')),
        "line 4, blob",
    ),
    "a stray blob": (lambda rows: rows.append(b'{"blob":"' + b"0" * 64 + b'","bytes":"AA=="}\n'), "blob"),
    "spaces in an entry": (
        lambda rows: rows.__setitem__(2, rows[2].replace(b'"id":', b'"id": ')),
        "line 2, seal",
    ),
    "a seal that is none": (
        lambda rows: rows.__setitem__(2, rows[2].replace(b'"seal":"', b'"seal":"zz')),
        "line 2, seal",
    ),
    "no top": (lambda rows: rows.pop(0), "turnrow export wrote"),
    "a newer form": (
        lambda rows: rows.__setitem__(0, rows[0].replace(b'"form":1', b'"form":2')),
        "newer turnrow",
    ),
    "an empty file": (lambda rows: rows.clear(), "turnrow export wrote"),
    "no text": (lambda rows: rows.__setitem__(3, b"\xff\xfe\n"), "row 4 of the file"),
}


@pytest.mark.parametrize("how", BROKEN)
def test_a_file_that_does_not_hold_is_refused_and_nothing_is_written(out, other, how):
    change, said = BROKEN[how]
    with pytest.raises(Refused) as refused:
        import_lines(other, edited(out, change))
    assert said in " ".join(refusal.sentence() for refusal in refused.value.refusals)
    assert whole(other) == ([], {})


def test_every_fault_of_a_file_is_told_with_its_line(out, other):
    def change(rows):
        for place in (1, 3, 7):
            rows[place] = rows[place].replace(b'"who":"Ana"', b'"who":"Ben"')

    with pytest.raises(Refused) as refused:
        import_lines(other, edited(out, change))
    places = [refusal.where.split(", ", 1)[1] for refusal in refused.value.refusals]
    assert places == ["line 1, seal", "line 3, seal", "line 6, seal"]


def test_a_file_that_is_not_there_is_refused(other, tmp_path):
    with pytest.raises(Refused, match="can be read"):
        import_lines(other, tmp_path / "none.jsonl")


def test_the_file_names_its_head_first_and_each_blob_once_before_its_line(
    full, out, make, packed, logged, written
):
    told = [json.loads(row) for row in out.read_bytes().splitlines()]
    assert told[0] == {"book": "turnrow", "form": 1, "lines": 6, "head": full.head().seal}
    kinds = ["blob" if "blob" in thing else thing["line"] for thing in told[1:]]
    assert kinds == [1, 2, 3, "blob", 4, 5, 6]
    assert told[4]["blob"] == blocks.name_of(packed)


def test_an_empty_book_goes_out_and_in(book, other, tmp_path):
    path = tmp_path / "empty.jsonl"
    with path.open("wb") as to:
        export_lines(book, to)
    assert import_lines(other, path).added == 0


def test_a_book_goes_out_a_line_at_a_time_never_whole(book, make, written, packed):
    """What is held at once is a small part of what is written."""
    notes = [make(f"n{n}", entries.Note(text=f"{n} " * 200)) for n in range(6000)]
    book.append(notes, written=written)
    del notes

    class Counter(io.RawIOBase):
        size = 0

        def write(self, data):
            self.size += len(data)
            return len(data)

    out = Counter()
    tracemalloc.start()
    try:
        export_lines(book, out)
        held = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert out.size > 5_000_000
    assert held < out.size / 3


@pytest.mark.parametrize("column", ["bytes", "seal"])
def test_a_column_that_lost_its_bytes_stops_the_export_and_names_the_line(full, tmp_path, column):
    path = Path(full.store.where)
    full.close()
    with past_the_guards(path) as raw:
        raw.execute(f"UPDATE lines SET {column} = 0 WHERE number = 6")
    with Book.open(str(path)) as book, pytest.raises(DamagedJournal) as told:
        export_lines(book, io.BytesIO())
    assert told.value.line == 6
    with Book.open(str(path)) as book:
        assert book.verify()[0].line == 6


def test_a_file_that_is_no_export_is_shown_as_it_begins(other, tmp_path):
    path = tmp_path / "note.txt"
    path.write_text("hello\n")
    with pytest.raises(Refused) as told:
        import_lines(other, path)
    assert told.value.refusals[0].got == r"'hello\n'"

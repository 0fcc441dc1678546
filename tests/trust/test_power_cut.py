"""What a power cut may leave of a commit, laid out and opened: all acknowledged lines, or the fault by name.

A commit of SQLite without a write-ahead log goes: old pages to the -journal file, sync, its folder, sync;
the journal's header, sync; new pages to the book, sync; the journal taken away, the folder, sync
(sqlite.org/atomiccommit.html, READ; seen so in the system calls of an append on Linux with SQLite 3.40).
Between two syncs any part of what was written may be on the disk, in sectors, whole, old or torn. Each test
below stands for the stretch before one of those syncs. The journal is SQLite's own, kept by its mode PERSIST.

What this does not show: a disk or a file system that says it has synced and has not, and one that loses
what was synced before. For such a disk the last test looks only that a loss is named.
"""

import random
import resource
import struct
import subprocess
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pytest

from turnrow.journal.book import Book
from turnrow.journal.export import export_lines
from turnrow.journal.kept_head import keep
from turnrow.yard import blocks, entries
from turnrow.yard.entries import Entry
from turnrow.yard.wrongs import DamagedJournal, Refused

NOW = datetime(2026, 5, 3, tzinfo=UTC)
PHOTO = random.Random(5).randbytes(9000)
PAGE, SECTOR = 4096, 512
MAGIC = bytes.fromhex("d9d505f920a163d7")  # sqlite.org/fileformat2.html section 3, READ


def notes(start: int, count: int) -> list[Entry]:
    return [
        Entry(id=f"{n}", happened=NOW, who="Ana", what=entries.Note(text=f"steam {n} " * 30))
        for n in range(start, start + count)
    ]


@dataclass(frozen=True)
class Commit:
    before: bytes  # the book with 20 lines
    after: bytes  # and with 20 more and a photograph
    journal: bytes  # the -journal as it was when the new pages went out

    def header(self, count: int) -> bytes:
        return (MAGIC if count else bytes(8)) + struct.pack(">I", count) + self.journal[12:SECTOR]


@pytest.fixture(scope="module")
def commit(tmp_path_factory: pytest.TempPathFactory) -> Commit:
    where = tmp_path_factory.mktemp("commit") / "yard.journal"
    with Book.create(str(where)) as book:
        book.store._connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        book.append(notes(1, 20), written=NOW)
        before = where.read_bytes()
        assert book.store._connection.execute("PRAGMA journal_mode = PERSIST").fetchone() == ("persist",)
        photo = Entry(
            id="p", happened=NOW, who="Ana", what=entries.Note("steam", photo=blocks.name_of(PHOTO))
        )
        book.append([*notes(21, 20), photo], {blocks.name_of(PHOTO): PHOTO}, written=NOW)
        after = where.read_bytes()
        kept = where.with_name("yard.journal-journal").read_bytes()
    nonce, pages, sector, page = struct.unpack(">IIII", _first_header(kept, before))
    assert (pages, sector, page) == (len(before) // PAGE, SECTOR, PAGE)
    count = (len(kept) - SECTOR) // (PAGE + 8)
    header = MAGIC + struct.pack(">IIIII", count, nonce, pages, sector, page)
    return Commit(before, after, header + bytes(SECTOR - len(header)) + kept[SECTOR:])


def _first_header(kept: bytes, before: bytes) -> bytes:
    """What PERSIST wiped of the header, from the first record: its sum is the nonce and some of its bytes."""
    assert kept[:28] == bytes(28)
    page, told = kept[SECTOR + 4 : SECTOR + 4 + PAGE], kept[SECTOR + 4 + PAGE : SECTOR + 8 + PAGE]
    plain = sum(page[at] for at in range(PAGE - 200, 0, -200))
    nonce = (struct.unpack(">I", told)[0] - plain) % 2**32
    return struct.pack(">IIII", nonce, len(before) // PAGE, SECTOR, PAGE)


def opened(folder: Path, book: bytes, journal: bytes | None) -> list[str]:
    """The ids in the book after the lights are on again; it verifies and takes another line."""
    where = folder / "yard.journal"
    where.write_bytes(book)
    hot = folder / "yard.journal-journal"
    hot.unlink(missing_ok=True)
    (folder / "yard.journal.head").unlink(missing_ok=True)  # of the state laid out before this one
    if journal is not None:
        hot.write_bytes(journal)
    with Book.open(str(where)) as found:
        ids = [line.entry.id for line in found.lines()]
        assert found.verify() == ()
        found.append([Entry(id="z", happened=NOW, who="Ana", what=entries.Turned(row="R7"))], written=NOW)
        assert found.verify() == ()
    return ids


OLD = [f"{n}" for n in range(1, 21)]
NEW = [*OLD, *(f"{n}" for n in range(21, 41)), "p"]


def torn(old: bytes, new: bytes, chance: random.Random) -> bytes:
    """Some sectors of the new bytes are there, some old, some neither; the end anywhere."""
    made = bytearray(old)
    made += bytes(chance.randrange(0, max(len(new) - len(old), 0) // SECTOR + 1) * SECTOR)
    for at in range(0, len(made), SECTOR):
        what = chance.random()
        if what < 0.45:
            made[at : at + SECTOR] = new[at : at + SECTOR]
        elif what < 0.55 and old[at : at + SECTOR] != new[at : at + SECTOR]:
            made[at : at + SECTOR] = chance.randbytes(SECTOR)
    return bytes(made)


def test_the_states_at_both_ends_are_what_they_should_be(commit: Commit, tmp_path: Path) -> None:
    assert commit.before != commit.after and len(commit.after) > len(commit.before)
    assert opened(tmp_path, commit.before, None) == OLD
    assert opened(tmp_path, commit.after, None) == NEW


def test_cut_while_the_journal_is_written(commit: Commit, tmp_path: Path) -> None:
    """Before its sync: any part of it, its header with or without the count. The book is untouched."""
    chance = random.Random(1)
    whole = commit.journal
    for header in (commit.header(0), commit.header((len(whole) - SECTOR) // (PAGE + 8))):
        for length in (0, 4, 28, 500, 512, 600, *range(4620, len(whole), 5000), len(whole)):
            assert opened(tmp_path, commit.before, (header + whole[SECTOR:])[:length]) == OLD
        for _ in range(15):
            records = torn(bytes(len(whole) - SECTOR), whole[SECTOR:], chance)
            assert opened(tmp_path, commit.before, header + records) == OLD
    assert opened(tmp_path, commit.before, chance.randbytes(9000)) == OLD


def test_cut_while_the_book_is_written(commit: Commit, tmp_path: Path) -> None:
    """After the journal's sync and before the book's: the lines were not acknowledged, and none is there."""
    chance = random.Random(2)
    changed = 0
    for _ in range(60):
        book = torn(commit.before, commit.after, chance)
        changed += book not in (commit.before, commit.after)
        assert opened(tmp_path, book, commit.journal) == OLD
    assert changed == 60


def test_the_journal_left_behind_would_take_back_what_was_written(commit: Commit, tmp_path: Path) -> None:
    """So its name must be off the disk before a line is acknowledged; only synchronous=EXTRA sees to it."""
    assert opened(tmp_path, commit.after, commit.journal) == OLD
    with Book.open(str(tmp_path / "yard.journal")) as book:
        assert book.store._connection.execute("PRAGMA synchronous").fetchone() == (3,)


@pytest.mark.parametrize("given", [1, 5, 12])
def test_cut_while_the_log_is_written(tmp_path: Path, given: int) -> None:
    """With a write-ahead log: what was synced when acknowledged is there, and nothing half."""
    where, log = tmp_path / "yard.journal", tmp_path / "yard.journal-wal"
    lengths = [0]
    with Book.create(str(where)) as book:
        book.store._connection.execute("PRAGMA journal_mode = WAL").fetchone()
        for n in range(4):
            book.append(notes(1 + n * given, given), written=NOW)
            lengths.append(log.stat().st_size)
        main, whole = where.read_bytes(), log.read_bytes()
    chance = random.Random(given)
    for acknowledged, (start, end) in enumerate(pairwise(lengths)):
        tails = [b"", whole[start : (start + end) // 2], whole[start : end - 1], chance.randbytes(6000)]
        tails += [torn(b"", whole[start:end], chance)[: end - start - SECTOR] for _ in range(5)]
        for tail in tails:
            folder = tmp_path / "cut"
            folder.mkdir(exist_ok=True)
            for old in folder.iterdir():
                old.unlink()
            (folder / "yard.journal").write_bytes(main)
            (folder / "yard.journal-wal").write_bytes(whole[:start] + tail)
            with Book.open(str(folder / "yard.journal")) as found:
                ids = [line.entry.id for line in found.lines()]
                assert ids == [f"{n}" for n in range(1, acknowledged * given + 1)]
                assert found.verify() == ()


def test_a_disk_that_lost_what_it_had_synced_is_named(commit: Commit, tmp_path: Path) -> None:
    """The end cut off or garbled with no journal to mend by: no line is missing without a word."""
    chance = random.Random(3)
    named = 0
    where = tmp_path / "yard.journal"
    for trial in range(60):
        hurt = bytearray(commit.after)
        if trial % 2:
            del hurt[chance.randrange(1, len(hurt)) :]
        else:
            at = chance.randrange(0, len(hurt) // SECTOR) * SECTOR
            hurt[at : at + SECTOR] = bytes(SECTOR) if trial % 4 else chance.randbytes(SECTOR)
        where.write_bytes(hurt)
        try:
            with Book.open(str(where)) as book:
                faults = book.verify()
                ids = [] if faults else [line.entry.id for line in book.lines()]
                assert faults or ids == NEW
                named += bool(faults)
        except (DamagedJournal, Refused):
            named += 1
    assert named > 30


def test_a_whole_older_copy_is_told_only_by_a_seal_kept_elsewhere(commit: Commit, tmp_path: Path) -> None:
    where = tmp_path / "yard.journal"
    where.write_bytes(commit.after)
    with Book.open(str(where)) as book:
        assert keep(book.store)
        on_paper = book.head().seal
    where.write_bytes(commit.before)
    with Book.open(str(where)) as book:
        assert [fault.check for fault in book.verify(expect_head=on_paper)] == ["head", "head"]
        assert [fault.check for fault in book.verify()] == ["head"]  # by the file beside it
        (tmp_path / "yard.journal.head").unlink()
        assert book.verify() == ()
        assert [fault.check for fault in book.verify(expect_head=on_paper)] == ["head"]


IMPORT = """
import resource, signal, sys
from pathlib import Path
from turnrow.journal.book import Book
from turnrow.journal.export import import_lines
from turnrow.yard.wrongs import Refused

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
where, source, limit = sys.argv[1], sys.argv[2], int(sys.argv[3])
with Book.open(where) as book:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    try:
        import_lines(book, Path(source))
    except Refused as refused:
        print(refused)
    else:
        print("taken")
"""


def test_an_import_the_system_stops_half_way_leaves_everything_as_it_was(tmp_path: Path) -> None:
    """The system itself turns the write down beyond a size of the file (RLIMIT_FSIZE)."""
    source, where = tmp_path / "whole.jsonl", tmp_path / "yard.journal"
    with Book.create(str(tmp_path / "whole.journal")) as whole, source.open("wb") as out:
        whole.append(notes(1, 20), written=NOW)
        with Book.create(str(where)) as book:
            book.append(notes(1, 20), written=NOW)
        whole.append(notes(21, 1500), written=NOW)
        export_lines(whole, out)
    before = where.read_bytes()
    for limit in (len(before), len(before) + 20_000, len(before) + 300_000, 50_000_000):
        told = subprocess.run(
            [sys.executable, "-c", IMPORT, str(where), str(source), str(limit)],
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        if limit < 1_000_000:
            assert "Nothing was written" in told
            with Book.open(str(where)) as book:
                assert [line.entry.id for line in book.lines()] == OLD and book.verify() == ()
            assert where.read_bytes() == before
            assert {p.name for p in tmp_path.iterdir()} == {
                "whole.jsonl",
                "whole.journal",
                "whole.journal.head",
                "yard.journal",
                "yard.journal.head",
            }
    assert told == "taken\n"
    with Book.open(str(where)) as book:
        assert book.head().line == 1520 and book.verify() == ()
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] != len(before)

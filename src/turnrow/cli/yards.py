"""A book as a whole: lay it out, copy it out and in, verify it."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard

if TYPE_CHECKING:
    from turnrow.journal.book import Book

ZONES = "zoneinfo/"
EXPORTED = b'{"book":"turnrow"'  # how an exported file begins

Said = tuple[tuple[str, tuple[int, ...]], ...]  # sentences, each with its lines


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("new")(new)
    app.command("export")(export)
    app.command("import")(import_)
    app.command("verify")(verify)


def new(
    path: Annotated[str, typer.Argument(help="Where the yard's book shall be.")],
    name: Annotated[str, typer.Option(help="The yard's name; the file's without it.")] = "",
    zone: Annotated[str, typer.Option(help="IANA zone of the yard's days; this computer's without it.")] = "",
    place: Annotated[str, typer.Option(help="Where the yard is.")] = "",
    as_json: Json = False,
) -> None:
    """Lay out a yard: a new book whose first line says its name, zone and place."""
    from datetime import UTC, datetime
    from uuid import uuid4

    from turnrow.journal.book import Book
    from turnrow.yard import days
    from turnrow.yard.entries import Entry, YardLaidOut
    from turnrow.yard.wrongs import refuse

    with speak.answering(as_json):
        if not zone:
            zone = _zone_here()
            speak.notice(f"days are counted in {zone}; for another zone give --zone")
        try:
            days.zone(zone)
        except ValueError as wrong:
            raise refuse("--zone", zone, f"Give an IANA name such as Europe/Dublin ({wrong}).") from None
        what = YardLaidOut(name=name or Path(path).stem, zone=zone, place=place)
        now = datetime.now(UTC)
        entry = Entry(id=str(uuid4()), happened=now, who=_person(), device="turnrow new", what=what)
        with Book.create(path) as book:
            book.append([entry], written=now)
            head = book.head()
        if as_json:
            speak.answer(
                {"yard": path, "name": what.name, "zone": zone, "lines": head.line, "head": head.seal}
            )
        else:
            speak.say(f"{what.name} is laid out in {path}, days in {zone}.")


def export(
    yard: Yard,
    to: Annotated[str, typer.Option("-o", "--output", help="The file to write; without it, stdout.")] = "",
) -> None:
    """Copy the whole book out as JSON lines, with seals and blobs."""
    from turnrow.journal.book import Book
    from turnrow.journal.export import export_lines

    with speak.answering(as_json=False), Book.open(yard) as book:
        if not to:
            export_lines(book, sys.stdout.buffer)
            return
        _export_to(Path(to), book)


def import_(
    file: Annotated[str, typer.Argument(help="A file that turnrow export wrote.")],
    yard: Yard,
    as_json: Json = False,
) -> None:
    """Take in an exported book: all of it into a new one, or what a book lacks of the same chain."""
    from turnrow.journal.book import Book
    from turnrow.journal.export import check_export, import_lines
    from turnrow.yard.wrongs import Refused

    with speak.answering(as_json):
        source, there = Path(file), Path(yard).exists()
        if not there:
            check_export(source)  # before a book is made for it
        with Book.open(yard) if there else Book.create(yard) as book:
            try:
                taken = import_lines(book, source)
            except Refused:
                if not there:
                    Path(yard).unlink()
                raise
        if as_json:
            head = taken.head
            speak.answer({"added": taken.added, "known": taken.known, "lines": head.line, "head": head.seal})
        else:
            speak.say(
                f"{taken.added} lines added, {taken.known} were there; the book ends at {taken.head.line}."
            )


def verify(
    yard: Yard,
    head: Annotated[str, typer.Option(help="A head printed on a paper: SEAL or LINE:SEAL.")] = "",
    as_json: Json = False,
) -> None:
    """Read the whole book over and name every line that is not as it was sealed.

    Exit 1: the book has faults.
    """
    from turnrow.journal.book import Book
    from turnrow.yard.wrongs import DamagedJournal

    with speak.answering(as_json):
        faults: list[dict[str, int | str]] = []
        lines, seal, kept = 0, "", 0
        against: Said = ()
        choices: Said = ()
        try:
            with Book.open(yard) as book:
                faults += [{"line": f.line, "check": f.check, "what": f.what} for f in book.verify(head)]
                lines, seal = book.head().line, book.head().seal
                beside = book.kept_head()
                kept = beside.line if beside else 0
                against, choices = ((), ()) if faults else _against(book)
        except DamagedJournal as wrong:  # so broken that it does not open: that is an answer too
            faults.append({"line": wrong.line, "check": "structure", "what": wrong.what})
        if as_json:
            speak.answer(
                {
                    "ok": not faults,
                    "lines": lines,
                    "head": seal,
                    "faults": faults,
                    "compared": {"head": head, "beside": kept},
                    "releases": [{"line": at[0], "what": text} for text, at in against],
                    "rules": [{"line": at[0], "what": text} for text, at in choices],
                }
            )
            _end(faults)
            return
        for text, _ in (*against, *choices):
            speak.say(text)
        if faults:
            rows = [(f["line"] or "file", f["check"], f["what"]) for f in faults]
            speak.table(("line", "check", "what"), rows)
            speak.say("The book does not hold. Keep it as it is and compare it with a copy or a paper.")
        else:
            speak.say(f"Every line holds, 1 to {lines}. Head {lines}:{seal}")
            if not head:
                by = f"the head kept beside the book, line {kept}" if kept else "no head"
                speak.notice(
                    f"compared with {by}. No head from elsewhere was compared: only one from a paper shows "
                    "that no tail was cut. Give its line and seal: --head LINE:SEAL"
                )
        _end(faults)


def _end(faults: Sequence[object]) -> None:
    """Exit 1 where the book has faults."""
    if faults:
        raise typer.Exit(1)


def _against(book: "Book") -> tuple[Said, Said]:
    """Releases that stand against what was on record when they were written; rules chosen in a way that their
    text does not allow."""
    from turnrow.foreman.desk import Desk
    from turnrow.foreman.lot_page import releases_against
    from turnrow.foreman.rules import choices_against

    desk = Desk(book)
    return releases_against(desk), choices_against(desk.diary, desk.handbook)


def _export_to(path: Path, book: "Book") -> None:
    """Write beside `path`, then put it there whole; only an earlier export is replaced."""
    from turnrow.journal.export import export_lines
    from turnrow.yard.wrongs import refuse

    if path.is_dir():
        raise refuse("--output", str(path), "That is a folder; name a file.")
    beside = path.with_name(path.name + ".part")
    try:
        if path.exists() and _start(path) != EXPORTED:
            raise refuse("--output", str(path), "There is another file of that name; choose a new one.")
        with beside.open("wb") as out:
            head = export_lines(book, out)
            out.flush()
            os.fsync(out.fileno())
        beside.replace(path)
    except OSError as wrong:
        raise refuse("--output", wrong.strerror or wrong, "Choose a place you can write to.") from None
    finally:
        if beside.exists():
            beside.unlink()
    speak.notice(f"{head.line} lines written to {path}")


def _start(path: Path) -> bytes:
    with path.open("rb") as there:
        return there.read(len(EXPORTED))


def _zone_here() -> str:
    """This computer's IANA zone as far as it says one; UTC otherwise."""
    told = os.environ.get("TZ", "").removeprefix(":")
    linked = str(Path("/etc/localtime").resolve()).partition(ZONES)[2]
    return told if "/" in told and not told.startswith("/") else linked or "UTC"


def _person() -> str:
    return next((os.environ[key] for key in ("USER", "LOGNAME", "USERNAME") if os.environ.get(key)), "yard")

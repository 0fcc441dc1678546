"""Papers to hand over: the row sheet as PDF or CSV, the day sheet and a lot's sampling sheet as PDF."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard

if TYPE_CHECKING:
    from datetime import date

    from turnrow.foreman.desk import Desk
    from turnrow.records.press import Size
    from turnrow.yard.temperature import Unit

KINDS = ("row", "day", "sampling")
SIZES: "tuple[Size, ...]" = ("a4", "letter")
UNITS: "tuple[Unit, ...]" = ("C", "F")


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("paper")(paper)


def paper(
    kind: Annotated[str, typer.Argument(help="row, day or sampling.")],
    name: Annotated[
        str, typer.Argument(help="The row's or lot's name; for a day sheet its date, 2026-05-14.")
    ],
    yard: Yard,
    out: Annotated[str, typer.Option("-o", "--out", help="FILE.pdf; for a row also FILE.csv.")],
    size: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    unit: Annotated[str, typer.Option("--unit", help="C or F, for pictures and sentences.")] = "C",
    as_json: Json = False,
) -> None:
    """Print a paper from the book: row NAME, day DATE or sampling LOT, to -o FILE.

    A file already there is replaced whole, or left as it was if anything goes wrong. With FILE.csv
    every reading goes to that file and the days beside it, to FILE.days.csv.
    """
    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book

    with speak.answering(as_json):
        ending, page, degrees, day = _asked(kind, name, out, size, unit)
        with Book.open(yard) as book:
            desk = Desk(book)
            files = _made(desk, kind, name, out, ending, page, degrees, day)
            head = book.head()
        keep(files)
        if as_json:
            said = {str(path): len(data) for path, data in files.items()}
            speak.answer({"kind": kind, "name": name, "files": said, "line": head.line, "head": head.seal})
            return
        for path, data in files.items():
            speak.say(f"{path}  {len(data)} bytes, from line {head.line}")


def _asked(kind: str, name: str, out: str, size: str, unit: str) -> "tuple[str, Size, Unit, date | None]":
    """What was asked for, or every refusal at once: ending, paper, unit, and the day of a day sheet."""
    from datetime import date

    from turnrow.yard.wrongs import Refusal, Refused, shown

    wrong = []
    ending = Path(out).suffix.lower()
    day = None
    if kind not in KINDS:
        wrong.append(Refusal("KIND", shown(kind), "Ask for row, day or sampling."))
    if ending not in (".pdf", ".csv") or (kind != "row" and ending == ".csv"):
        wrong.append(Refusal("-o", shown(out), "Name a file ending in .pdf; for a row, .csv does too."))
    elif not Path(out).parent.is_dir():
        wrong.append(Refusal("-o", shown(out), "That folder is not there; make it first."))
    elif Path(out).is_dir():
        wrong.append(Refusal("-o", shown(out), "That is a folder; name a file."))
    page = next((each for each in SIZES if each == size), None)
    if page is None:
        wrong.append(Refusal("--paper", shown(size), "Give a4 or letter."))
    degrees = next((each for each in UNITS if each == unit.upper()), None)
    if degrees is None:
        wrong.append(Refusal("--unit", shown(unit), "Give C or F."))
    if kind == "day":
        try:
            day = date.fromisoformat(name)
        except ValueError:
            wrong.append(Refusal("NAME", shown(name), "Give the day's date as 2026-05-14."))
    if wrong or page is None or degrees is None:
        raise Refused(wrong)
    return ending, page, degrees, day


def _made(
    desk: "Desk", kind: str, name: str, out: str, ending: str, page: "Size", unit: "Unit", day: "date | None"
) -> dict[Path, bytes]:
    """Every file asked for, whole in memory, before any is written."""
    from turnrow.foreman.papers import day_paper, row_paper
    from turnrow.foreman.sampling_papers import sampling_paper
    from turnrow.records.day_sheet import day_sheet
    from turnrow.records.press import press
    from turnrow.records.row_csv import days_csv, row_csv
    from turnrow.records.row_sheet import row_sheet
    from turnrow.records.sampling_sheet import sampling_sheet

    path = Path(out)
    if day is not None:
        return {path: press(day_sheet(day_paper(desk, day)), page)}
    if kind == "sampling":
        return {path: press(sampling_sheet(sampling_paper(desk, name)), page)}
    asked = row_paper(desk, name, unit)
    if ending == ".csv":
        return {path: row_csv(asked), path.with_suffix(".days.csv"): days_csv(asked)}
    return {path: press(row_sheet(asked), page)}


def keep(files: dict[Path, bytes], option: str = "-o") -> None:
    """Write beside, flush, then rename: a file is the old one or the new one, never half of either."""
    import os
    import tempfile

    from turnrow.yard.wrongs import refuse

    for path, data in files.items():
        beside = ""
        try:
            handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(beside).chmod(0o644)
            Path(beside).replace(path)
        except OSError as wrong:
            if beside:
                Path(beside).unlink(missing_ok=True)
            raise refuse(option, str(path), f"It could not be written: {wrong.strerror}.") from wrong

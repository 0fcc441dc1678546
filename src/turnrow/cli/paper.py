"""Papers to hand over: of a row, a day, a lot, a sale, a year; as PDF, and some as CSV."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from datetime import date

    from turnrow.foreman.desk import Desk
    from turnrow.records.press import Sheet, Size
    from turnrow.yard.temperature import Unit

KINDS = ("row", "day", "lot", "sampling", "story", "label", "invoice", "credit", "ticket", "prices", "season")
Found = TypeVar("Found")
AS_CSV = ("row", "invoice", "credit")
SIZES: "tuple[Size, ...]" = ("a4", "letter")
UNITS: "tuple[Unit, ...]" = ("C", "F")


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("paper")(paper)


def paper(
    kind: Annotated[str, typer.Argument(help=f"{', '.join(KINDS[:-1])} or {KINDS[-1]}.")],
    name: Annotated[
        str,
        typer.Argument(
            help="Name of the row, lot, bill, credit note or ticket; a day's date, a year; - for prices."
        ),
    ],
    yard: Yard,
    out: Annotated[
        str,
        typer.Option("-o", "--out", help="FILE.pdf; for a row, an invoice or a credit note also FILE.csv."),
    ],
    size: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    unit: Annotated[str, typer.Option("--unit", help="C or F, for pictures and sentences.")] = "C",
    address: Annotated[str, typer.Option("--address", help="Of a label: where its code leads.")] = "",
    as_json: Json = False,
) -> None:
    """Print a paper from the book: of a row, a day, a lot, a sale, the price list or a season.

    Of a lot there are four: for an inspector, for sampling, as a public story, as labels.

    A file already there is replaced whole, or left as it was if anything goes wrong.

    With FILE.csv every reading goes to that file and the days beside it, to FILE.days.csv.
    """
    with speak.answering(as_json):
        ending, page, degrees, day = _asked(kind, name, out, size, unit)
        with desk_of(yard) as desk:
            files = _made(desk, kind, name, out, ending, page, degrees, day, address)
            head = desk.book.head()
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
        wrong.append(Refusal("KIND", shown(kind), f"Ask for {', '.join(KINDS)}."))
    if ending not in (".pdf", ".csv") or (kind not in AS_CSV and ending == ".csv"):
        wrong.append(
            Refusal(
                "-o",
                shown(out),
                "Name a file ending in .pdf; for a row, an invoice or a credit note, .csv does too.",
            )
        )
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
    if kind == "season" and not (name.isdecimal() and len(name) == 4):
        wrong.append(Refusal("NAME", shown(name), "Give the year as 2026."))
    if wrong or page is None or degrees is None:
        raise Refused(wrong)
    return ending, page, degrees, day


def _made(
    desk: "Desk",
    kind: str,
    name: str,
    out: str,
    ending: str,
    page: "Size",
    unit: "Unit",
    day: "date | None",
    address: str,
) -> dict[Path, bytes]:
    """Every file asked for, whole in memory, before any is written."""
    from turnrow.foreman.papers import row_paper
    from turnrow.foreman.trade_papers import bill_csv, credit_csv
    from turnrow.records.press import press
    from turnrow.records.row_csv import days_csv, row_csv

    path = Path(out)
    if ending == ".csv" and kind == "row":
        asked = row_paper(desk, name, unit)
        return {path: row_csv(asked), path.with_suffix(".days.csv"): days_csv(asked)}
    if ending == ".csv":
        made = credit_csv if kind == "credit" else bill_csv
        return {path: _there(made(desk, name), kind, name)}
    return {path: press(_sheet(desk, kind, name, unit, day, address), page)}


def _sheet(desk: "Desk", kind: str, name: str, unit: "Unit", day: "date | None", address: str) -> "Sheet":
    """The sheet of that kind and name; Refused where the diary has none."""
    from turnrow.foreman.lot_papers import labelled, lot_paper
    from turnrow.foreman.papers import day_paper, row_paper
    from turnrow.foreman.sampling_papers import sampling_paper
    from turnrow.foreman.season import season_book
    from turnrow.foreman.trade_papers import TRADE, Paper, trade_paper
    from turnrow.records.day_sheet import day_sheet
    from turnrow.records.label import label_sheet
    from turnrow.records.lot_papers import lot_sheet, story_sheet
    from turnrow.records.row_sheet import row_sheet
    from turnrow.records.sampling_sheet import sampling_sheet
    from turnrow.records.season_book import season_sheet

    if kind == "day" and day is not None:
        return day_sheet(day_paper(desk, day))
    if kind == "row":
        return row_sheet(row_paper(desk, name, unit))
    if kind == "sampling":
        return sampling_sheet(sampling_paper(desk, name))
    if kind == "season":
        return season_sheet(season_book(desk, int(name)))
    trade: Paper | None = next((one for one in TRADE if one == kind), None)
    if trade is not None:
        return _there(trade_paper(desk, trade, name), kind, name)
    lot = lot_paper(desk, name, unit) if name in desk.lots.things("lot") else None
    paper = _there(lot, "lot", name)
    if kind == "label":
        product, bag = labelled(desk, name)
        return label_sheet(paper, product, address, bag)
    return story_sheet(paper) if kind == "story" else lot_sheet(paper)


def _there(found: "Found | None", kind: str, name: str) -> "Found":
    from turnrow.yard.wrongs import refuse

    if found is None:
        raise refuse("NAME", name, f"The diary has no {kind} of that name.")
    return found


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

"""What comes in: `take` a file, `write` one entry, `strike` a line."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from turnrow.foreman.intake import Taken

Who = Annotated[str, typer.Option("--who", help="Who writes it: a short name or a role.")]


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("take")(take)
    app.command("write")(write)
    app.command("strike")(strike)


def take(
    file: Annotated[
        Path | None, typer.Argument(help="Readings, a lab's sheet, or entries: CSV or XLSX.")
    ] = None,
    row: Annotated[str, typer.Option("--row", help="The row all of it belongs to.")] = "",
    lot: Annotated[str, typer.Option("--lot", help="The lot a whole lab sheet or test is of.")] = "",
    map_file: Annotated[Path | None, typer.Option("--map", help="How to read this logger's columns.")] = None,
    example: Annotated[bool, typer.Option("--example", help="Print a commented mapping file.")] = False,
    again: Annotated[bool, typer.Option("--again", help="Take up what was struck as well.")] = False,
    as_written: Annotated[
        bool, typer.Option("--as-written", help="The unit is right, though the readings fit the other one.")
    ] = False,
    probe: Annotated[str, typer.Option("--probe", help="The probe or logger it comes from.")] = "",
    self_heating: Annotated[
        bool, typer.Option("--self-heating", help="The log of a self-heating test: its rise is a result.")
    ] = False,
    ambient: Annotated[str, typer.Option("--ambient", help="The air of that test, such as 20 C.")] = "",
    kind: Annotated[
        str, typer.Option("--kind", help="Each row is an entry of this kind: weather, load-in, weighed ...")
    ] = "",
    yard: Yard = "",
    who: Who = "office",
    as_json: Json = False,
) -> None:
    """Take a file of readings, a lab's sheet, weather or other entries; the same file twice adds nothing."""
    from turnrow.foreman import entering, intake
    from turnrow.gate.file_bytes import file_bytes
    from turnrow.gate.handed import Handed
    from turnrow.yard.wrongs import refuse

    with speak.answering(as_json):
        if example:
            others = _commented(f"{intake.LAB_EXAMPLE}\n{entering.EXAMPLE}")
            shown = f"{intake.EXAMPLE}\n{others}"
            speak.answer({"example": shown}) if as_json else speak.say(shown)
            return
        if file is None:
            raise refuse("FILE", "nothing", "Name the file, or --example for a mapping file to fill in.")
        data = file_bytes(file, "FILE")
        mapping = None
        if map_file is not None:
            mapping = intake.mapping_from(file_bytes(map_file, "--map"), map_file.name)
        handed = Handed(
            data, file.name, now=_now(), who=who, device="desk", mapping=mapping, kind=kind, row=row, lot=lot,
            probe=probe, again=again, as_written=as_written, self_heating=self_heating, ambient=ambient,
        )  # fmt: skip
        with desk_of(yard) as desk:
            taken = entering.take_any(desk.book, desk.diary, handed)
        lines = [line.number for line in taken.receipt.lines]
        if as_json:
            speak.answer(
                {"lines": lines, taken.what: taken.readings, "known": taken.known, "notices": taken.notices}
            )
            return
        for text in taken.notices:
            speak.notice(text)
        speak.say(_taken_words(file.name, taken))


def _commented(text: str) -> str:
    """A second example below the first, so that the whole is still one mapping file."""
    return "".join(f"# {line}\n" for line in text.splitlines())


def _taken_words(name: str, taken: "Taken") -> str:
    lines = [line.number for line in taken.receipt.lines]
    held = f"; {taken.known} the book held already" if taken.known else ""
    if not lines:
        return f"{name}: nothing new{held}."
    where = f"line {lines[0]}" if len(lines) == 1 else f"lines {lines[0]} to {lines[-1]}"
    return f"{name}: {taken.said(taken.readings)} written, {where}{held}."


def write(
    kind: Annotated[str, typer.Argument(help="What happened: row-built, round, turned, watered ...")],
    fields: Annotated[
        list[str] | None, typer.Argument(metavar="KEY=VALUE", help="The entry's fields.")
    ] = None,
    yard: Yard = "",
    who: Who = "office",
    entry_id: Annotated[str, typer.Option("--id", help="The entry's own id; sent twice, written once.")] = "",
    as_json: Json = False,
) -> None:
    """Write one entry, as in `turnrow write turned row=R7 happened=2026-05-03T07:40`."""
    with speak.answering(as_json):
        _write(kind, _pairs(fields or []), yard, who, entry_id, as_json)


def strike(
    line: Annotated[int, typer.Argument(help="The line to withdraw.")],
    reason: Annotated[str, typer.Option("--reason", help="Why; it stays readable beside the line.")] = "",
    yard: Yard = "",
    who: Who = "office",
    as_json: Json = False,
) -> None:
    """Withdraw a line, which stays in the book, readable, and no longer counts."""
    with speak.answering(as_json):
        _write("struck", {"line": str(line), "reason": reason}, yard, who, "", as_json)


def _write(kind: str, fields: dict[str, str], yard: str, who: str, entry_id: str, as_json: bool) -> None:
    from turnrow.gate.forms import entry_from
    from turnrow.gate.unit_ask import ask_unit

    with desk_of(yard) as desk:
        if kind.strip().casefold() == "round" and desk.line_with(entry_id) is None:
            ask_unit(entry_from(kind, fields, diary=desk.diary, now=_now(), who=who), desk.diary)
        receipt = desk.write(kind, fields, now=_now(), who=who, device="desk", id=entry_id)
        known = not receipt.lines
        number = receipt.known[0] if known else receipt.lines[0].number
        entry = desk.diary.line(number).entry
    if as_json:
        speak.answer({"line": number, "id": entry.id, "known": known, "happened": entry.happened.isoformat()})
        return
    speak.say(f"line {number}: {'written before' if known else 'written'}.")


def _pairs(given: list[str]) -> dict[str, str]:
    from turnrow.yard.wrongs import Refusal, Refused, shown

    found: dict[str, str] = {}
    wrongs = []
    for one in given:
        name, mark, text = one.partition("=")
        if not mark or not name.strip():
            wrongs.append(Refusal("KEY=VALUE", shown(one), "Write field=value, such as row=R7."))
        elif name.strip() in found:
            wrongs.append(Refusal(f"field {name.strip()}", shown(text), "Write each field once."))
        found[name.strip()] = text
    if wrongs:
        raise Refused(wrongs)
    return found


def _now() -> datetime:
    return datetime.now(UTC)

"""The whole diary as tables to keep or to reckon with elsewhere."""

from pathlib import Path
from typing import Annotated

import typer

from turnrow.cli import speak
from turnrow.cli.paper import keep
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("tables")(tables)


def tables(
    yard: Yard,
    to: Annotated[str, typer.Option("-o", "--output", help="The folder the files go to.")],
    parquet: Annotated[bool, typer.Option("--parquet", help="Parquet instead of CSV.")] = False,
    as_json: Json = False,
) -> None:
    """Write the diary as tables, a file a kind of thing, and dictionary.csv, which says what columns are."""
    with speak.answering(as_json):
        from turnrow.records.tables import TABLES, as_csv, as_parquet, dictionary
        from turnrow.yard.wrongs import refuse

        folder = Path(to)
        if not folder.is_dir():
            raise refuse("-o", to, "That folder is not there; make it first.")
        ending, made = ("parquet", as_parquet) if parquet else ("csv", as_csv)
        with desk_of(yard) as desk:
            head = desk.book.head()
            files = {folder / f"{one.name}.{ending}": made(one, desk.diary) for one in TABLES}
        files[folder / "dictionary.csv"] = dictionary()
        keep(files)
        if as_json:
            said = {path.name: len(data) for path, data in files.items()}
            speak.answer({"folder": to, "files": said, "line": head.line, "head": head.seal})
        else:
            speak.say(f"{len(files)} files in {to}, from line {head.line}")

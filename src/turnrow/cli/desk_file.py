"""The desk commands: each answers one plain file, and can print one that runs."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from turnrow.cli import speak
from turnrow.gate.file_bytes import file_bytes
from turnrow.yard.wrongs import refuse

Example = Annotated[bool, typer.Option("--example", help="A commented file that runs.")]
Found = dict[str, Any]


def answer(
    found: Callable[[], Found], people: Callable[[Found], None], as_json: bool, example: str = ""
) -> None:
    """Print what `found` works out, as the JSON object or by `people`; or else the `example`, where given.

    `found` makes the heavy imports, so that neither help nor an example waits for them.
    """
    with speak.answering(as_json):
        if example:
            speak.example(example, as_json)
            return
        worked = found()
        if as_json:
            speak.answer(worked)
        else:
            people(worked)


def opened(file: str, argument: str = "FILE") -> tuple[bytes, str]:
    """The bytes and name of the file to be answered; Refused without one, or unreadable."""
    if not file:
        raise refuse(argument, "nothing", "Name a TOML file; --example prints one.")
    path = Path(file)
    return file_bytes(path, argument), path.name

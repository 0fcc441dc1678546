"""The command line. Each command stands in its own file and imports what it needs when called."""

import sys
from typing import Annotated

import typer

from turnrow import __version__
from turnrow.cli import (
    blend,
    chain,
    heat,
    intake,
    outlook,
    pad,
    pages,
    paper,
    prove,
    row,
    speak,
    stock,
    tables,
    today,
    use,
    yards,
)

app = typer.Typer(
    name="turnrow",
    help="A farm compost yard's diary: what to do today, what is proven hot, the paper an inspector reads.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
for family in (
    yards,
    intake,
    today,
    row,
    prove,
    blend,
    heat,
    outlook,
    use,
    chain,
    pad,
    stock,
    paper,
    tables,
    pages,
):
    family.register(app)


def _version(asked: bool) -> None:
    if asked:
        speak.say(f"turnrow {__version__}")
        raise typer.Exit


@app.callback()
def _turnrow(
    version: Annotated[
        bool, typer.Option("--version", help="Say which version this is.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    """A farm compost yard's diary: what to do today, what is proven hot, the paper an inspector reads."""


def main() -> None:
    try:
        app()
    except SystemExit as ended:
        said = getattr(ended.__context__, "format_message", None)  # a word typer turned away
        if said is not None and "--json" in sys.argv:
            given = " ".join(sys.argv[1:])
            speak.answer({"refusals": [{"where": "command line", "got": given, "do": said()}]})
        raise
    except OSError as wrong:
        where = f" ({wrong.filename})" if wrong.filename else ""
        print(f"fault  {wrong.strerror or wrong}{where}", file=sys.stderr)
        sys.exit(1)

"""The command line. Each command stands in its own file and imports what it needs when called."""

import typer

from turnrow.cli import intake, pages, paper, prove, today, yards

app = typer.Typer(
    name="turnrow",
    help="A farm compost yard's diary: what to do today, what is proven hot, the paper an inspector reads.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
for room in (yards, intake, today, prove, paper, pages):
    room.register(app)


def main() -> None:
    app()

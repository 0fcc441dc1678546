"""How every command answers: a table for people, or with --json exactly one JSON object.

Exit 0: an answer; 2: input refused, every refusal listed; 1: a fault of ours, a damaged journal, or of
`verify` a book that has faults.
"""

import errno
import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Annotated

import typer

from turnrow.yard.wrongs import DamagedJournal, Refused, refuse

Json = Annotated[bool, typer.Option("--json", help="Print exactly one JSON object.")]
Yard = Annotated[str, typer.Option("--yard", envvar="TURNROW_YARD", help="The yard's book, a file.")]


@contextmanager
def answering(as_json: bool) -> Iterator[None]:
    """Turn what can go wrong into the exit codes above; inside, do the work and print the answer."""
    try:
        yield
    except Refused as wrong:
        _turned_away(wrong, as_json)
        raise typer.Exit(2) from None
    except DamagedJournal as wrong:
        if as_json:
            answer({"damaged": {"line": wrong.line, "what": wrong.what}})
        print(f"damaged journal  {wrong}", file=sys.stderr)
        raise typer.Exit(1) from None
    except BrokenPipeError:
        raise typer.Exit(0) from None
    except OSError as wrong:
        if wrong.errno != errno.ENAMETOOLONG:
            raise
        _turned_away(refuse("path", wrong.filename, "Give a shorter name."), as_json)
        raise typer.Exit(2) from None


def _turned_away(wrong: Refused, as_json: bool) -> None:
    if as_json:
        answer({"refusals": [{"where": r.where, "got": r.got, "do": r.do} for r in wrong.refusals]})
    for refusal in wrong.refusals:
        print(f"refused  {refusal.sentence()}", file=sys.stderr)


def answer(thing: object) -> None:
    """The one JSON object."""
    sys.stdout.write(json.dumps(thing, ensure_ascii=False, allow_nan=False) + "\n")


def say(text: str = "") -> None:
    print(text)


def example(text: str, as_json: bool) -> None:
    """A file that runs, as it is; with --json in the one object."""
    answer({"example": text}) if as_json else say(text.rstrip("\n"))


def notice(text: str) -> None:
    """A remark beside the answer: stderr, so that stdout stays the answer."""
    print(f"note  {text}", file=sys.stderr)


def table(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """A plain table for people, columns as wide as what is in them; last column wraps freely."""
    from rich.console import Console
    from rich.table import Table

    drawn = Table(*headings, box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for row in rows:
        drawn.add_row(*(str(cell) for cell in row))
    Console(highlight=False, markup=False, emoji=False).print(drawn)

"""What a heap's temperature will do: the outlook of a bare log."""

from typing import Annotated

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json

EXAMPLE = """\
at,value,unit,remark
2026-05-01T07:10,11.5,C,"an invented log of a heap built on 30 April, one core reading a day"
2026-05-02T07:05,19,C,"value as the probe showed it; unit C, F or K"
2026-05-03T07:20,93,F,"33.9 °C as a Fahrenheit probe shows it"
2026-05-04T07:15,46.5,C,"columns station and depth_cm may be there; one place is looked at, see --station"
2026-05-05T07:10,55.0,C,"turnrow outlook THIS.csv --horizons 24,48,72"
"""


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("outlook")(outlook)


def outlook(
    log: Annotated[str, typer.Argument(help="CSV: at, value, unit; station and depth_cm if known.")] = "",
    events: Annotated[str, typer.Option(help="CSV: at, kind (turned, watered, covered).")] = "",
    air: Annotated[str, typer.Option(help="CSV of outside temperature: at, value, unit.")] = "",
    heap: Annotated[
        str, typer.Option(help="TOML describing the heap: `built`, and size and mix for its model.")
    ] = "",
    at: Annotated[str, typer.Option(help="The moment to look ahead from; left out: the last reading.")] = "",
    horizons: Annotated[str, typer.Option(help="Hours ahead, with commas.")] = "6,24,48,72",
    backtest: Annotated[str, typer.Option(help="Forecast again every so often, as 12h, and score.")] = "",
    air_known: Annotated[
        bool, typer.Option("--air-known", help="Use air of the file past the origin.")
    ] = False,
    station: Annotated[str, typer.Option(help="The station to look at.")] = "",
    depth_cm: Annotated[str, typer.Option(help="The depth to look at.")] = "",
    unit: Annotated[str, typer.Option(help="Unit of the answer: C, F or K.")] = "C",
    zone: Annotated[str, typer.Option(help="IANA zone of times without an offset.")] = "",
    yard: Annotated[
        str, typer.Option(help="Instead of a log: the yard's book, or set TURNROW_YARD; with --row.")
    ] = "",
    row: Annotated[str, typer.Option(help="The row of that yard, by the heap's model.")] = "",
    turn: Annotated[str, typer.Option(help="With --row: what a turn now, or on a date, would change.")] = "",
    water: Annotated[str, typer.Option(help="With --row: and so much water, as 10 m3.")] = "",
    cover: Annotated[bool, typer.Option("--cover", help="With --row: and a cover laid now.")] = False,
    example: Annotated[bool, typer.Option("--example", help="A log that runs.")] = False,
    as_json: Json = False,
) -> None:
    """Say what a heap's temperature will do, how sure that is, and how well it did so far."""
    with speak.answering(as_json):
        if example:
            speak.example(EXAMPLE, as_json)
            return
        if row or turn or water or cover:
            from turnrow.cli import outlook_yard

            log_options = (log, events, air, heap, backtest, station, depth_cm, zone)
            question = {"turn": turn, "water": water, "cover": "yes" if cover else ""}
            outlook_yard.answer(yard, row, at, question, log_options, as_json)
            return
        from turnrow.cli.outlook_answer import answer_of, people
        from turnrow.cli.outlook_input import asked_of, take

        asked = asked_of(at, horizons, backtest, unit, depth_cm)
        taken = take(log, events, air, heap, zone, station, asked)
        found = answer_of(taken, asked, air_known)
        for note in found["notices"]:
            speak.notice(note)
        if as_json:
            speak.answer(found)
        else:
            people(found)

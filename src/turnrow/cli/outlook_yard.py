"""The outlook of a yard's row: from its diary, by the heap's model or its own log."""

import os
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from turnrow.cli import speak

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from turnrow.foreman.desk import Desk


def one_thread() -> None:
    """Keep numpy's linear algebra to one thread of its own, unless the machine says otherwise: beside the
    march they only wait for one another. To be called before numpy is imported."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def answer(
    yard: str, row: str, at: str, asked: dict[str, str], log_options: tuple[str, ...], as_json: bool
) -> None:
    """Say the outlook of a yard's row at a moment, now where none is given. Refused where a log's options
    stand beside it."""
    one_thread()
    from datetime import UTC

    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book
    from turnrow.yard.wrongs import refuse

    if not row:
        raise refuse("--row", "nothing", "Name the row that is to be turned, watered or covered.")
    if any(log_options):
        raise refuse("--row", row, "Give a yard's row, or a log with its options, not both.")
    where = yard or os.environ.get("TURNROW_YARD", "")
    if not where:
        raise refuse("--yard", "nothing", "Name the yard's book: --yard PATH, or set TURNROW_YARD.")
    with Book.open(where) as book:
        desk = Desk(book)
        now = datetime.now(UTC) if not at else _moment(at, desk.zone)
        found = row_outlook(desk, row, now, asked)
    if as_json:
        speak.answer(found)
    else:
        people(found)


def _moment(text: str, zone: "ZoneInfo") -> datetime:
    from turnrow.yard.wrongs import refuse

    try:
        there = datetime.fromisoformat(text)
    except ValueError:
        raise refuse("--at", text, "Write a moment, such as 2026-05-03T07:40.") from None
    return there if there.tzinfo else there.replace(tzinfo=zone)


def warm() -> None:
    """Compile the heap's march, or find it compiled; said where it takes long."""
    import turnrow
    from turnrow.api import compiled

    def first() -> None:
        from turnrow.heap.material import Heap
        from turnrow.heap.run import simulate
        from turnrow.heap.weather import steady

        simulate(Heap(), steady(24))

    compiled.ready(first, Path(turnrow.__file__).parent / "heap")


def row_outlook(
    desk: "Desk", row: str, now: datetime, asked: dict[str, str], *, scored: bool = True
) -> dict[str, Any]:
    """The row's outlook as one object, with what was asked of it. Refused for an unknown row or question."""
    from turnrow.foreman.outlook_plan import plan_of
    from turnrow.foreman.outlooks import Outlooks
    from turnrow.foreman.what_ifs import way
    from turnrow.gate.what_if_form import what_if_from
    from turnrow.records.outlook_judged import judged
    from turnrow.records.outlook_plain import change, summary
    from turnrow.records.outlook_words import CARE, Reader, over_now, sentences, what_if_words
    from turnrow.yard.wrongs import refuse

    if row not in desk.diary.rows:
        raise refuse("--row", row, f"Rows of this yard: {', '.join(desk.diary.rows) or 'none yet'}.")
    question = what_if_from(asked, now.astimezone(desk.zone).date())
    plan = plan_of(desk, row, now)
    if plan is None:
        raise refuse("--row", row, "It ended, or nothing is known of it yet: no outlook can be made.")
    warm()
    outlooks = Outlooks()
    try:
        made = outlooks.made(plan)
    except ValueError as wrong:
        raise refuse("--row", row, f"The model cannot follow this row ({wrong}).") from wrong
    made = outlooks.scored(made) if scored else made
    reader, over = Reader(desk.zone), over_now(made.outlook)
    changes = (*made.what_if(way(question, made.outlook, desk.zone)), *made.usual)
    return {
        "row": row,
        "outlook": summary(made.ahead),
        "what_if": [{**change(one), "words": list(what_if_words(one, reader, over))} for one in changes],
        "sentences": list(sentences(made.ahead, reader)),
        "score": list(judged(made.ahead, made.mornings, reader)),
        "care": CARE,
    }


def people(found: dict[str, Any]) -> None:
    """The outlook for people."""
    one = found["outlook"]
    speak.say(f"Row {found['row']}: what it will do")
    plain = one["skilled"] is False
    for said in (*([] if plain else found["sentences"]), *found["score"]):
        speak.say(f"  {said}")
    speak.say()
    if not plain:
        _fan(one)
    if plain or one["used"] != "process model":
        speak.say("What a deed would change is told by the model of the heap alone:")
    for way in found["what_if"]:
        speak.say(f"{way['name']}, against doing nothing: {' '.join(way['words'])}")
    for finding in one["findings"]:
        speak.say(f"MIND  {finding['reason']}")
    for note in one["notices"]:
        speak.notice(note)
    speak.say(found["care"])


def _fan(one: dict[str, Any]) -> None:
    """The deepest fan as a table."""
    deepest = one["fan_c"][-1]
    rows = [
        (f"{hours} h", *(f"{heat:.1f}" for heat in deepest[hours - 1]))
        for hours in (24, 48, 72, 168, 336)
        if hours <= len(deepest)
    ]
    depth = f"°C at {one['depths_cm'][-1]:g} cm"
    speak.table((depth, "9 of 10 from", "8 of 10 from", "middle", "8 of 10 to", "9 of 10 to"), rows)
    speak.say()

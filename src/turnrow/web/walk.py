"""The walk: one station a screen on a phone that may have no signal; what was kept there is sent here."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import FileResponse, JSONResponse, Response

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Receipt
from turnrow.web.api import WRONG
from turnrow.web.asking import Asked, asked_of, keeper_of, name_after
from turnrow.web.enter import open_rows
from turnrow.web.render import page
from turnrow.web.rounds import ticked
from turnrow.web.rows import history_of
from turnrow.web.shapes import EntryIn, RefusalOut, Refusals
from turnrow.web.walk_plan import plan_of
from turnrow.web.works import works_of
from turnrow.web.wrong import as_rows
from turnrow.yard.wrongs import NotStored, Refused

router = APIRouter(include_in_schema=False)
api = APIRouter(prefix="/api", responses=WRONG, tags=["diary"])
WORKER = Path(__file__).parent / "static" / "walk_worker.js"
MOST = 40  # entries of one walk: a round for each depth, and what was not read


class WalkIn(BaseModel):
    """A walk as a phone kept it: a round for each depth, a note of what was not read."""

    model_config = ConfigDict(extra="forbid")

    row: Annotated[str, Field(max_length=200)]
    entries: Annotated[list[EntryIn], Field(min_length=1, max_length=MOST)]


class AnswerOut(BaseModel):
    """What became of one entry: the lines it is kept as, or why it was turned away."""

    id: str
    lines: list[int]
    refusals: list[RefusalOut]


class WalkOut(BaseModel):
    """The answers in the order sent, the job it answered, and the book's clock."""

    answers: list[AnswerOut]
    ticked: list[int]
    now: datetime


@router.get("/walk")
def choose(request: Request, row: str = "") -> Response:
    """The rows to walk, those due today in their order first."""
    with keeper_of(request).desk() as desk:
        asked = asked_of(request, desk)
        if row:
            return _walk(request, desk, asked, row)
        advice = desk.today(asked.now)
        answered = {**advice.done, **advice.put_off}
        due = {
            one.row: one for one in reversed(advice.advice) if one.job == "probe" and one.key not in answered
        }
        ordered = list(reversed(due.values()))
        others = [name for name in open_rows(desk) if name not in due]
        return page(asked, "walk_rows.html", due=ordered, others=others)


@router.get("/walk/{name:path}")
def walk(request: Request, name: str) -> Response:
    """One row's walk, with all that the phone needs to go on without a signal."""
    with keeper_of(request).desk() as desk:
        return _walk(request, desk, asked_of(request, desk), name_after(request, "/walk/"))


@router.get("/walk-worker.js")
def worker() -> Response:
    """What keeps the walk's pages on the phone; beside them, as it may only serve what lies below it."""
    return FileResponse(WORKER, media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@api.post(
    "/walk",
    response_model=WalkOut,
    responses={
        422: {"model": WalkOut | Refusals, "description": "Turned away, all or some; others are kept"}
    },
)
def send(request: Request, sent: WalkIn) -> Response:
    """A walk's rounds, each kept or turned away by itself; sent twice it adds nothing."""
    keeper = keeper_of(request)
    with keeper.desk() as desk:
        now = keeper.clock()
        answers = [_kept(desk, one, now) for one in sent.entries]
        rounds = [one for one, answer in zip(sent.entries, answers, strict=True) if _is_round(one, answer)]
        job = _job_done(request, desk, sent.row, rounds[0]) if rounds else None
        body = WalkOut(answers=answers, ticked=_numbers(job), now=now.astimezone(desk.zone))
    wrong = any(answer.refusals for answer in answers)
    return JSONResponse(body.model_dump(mode="json"), 422 if wrong else 200)


def _kept(desk: Desk, one: EntryIn, now: datetime) -> AnswerOut:
    fields = {**one.fields, **({"happened": one.happened} if one.happened else {})}
    try:
        receipt = desk.write(one.kind, fields, now=now, who=one.who, device=one.device, id=one.id)
    except NotStored:
        raise  # nothing is wrong with what was sent: the phone keeps it and tries again
    except Refused as wrong:
        told = [RefusalOut.model_validate(each) for each in as_rows(wrong.refusals)]
        return AnswerOut(id=one.id, lines=[], refusals=told)
    return AnswerOut(id=one.id, lines=_numbers(receipt), refusals=[])


def _numbers(receipt: Receipt | None) -> list[int]:
    return [line.number for line in receipt.lines] or list(receipt.known) if receipt else []


def _is_round(one: EntryIn, answer: AnswerOut) -> bool:
    return one.kind == "round" and bool(answer.lines)


def _job_done(request: Request, desk: Desk, row: str, one: EntryIn) -> Receipt | None:
    """The day's sheet asked for this round: the tick, once."""
    try:
        return ticked(request, desk, f"{row} probe", one.who, one.device)
    except NotStored:
        raise
    except Refused:
        return None  # the round is kept; a sheet that changed meanwhile does not turn it away


def _walk(request: Request, desk: Desk, asked: Asked, name: str) -> Response:
    history = history_of(desk, name)
    works = works_of(request)
    made = works.there(desk, name, keeper_of(request).clock()) if works else None
    plan = plan_of(desk, history, made, now=asked.now, unit=asked.unit, who=asked.who)
    return page(asked, "walk.html", plan=plan.model_dump_json(), row=name)

"""Today: what is to be done, what has changed since the sheet was issued, and the ticks."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.responses import RedirectResponse, Response

from turnrow.foreman.desk import Desk
from turnrow.journal.book import Receipt
from turnrow.web.asking import asked_of, keeper_of, own_path, remember
from turnrow.web.enter import kept
from turnrow.web.forms import composed_job
from turnrow.web.given import DEVICE, Given, given_of
from turnrow.web.render import page
from turnrow.yard.wrongs import NotStored, Refusal, Refused, refuse, shown

router = APIRouter(include_in_schema=False)
Sent = Annotated[Given, Depends(given_of)]


@router.get("/")
def today(request: Request, day: str = "") -> Response:
    """The day's jobs, in order of the harm done if they are left; with `day` those of a day gone by."""
    with keeper_of(request).desk() as desk:
        now = asked_of(request, desk).now.date()
        try:
            asked_day = date.fromisoformat(day) if day else now
        except ValueError:
            raise refuse("day", shown(day), "Write a date such as 2026-05-03.") from None
        if asked_day > now:
            raise refuse("day", shown(day), "That day is still to come: nothing is known of it.")
        return _today(request, desk) if asked_day == now else _gone_by(request, desk, asked_day)


def _gone_by(request: Request, desk: Desk, day: date) -> Response:
    """A day as it stood at its midday, to read: nothing on it can be ticked."""
    there = desk.morning_of(day)
    return page(asked_of(request, desk), "day.html", 200, today=there)


@router.post("/today/issue")
def issue(request: Request, given: Sent) -> Response:
    """Issue the day's sheet: what was said becomes a line of the diary."""
    with keeper_of(request).desk() as desk:
        try:
            line = desk.issue(keeper_of(request).clock(), given.get("who"), DEVICE)
        except NotStored:
            raise
        except Refused as wrong:
            return _today(request, desk, wrong.refusals)
    return kept(Receipt((line,), ()), given, "/")


@router.post("/today/done")
def done(request: Request, given: Sent) -> Response:
    """A job is done: its entry and the tick, together."""
    return _tick(request, given, True)


@router.post("/today/put-off")
def put_off(request: Request, given: Sent) -> Response:
    """Not today, with the reason."""
    return _tick(request, given, False)


def _tick(request: Request, given: Given, is_done: bool) -> Response:
    key = given.get("key")
    with keeper_of(request).desk() as desk:
        if not key:
            raise refuse("key", "nothing", "Open Today and answer the job there.")
        now = keeper_of(request).clock()
        job = desk.today(now).job(key)
        fields = composed_job(job.job, given.fields) if job and is_done else {}
        try:
            receipt = desk.tick(key, now, given.get("who"), DEVICE, is_done, given.get("reason"), fields)
        except NotStored:
            raise
        except Refused as wrong:
            return _today(request, desk, wrong.refusals, key)
    return kept(receipt, given, own_path(given.get("back") or "/"))


def _today(request: Request, desk: Desk, wrong: tuple[Refusal, ...] = (), key: str = "") -> Response:
    asked = asked_of(request, desk)
    day = desk.today(asked.now)
    answered = {**day.done, **day.put_off}
    return page(
        asked,
        "today.html",
        422 if wrong else 200,
        today=day,
        stands=desk.stands(asked.now),
        open=[job for job in day.advice if job.key not in answered],
        done=[(day.job(name), name, line) for name, line in day.done.items()],
        put_off=[(day.job(name), name, line) for name, line in day.put_off.items()],
        wrong=wrong,
        wrong_key=key,
        any_rows=bool(desk.diary.rows),
    )


@router.get("/today/{answer}")
def answered(answer: str) -> Response:
    """An address that only takes answers, opened by itself: the day is on the first page."""
    return RedirectResponse("/", 303)


@router.post("/unit")
def unit(given: Sent) -> Response:
    """The unit this person reads temperatures in; kept in their browser, never in the data."""
    answer = RedirectResponse(own_path(given.get("back")), 303)
    remember(answer, "unit", "F" if given.get("unit") == "F" else "C")
    return answer

"""A row's outlook as a part of its page, and as JSON. Looking writes nothing."""

from typing import Annotated

from fastapi import APIRouter, HTTPException, Query, Request
from starlette.responses import RedirectResponse, Response

from turnrow.foreman.what_ifs import way
from turnrow.gate.what_if_form import DAYS, what_if_from
from turnrow.records.outlook_judged import judged
from turnrow.records.outlook_plain import change, summary
from turnrow.records.outlook_words import CARE, Reader, sentences
from turnrow.web.api import NOT_THERE, WRONG
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.outlook_shapes import OutlookBody, OutlookOut, WhatIfOut
from turnrow.web.outlook_view import NO_WAIT, View, given_of, view_of
from turnrow.web.render import page
from turnrow.web.rows import csv_answer, picture
from turnrow.web.works import NO_WORKS, Waiting, works_of

router = APIRouter(include_in_schema=False)
api = APIRouter(prefix="/api", responses=WRONG, tags=["outlook"])
Text = Annotated[str, Query(max_length=40)]


@router.get("/row/outlook")
def outlook(request: Request, row: str) -> Response:
    """The outlook's part of the row's page, or the promise of it."""
    given = given_of(request.query_params)
    with keeper_of(request).desk() as desk:
        asked, drawn = asked_of(request, desk), picture(desk, row, asked_of(request, desk).unit, False)
        works = works_of(request)
        found = works.row(desk, row, keeper_of(request).clock()) if works else NO_WORKS
    view = view_of(row, found, drawn, given, works.seconds if works else 0)
    return page(asked, "outlook_part.html", 422 if view.wrong else 200, view=view)


@router.get("/row/outlook.csv")
def outlook_csv(request: Request, row: str) -> Response:
    """What the fan draws, as a table."""
    with keeper_of(request).desk() as desk:
        drawn, works = picture(desk, row, asked_of(request, desk).unit, False), works_of(request)
        found = works.row(desk, row, keeper_of(request).clock()) if works else NO_WORKS
    view = view_of(row, found, drawn, given_of(request.query_params), 0)
    if view.made is None:
        why = found.never if isinstance(found, Waiting) else ""
        raise HTTPException(404, why or "The outlook is being made; ask again in some seconds.")
    return csv_answer(f"{row} outlook", view.head, view.table)


@router.get("/row/outlook/asked")
def asked(request: Request, row: str) -> Response:
    """What was asked without a script: the row's page with it."""
    return RedirectResponse(View(row, given_of(request.query_params), NO_WAIT).here(), 303)


@api.get("/outlook", responses=NOT_THERE)
def outlook_api(
    request: Request,
    row: Annotated[str, Query(max_length=200)],
    turn: Annotated[
        str, Query(max_length=40, description=f"now, no, or a date up to {DAYS} days ahead")
    ] = "",
    water: Annotated[str, Query(max_length=40, description="as typed: 10 m3, 2500 L, 10 yd3")] = "",
    cover: Annotated[str, Query(max_length=40, description="yes or no")] = "",
) -> OutlookOut:
    """A row's outlook, and what a turn, water or a cover would change. Asked for, it is made; ask again
    after `seconds`."""
    works = works_of(request)
    with keeper_of(request).desk() as desk:
        if row not in desk.diary.rows:
            raise HTTPException(404, "The diary speaks of no such row.")
        now = keeper_of(request).clock()
        asked = what_if_from({"turn": turn, "water": water, "cover": cover}, now.astimezone(desk.zone).date())
        found = works.row(desk, row, now) if works else NO_WORKS
        reader = Reader(desk.zone)
    if isinstance(found, Waiting):
        return OutlookOut(
            row=row,
            seconds=found.seconds,
            never=found.never,
            outlook=None,
            what_if=[],
            sentences=[],
            care=CARE,
        )
    changes = (*found.what_if(way(asked, found.outlook, reader.zone)), *found.usual)
    return OutlookOut(
        row=row,
        seconds=0,
        never="",
        outlook=OutlookBody.model_validate(summary(found.ahead)),
        what_if=[WhatIfOut.model_validate(change(one)) for one in changes],
        sentences=[*sentences(found.ahead, reader), *judged(found.ahead, found.mornings, reader)],
        care=CARE,
    )

"""The rows: all of them in a list, and one row's page with its pictures, its standing and its diary."""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np
from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import Response

from turnrow.foreman.correcting import correction
from turnrow.foreman.desk import Desk
from turnrow.foreman.sources import row_source
from turnrow.records.curve import CURVE_HEAD, curve_rows, curve_words, temperature_curve
from turnrow.records.row_picture import LimitLine, RowPicture, run_words
from turnrow.records.strip import TABLE_HEAD, heat_strip, strip_rows, strip_words
from turnrow.records.verdict import STATES
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import Seen, seen
from turnrow.web.asking import Asked, asked_of, keeper_of, name_after
from turnrow.web.coming import row_words
from turnrow.web.forms import FORMS
from turnrow.web.outlook_view import given_of, view_of
from turnrow.web.render import page
from turnrow.web.works import works_of
from turnrow.yard import days
from turnrow.yard.entries import Advice
from turnrow.yard.history import History
from turnrow.yard.temperature import Unit

router = APIRouter(include_in_schema=False)
NEWEST = 40  # lines of the diary on the row's own page
DRAWN_DAYS = 84  # days in the pictures unless more are asked for
TABLE_ROWS = 400  # rows of a picture's table on the page; the CSV has them all
CELL, BESIDE, LABELS, WIDEST = 38, 84, 180, 960  # px: a day, the names, the words, the picture
PHONE = 272  # px: the strip on a narrow screen, folded into weeks so that nothing is off the side


@router.get("/rows")
def rows(request: Request, name: str = "") -> Response:
    """Every row, those at work first."""
    with keeper_of(request).desk() as desk:
        asked = asked_of(request, desk)
        if name:
            return _row(request, desk, asked, name)
        every = [overview(desk, row, asked.now) for row in desk.diary.rows]
        return page(
            asked,
            "rows.html",
            working=[one for one in every if one["state"] == "working"],
            curing=[one for one in every if one["state"] == "curing"],
            gone=[one for one in every if one["state"] == "gone"],
        )


@router.get("/rows/{name:path}")
def row(request: Request, name: str) -> Response:
    """One row, one picture."""
    with keeper_of(request).desk() as desk:
        return _row(request, desk, asked_of(request, desk), name_after(request, "/rows/"))


def history_of(desk: Desk, name: str) -> History:
    """The row's history, or the page that says there is no such row."""
    if name not in desk.diary.rows:
        raise HTTPException(404, f"The diary speaks of no row {name[:80]!r}.")
    return desk.diary.history(name)


def overview(desk: Desk, name: str, now: datetime) -> dict[str, object]:
    """What a list says of a row."""
    history = desk.diary.history(name)
    standing = desk.standing(name)
    shown = seen_now(desk, history, now)
    state = "gone" if history.gone else "curing" if history.curing else "working"
    return {
        "name": name,
        "state": state,
        "history": history,
        "row_standing": standing,
        "seen": shown,
        "run": run_words(standing.standing) if standing.standing.rule else "",
    }


def seen_now(desk: Desk, history: History, now: datetime) -> Seen:
    standing = desk.standing(history.row)
    suspects = standing.suspects
    return seen(history, suspects, Limits(desk.settings()), days.seconds(now))


def _row(request: Request, desk: Desk, asked: Asked, name: str) -> Response:
    history = history_of(desk, name)
    row_standing = desk.standing(name)
    rule_id, policies, facts = desk.rule_for(name)
    everything = request.query_params.get("days") == "all"
    drawn = picture(desk, name, asked.unit, everything)
    lines = history.lines
    source = row_source(desk, name, asked.now)
    coming = "" if source is None else row_words(source, asked.now.astimezone(desk.zone).date())
    works = works_of(request)
    view = None
    if works is not None and history.gone is None:
        found = works.row(desk, name, keeper_of(request).clock())
        view = view_of(name, found, drawn, given_of(request.query_params), works.seconds)
    return page(
        asked,
        "row.html",
        422 if view and view.wrong else 200,
        name=name,
        view=view,
        history=history,
        seen=seen_now(desk, history, asked.now),
        coming=coming,
        advice=advice_for(desk, name, asked.now),
        correction=correction(desk, name),
        rule=desk.handbook.rules.get(rule_id),
        policies=policies,
        facts=facts,
        row_standing=row_standing,
        otherwise=[
            (policy, value, STATES[verdict])
            for policy, value, verdict in desk.otherwise(name)
            if verdict != row_standing.standing.state
        ],
        strip=sized(heat_strip(drawn, WIDEST), WIDEST),
        strip_phone=sized(heat_strip(drawn, PHONE), PHONE),
        strip_upto=strip_upto(drawn),
        strip_words=strip_words(drawn),
        strip_head=TABLE_HEAD,
        strip_rows=strip_rows(drawn)[-TABLE_ROWS:],
        curve=sized(temperature_curve(drawn, WIDEST), WIDEST),
        curve_upto=WIDEST - LABELS,
        curve_words=curve_words(drawn),
        curve_head=CURVE_HEAD,
        curve_rows=curve_rows(drawn)[-TABLE_ROWS:],
        drawn=drawn,
        everything=everything,
        shortened=drawn.days is not None,
        newest=lines[::-1][:NEWEST],
        older=len(lines) > NEWEST,
        total=len(lines),
        forms=[form for form in FORMS.values() if form.group == "row"],
        is_struck=desk.diary.is_struck,
    )


def picture(desk: Desk, name: str, unit: Unit, everything: bool) -> RowPicture:
    """What is drawn of the row: its last weeks, or all its days."""
    history = history_of(desk, name)
    rule_id = desk.rule_for(name)[0]
    rule = desk.handbook.rules.get(rule_id)
    turn_limit = Limits(desk.settings()).heat("turn_limit")
    further = [LimitLine(turn_limit.ninths, f"{turn_limit.words()}, turn")]
    drawn = RowPicture.of(history, desk.standing(name), rule, unit=unit, further=further)
    span = drawn.span
    if everything or span is None or span[1] - span[0] < DRAWN_DAYS:
        return drawn
    return since(drawn, span[1] - DRAWN_DAYS + 1)


def since(drawn: RowPicture, day: int) -> RowPicture:
    """The picture from `day` on, so that what is drawn, its sentence and its table are of the same days."""
    start = int(np.searchsorted(drawn.readings.day, day))
    return replace(
        drawn,
        readings=drawn.readings.pick(np.arange(start, len(drawn.readings))),
        marks=tuple(mark for mark in drawn.marks if mark.day >= day),
        suspects=tuple(
            replace(one, first=max(one.first - start, 0), last=one.last - start)
            for one in drawn.suspects
            if one.last >= start
        ),
        days=(day, drawn.span[1] if drawn.span else day),
    )


def sized(svg: str, width: int) -> Markup:
    """The picture at its own size, so that a narrow screen scrolls it instead of shrinking its figures."""
    return Markup(svg.replace("<svg ", f'<svg width="{width}" ', 1))


def strip_upto(drawn: RowPicture) -> int:
    """How far from the left the newest day ends [px]; further right than the picture is its end."""
    count = drawn.span[1] - drawn.span[0] + 1 if drawn.span else 0
    return min(BESIDE + CELL * count, WIDEST)


def advice_for(desk: Desk, name: str, now: datetime) -> list[Advice]:
    """The row's own jobs of the day."""
    return [one for one in desk.today(now).advice if one.row == name]


@router.get("/row/strip.csv")
def strip_csv(request: Request, row: str, days: str = "") -> Response:
    """What the strip draws, as a table."""
    with keeper_of(request).desk() as desk:
        drawn = picture(desk, row, asked_of(request, desk).unit, days == "all")
        return csv_answer(f"{row} strip", TABLE_HEAD, strip_rows(drawn))


@router.get("/row/curve.csv")
def curve_csv(request: Request, row: str, days: str = "") -> Response:
    """What the curve draws, as a table."""
    with keeper_of(request).desk() as desk:
        drawn = picture(desk, row, asked_of(request, desk).unit, days == "all")
        return csv_answer(f"{row} curve", CURVE_HEAD, curve_rows(drawn))


def csv_answer(name: str, head: Sequence[str], body: Iterable[Sequence[str]]) -> Response:
    """A CSV to keep; a cell that a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    pen = csv.writer(out, lineterminator="\r\n")
    pen.writerow(head)
    pen.writerows([f"'{cell}" if cell[:1] in ("=", "+", "@", "\t") else cell for cell in row] for row in body)
    return download(out.getvalue().encode(), name, "csv", "text/csv; charset=utf-8")


def download(data: bytes, name: str, ending: str, kind: str) -> Response:
    """A file to keep under a name made of plain letters and digits only."""
    plain = "".join(mark if mark.isascii() and (mark.isalnum() or mark in "-_") else "-" for mark in name)[
        :80
    ]
    return Response(
        data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{plain}.{ending}"'}
    )

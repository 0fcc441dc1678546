"""The round: one number a station, the last one in sight; a surprising one is asked about once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.gate.forms import entry_from
from turnrow.gate.unit_ask import round_doubt
from turnrow.journal.book import Receipt
from turnrow.web.asking import Asked, asked_of, keeper_of
from turnrow.web.enter import beside, happened, kept, open_rows, write
from turnrow.web.given import DEVICE, Given, given_of, new_id
from turnrow.web.render import page
from turnrow.web.rows import history_of
from turnrow.web.units import TYPED
from turnrow.yard.history import History
from turnrow.yard.numbers import parse_micro
from turnrow.yard.temperature import NINTH, Unit, ninths
from turnrow.yard.wrongs import NotStored, Refusal, Refused

router = APIRouter(include_in_schema=False)
Sent = Annotated[Given, Depends(given_of)]
SURPRISE = 10 * NINTH  # ninths: ten degrees Celsius from the last reading
MOST = 400  # stations on one form


@dataclass(frozen=True)
class Last:
    """The newest reading of a station."""

    value: int
    unit: Unit
    day: int
    heat: int
    line: int


@dataclass(frozen=True)
class Place:
    """One station of the form, with what was typed."""

    name: str
    last: Last | None
    typed: str = ""
    asks: bool = False  # the number is far from the last one, and it has not been confirmed
    asked: str = ""  # the number the walker was asked about


@router.get("/write/round")
def blank(request: Request, row: str = "", key: str = "") -> Response:
    """The form for a row, or the rows to choose from."""
    with keeper_of(request).desk() as desk:
        asked = asked_of(request, desk)
        if not row:
            return page(asked, "choose_row.html", rows=open_rows(desk))
        history = history_of(desk, row)
        return _form(asked, history, places(history, {}), {"key": key}, ())


@router.post("/write/round")
def keep(request: Request, given: Sent) -> Response:
    """Write the round once; a surprising number is asked about first, and kept if sent again."""
    with keeper_of(request).desk() as desk:
        history = history_of(desk, given.get("row"))
        there = desk.line_with(given.get("id"))
        if there and history.row in (earlier := desk.before(there)).rows:
            history = earlier.history(history.row)  # sent again: asked and confirmed as the first time
        asked = asked_of(request, desk)
        found = places(history, given.fields)
        fits = "" if there else _other_unit(request, desk, history, found, given)
        if fits:
            found = [replace(one, asks=bool(one.typed), asked=one.typed) for one in found]
        if any(place.asks for place in found):
            return _form(asked, history, found, given.fields, (), fits)
        try:
            receipt = write(request, desk, "round", _fields(history, found, given), given)
            ticked(request, desk, given.get("key"), given.get("who"), DEVICE)
        except NotStored:
            raise
        except Refused as wrong:
            return _form(asked, history, found, given.fields, wrong.refusals)
    return kept(receipt, given)


def places(history: History, given: Mapping[str, str]) -> list[Place]:
    """The row's stations with their last reading and what was typed for each."""
    known = lasts(history)
    unit = unit_of(given)
    names = list(history.stations)[:MOST]
    more = [given.get(f"name_{n}", "").strip() for n in range(1, MOST + 1)]
    names += [name for name in dict.fromkeys(more) if name and name not in names]
    typed = {given.get(f"name_{n}", "").strip(): n for n in range(1, MOST + 1)}
    found = []
    for name in names:
        n = typed.get(name, 0)
        text = given.get(f"value_{n}", "").strip()
        sure = text and text == given.get(f"asked_{n}", "").strip()
        last = known.get(name)
        strange = bool(last and text and _far(text, unit, last))
        found.append(Place(name, last, text, strange and not sure, text if strange or sure else ""))
    return found


def unit_of(given: Mapping[str, str]) -> Unit:
    return TYPED.get(given.get("unit", ""), "C")


def lasts(history: History) -> dict[str, Last]:
    """Each station's newest reading."""
    readings = history.readings
    found: dict[str, Last] = {}
    for index in range(len(readings) - 1, -1, -1):
        name = readings.stations[int(readings.station[index])]
        if name not in found:
            found[name] = Last(
                int(readings.value[index]),
                readings.unit_of(index),
                int(readings.day[index]),
                int(readings.heat[index]),
                int(readings.line[index]),
            )
        if len(found) == len(readings.stations):
            break
    return found


def _far(text: str, unit: Unit, last: Last) -> bool:
    """More than ten degrees Celsius from the last reading; what is no number is the gate's to refuse."""
    try:
        value = parse_micro(text, comma="," in text)
    except ValueError:
        return False
    return abs(ninths(value, unit) - last.heat) > SURPRISE


def _fields(history: History, found: Sequence[Place], given: Given) -> dict[str, str]:
    """The gate's fields: one a station, the stations passed by, those confirmed when asked."""
    read = [place for place in found if place.typed]
    fields = {
        "row": history.row,
        "unit": given.get("unit"),
        "depth_cm": given.get("depth_cm"),
        "skipped": ", ".join(place.name for place in found if not place.typed and listable(place.name)),
        "confirmed": ", ".join(place.name for place in read if place.asked and listable(place.name)),
        "probe": given.get("probe"),
        **{f"station.{place.name}": place.typed for place in read},
    }
    return {name: text for name, text in fields.items() if text}


def listable(name: str) -> bool:
    """A logger may name its stations with a comma; such a name cannot stand in a list."""
    return not set(name) & set(",;")


def ticked(request: Request, desk: Desk, key: str, who: str, device: str) -> Receipt | None:
    """The job this round was walked for, when the day's sheet asks for it."""
    if not key:
        return None
    now = keeper_of(request).clock()
    sheet = desk.issued(now)
    if key in sheet.done or key not in {job.key for job in sheet.on_sheet}:
        return None
    return desk.tick(key, now, who, device)


def _other_unit(request: Request, desk: Desk, history: History, found: Sequence[Place], given: Given) -> str:
    """What is asked of a round that fits the other unit; "" where it does not, or is not to be read yet."""
    sure = [replace(one, asked="") if one.asks else one for one in found]
    fields, now = {**_fields(history, sure, given), **happened(given)}, keeper_of(request).clock()
    try:
        entry = entry_from("round", fields, diary=desk.diary, now=now, who=given.get("who"))
    except Refused:
        return ""  # it is told when the round is written
    doubt = round_doubt(entry, desk.diary)
    return doubt.sentence if doubt else ""


def _form(
    asked: Asked,
    history: History,
    found: Sequence[Place],
    given: Mapping[str, str],
    wrong: Sequence[Refusal],
    fits: str = "",
) -> Response:
    asks = [place for place in found if place.asks]
    return page(
        asked,
        "round.html",
        422 if wrong else 200,
        row=history.row,
        places=found,
        given=given,
        unit=unit_of(given) if given.get("unit") else asked.unit,
        id=given.get("id") or new_id(),
        asks=asks,
        fits=fits,
        wrong=wrong,
        beside=beside(wrong, ["who", "happened", "probe", "depth_cm"]),
    )

"""Taking a file in by a page: a logger's readings, a lab's sheet, weather, scale tickets, other entries."""

from dataclasses import dataclass, field
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import UploadFile
from starlette.responses import Response

from turnrow.foreman import intake
from turnrow.foreman.desk import Desk
from turnrow.foreman.entering import take_any
from turnrow.foreman.intake import Taken
from turnrow.gate.handed import Handed
from turnrow.web.asking import asked_of, keeper_of, remember
from turnrow.web.enter import open_rows, things
from turnrow.web.given import DEVICE
from turnrow.web.render import page
from turnrow.web.safety import FILE_MOST
from turnrow.yard.wrongs import NotStored, Refusal, Refused, refuse

router = APIRouter(include_in_schema=False)
KINDS = (
    ("", "what its columns say"),
    ("weather", "weather, a line a row"),
    ("load-in", "loads that came in"),
    ("weighed", "weighings"),
    ("turned", "turns"),
    ("watered", "waterings"),
    ("measured", "moisture, oxygen and the like"),
    ("spent", "hours, fuel and other costs"),
    ("growth-test", "growth tests, one a row"),
    ("self-heating", "the log of a lot’s self-heating test"),
)

OF_COMMAND = (  # how the gate names a mapping, and what it is on this page
    ("in a mapping of `turnrow take`", "in the mapping below"),
    ("give `turnrow take` a mapping", "write a mapping below"),
)


@dataclass(frozen=True)
class Sent:
    """The form's fields as typed, and the file with its name."""

    fields: dict[str, str] = field(default_factory=dict)
    name: str = ""
    data: bytes = b""

    def get(self, name: str) -> str:
        return self.fields.get(name, "").strip()


async def sent_of(request: Request) -> Sent:
    """The form and its file, of which one byte more than may come is read at most."""
    fields: dict[str, str] = {}
    name, data = "", b""
    async with request.form(max_files=1, max_fields=20) as form:
        for key, value in form.multi_items():
            if isinstance(value, UploadFile):
                name, data = (value.filename or "")[-80:], await value.read(FILE_MOST + 1)
            else:
                fields[key] = value
    return Sent(fields, name, data)


@router.get("/take")
def ask(request: Request) -> Response:
    """The form."""
    known = {name: value for name, value in request.query_params.items() if len(value) <= 400}
    with keeper_of(request).desk() as desk:
        return _page(request, desk, Sent(known))


@router.post("/take")
def take(request: Request, sent: Annotated[Sent, Depends(sent_of)]) -> Response:
    """Write what the file says, once however often it is sent, or tell all that is wrong with it."""
    with keeper_of(request).desk() as desk:
        try:
            taken = _take(request, desk, sent)
        except NotStored:
            raise
        except Refused as wrong:
            return _page(request, desk, sent, wrong=wrong.refusals)
        desk.refresh()
        answer = _page(request, desk, sent, taken=taken)
    remember(answer, "who", sent.get("who"))
    return answer


def _take(request: Request, desk: Desk, sent: Sent) -> Taken:
    if not sent.data:
        raise refuse("file", "nothing", "Choose a CSV or XLSX file.")
    if len(sent.data) > FILE_MOST:
        do = "Send a file of at most 32 MB, or take it with `turnrow take` on the machine itself."
        raise refuse("file", f"{len(sent.data):,} bytes or more", do)
    heating = sent.get("kind") == "self-heating"
    text = sent.fields.get("map", "")
    handed = Handed(
        sent.data, sent.name or "the file", now=keeper_of(request).clock(), who=sent.get("who"),
        device=DEVICE, kind="" if heating else sent.get("kind"), row=sent.get("row"), lot=sent.get("lot"),
        mapping=intake.mapping_from(text.encode(), "the mapping") if text.strip() else None,
        probe=sent.get("probe"), again=bool(sent.get("again")), self_heating=heating,
        ambient=sent.get("ambient"), as_written=bool(sent.get("as_written")),
    )  # fmt: skip
    return take_any(desk.book, desk.diary, handed)


def _page(
    request: Request, desk: Desk, sent: Sent, *, taken: Taken | None = None, wrong: tuple[Refusal, ...] = ()
) -> Response:
    lines = [line.number for line in taken.receipt.lines] if taken else []
    said = [one.do.partition("\n\n") for one in wrong]  # a file of other headings is told its mapping
    shown = [
        Refusal(one.where, one.got, do.replace("with --map:", "below.") if mapping else _here(one.do))
        for one, (do, _, mapping) in zip(wrong, said, strict=True)
    ]
    filled = sent.fields.get("map") or next((mapping for *_, mapping in said if mapping), "")
    return page(
        asked_of(request, desk),
        "take.html",
        422 if wrong else 200,
        known={**sent.fields, "map": filled},
        name=sent.name,
        wrong=shown,
        taken=taken,
        lines=lines,
        kinds=KINDS,
        rows=open_rows(desk),
        lots=things(desk)["lots"],
    )


def _here(do: str) -> str:
    """What to do as the page says it: a mapping is a field of its form."""
    for elsewhere, here in OF_COMMAND:
        do = do.replace(elsewhere, here)
    return do

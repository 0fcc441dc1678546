"""Who asks for a page, and how they like to read it: unit and name, from cookies; never the data's."""

import re
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote, unquote, urlencode

from starlette.requests import Request
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.web.keeper import Keeper
from turnrow.web.links import paper_of
from turnrow.yard.entries import YardLaidOut
from turnrow.yard.temperature import Unit

ONCE = ("kept", "sent")  # in an address, and not to be come back to
YEAR_S = 365 * 86_400
WHO_MOST = 60  # characters of a name kept in the cookie


@dataclass(frozen=True)
class Asked:
    """One request, as the templates need it; `now` on the yard's clock."""

    path: str
    address: str  # to come back to: path and query, without what was said once
    now: datetime
    yard: YardLaidOut
    head: int
    seal: str
    unit: Unit
    who: str
    kept: tuple[int, ...]  # lines just written, said once at the top of the page
    papers: tuple[tuple[str, str], ...] = ()  # of the lines just written: name and address
    trouble: str = ""  # why the book did not take the last thing sent
    open: bool = False  # served beyond this machine, where there are no accounts yet
    unknown: tuple[tuple[int, str], ...] = ()  # lines that do not count for a unit nobody knows, and why


def keeper_of(request: Request) -> Keeper:
    keeper = request.app.state.keeper
    if not isinstance(keeper, Keeper):
        raise ValueError(f"app.state.keeper is {type(keeper).__name__}, want Keeper")
    return keeper


def asked_of(request: Request, desk: Desk) -> Asked:
    """What a page's frame needs of the request; call it inside `keeper.desk()`."""
    head = desk.book.head()
    kept = request.query_params.get("kept", "")
    numbers = [int(piece) for piece in kept.split(",") if piece.isdecimal() and len(piece) < 10]
    lines = tuple(number for number in numbers if 0 < number <= min(head.line, desk.diary.head))[:50]
    found = (paper_of(desk.diary.line(number).entry.what) for number in lines)
    return Asked(
        path=request.scope["path"],
        address=address_of(request),
        now=keeper_of(request).clock().astimezone(desk.zone),
        yard=desk.diary.yard,
        head=head.line,
        seal=head.seal,
        unit="F" if request.cookies.get("unit") == "F" else "C",
        who=who_of(request),
        kept=lines,
        papers=tuple(paper for paper in found if paper),
        trouble=keeper_of(request).trouble(),
        open=bool(request.app.state.any_address),
        unknown=desk.diary.unknown_units,
    )


def address_of(request: Request) -> str:
    """The page to come back to; the ticks have none of their own, they lead to today."""
    if request.scope["path"].startswith("/today/"):
        return "/"
    path = raw_path(request)
    query = urlencode([(name, text) for name, text in request.query_params.multi_items() if name not in ONCE])
    return path + (f"?{query}" if query else "")


def raw_path(request: Request) -> str:
    """The path as sent, its %-signs not yet read."""
    raw: bytes = request.scope["raw_path"]
    return raw.decode("ascii", "replace").partition("?")[0]


def name_after(request: Request, start: str) -> str:
    """The name that is the rest of the path; read once, so that a name holding "%2e" stays itself."""
    return unquote(raw_path(request).removeprefix(start))


def who_of(request: Request) -> str:
    return unquote(request.cookies.get("who", ""))[:WHO_MOST]


def remember(response: Response, name: str, value: str) -> None:
    """Set a cookie of this person's own browser."""
    response.set_cookie(name, quote(value), max_age=YEAR_S, httponly=True, samesite="strict")


def own_path(text: str) -> str:
    """`text` if it is an address on this server, else the first page; nothing leads elsewhere."""
    return text if re.fullmatch(r"/(?![/\\])[^\\\x00-\x1f]*", text) else "/"

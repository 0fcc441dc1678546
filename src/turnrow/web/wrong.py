"""What goes wrong, as pages in the house's tone; on the API, as JSON."""

from collections.abc import Iterable

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import bare, page
from turnrow.yard.wrongs import DamagedJournal, NotStored, Refusal, Refused, shown

STORE = {  # what the book's file or disk did not do, for the head of the page
    "busy": "The book is in use",
    "full": "The disk is full",
    "moved": "The book is no longer where it was",
    "disk": "The disk reports an error",
    "rights": "The book may not be written",
}
SAID = {
    404: ("There is no such page", "The address leads nowhere. The pages are named at the top."),
    405: ("This page takes no such request", "Go back and use the form."),
}


def register(app: FastAPI) -> None:
    """Answer every kind of wrong; what is none of these is a fault of ours and stays a 500."""

    @app.exception_handler(HTTPException)
    def http(request: Request, problem: HTTPException) -> Response:
        headers = dict(problem.headers or {})
        if on_api(request):
            return JSONResponse({"detail": problem.detail}, problem.status_code, headers)
        title, text = SAID.get(problem.status_code, ("This cannot be answered", ""))
        if problem.detail and problem.status_code == 404 and problem.detail != "Not Found":
            text = problem.detail
        answer = _said(request, problem.status_code, title=title, text=text)
        answer.headers.update(headers)
        return answer

    @app.exception_handler(Refused)
    def refused(request: Request, problem: Refused) -> Response:
        if on_api(request):
            return JSONResponse({"refusals": as_rows(problem.refusals)}, 422)
        return _said(request, 422, title="That cannot be taken", refusals=problem.refusals)

    @app.exception_handler(NotStored)
    def not_stored(request: Request, problem: NotStored) -> Response:
        """Time, or a person at the disk, can mend it; until then every page says so."""
        title = STORE[problem.kind]
        if problem.kind in ("full", "disk", "rights"):  # in the others no page can be shown, or the next can
            keeper_of(request).not_stored(f"{title}. {problem.refusals[0].do}")
        if on_api(request):
            return JSONResponse({"refusals": as_rows(problem.refusals)}, 503)
        return bare("wrong.html", 503, title=title, text="", refusals=problem.refusals)

    @app.exception_handler(RequestValidationError)
    def invalid(request: Request, problem: RequestValidationError) -> Response:
        refusals = [
            Refusal(
                ".".join(str(part) for part in one["loc"]), shown(str(one.get("input", ""))), f"{one['msg']}."
            )
            for one in problem.errors()
        ]
        if on_api(request):
            return JSONResponse({"refusals": as_rows(refusals)}, 422)
        return _said(request, 422, title="That cannot be taken", refusals=refusals)

    @app.exception_handler(DamagedJournal)
    def damaged(request: Request, problem: DamagedJournal) -> Response:
        if on_api(request):
            return JSONResponse({"damaged": {"line": problem.line, "what": problem.what}}, 503)
        return bare("damaged.html", 503, line=problem.line, what=problem.what)


def on_api(request: Request) -> bool:
    return bool(request.scope["path"].startswith("/api/"))


def as_rows(refusals: Iterable[Refusal]) -> list[dict[str, str]]:
    return [{"where": one.where, "got": one.got, "do": one.do} for one in refusals]


def _said(
    request: Request,
    status: int,
    *,
    title: str,
    text: str = "",
    refusals: Iterable[Refusal] = (),
) -> Response:
    """The page; without a look into the book when that fails, too."""
    said = {"title": title, "text": text, "refusals": refusals}
    try:
        with keeper_of(request).desk() as desk:
            return page(asked_of(request, desk), "wrong.html", status, **said)
    except (DamagedJournal, Refused):
        return bare("wrong.html", status, **said)

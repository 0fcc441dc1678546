"""What goes wrong, as pages in the house's tone; on the API, as JSON."""

from collections.abc import Iterable

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import bare, page
from turnrow.yard.wrongs import DamagedJournal, Refusal, Refused, shown

BUSY = "another program is writing"
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
        status = 503 if busy(problem) else 422
        if on_api(request):
            return JSONResponse({"refusals": as_rows(problem.refusals)}, status)
        title = "The book is in use" if status == 503 else "That cannot be taken"
        return _said(request, status, title=title, refusals=problem.refusals, look=status != 503)

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


def busy(problem: Refused) -> bool:
    """Another program holds the book: wait, nothing is wrong with what was typed."""
    return any(BUSY in one.got for one in problem.refusals)


def as_rows(refusals: Iterable[Refusal]) -> list[dict[str, str]]:
    return [{"where": one.where, "got": one.got, "do": one.do} for one in refusals]


def _said(
    request: Request,
    status: int,
    *,
    title: str,
    text: str = "",
    refusals: Iterable[Refusal] = (),
    look: bool = True,
) -> Response:
    """The page; without a look into the book when that is what fails."""
    said = {"title": title, "text": text, "refusals": refusals}
    if not look:
        return bare("wrong.html", status, **said)
    try:
        with keeper_of(request).desk() as desk:
            return page(asked_of(request, desk), "wrong.html", status, **said)
    except (DamagedJournal, Refused):
        return bare("wrong.html", status, **said)

"""The server put together: gatekeeper, pages, API, and the pages for what goes wrong."""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from pathlib import Path

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from turnrow import __version__
from turnrow.foreman.desk import Desk
from turnrow.web import (
    api,
    ask,
    blend,
    blend_api,
    choices,
    enter,
    lines,
    lots,
    measure,
    outlook,
    papers,
    quality,
    rounds,
    rows,
    take,
    today,
    trade,
    uses,
    walk,
    wrong,
)
from turnrow.web.keeper import Keeper
from turnrow.web.safety import LOCAL, Gatekeeper
from turnrow.web.works import Works

STATIC = Path(__file__).parent / "static"
ABOUT = (
    "A compost yard's diary: lines are added and struck, never changed. A write answers 201, known ones 200."
)
SMALL, QUICK = 1_000, 5  # bytes not worth packing; how hard to pack
LASTING = (".woff2", ".min.js")  # named by version, so they may be kept


class Static(StaticFiles):
    """Files of the pages themselves; asked after again unless their name carries a version."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        answer = await super().get_response(path, scope)
        lasting = path.endswith(LASTING)
        answer.headers["Cache-Control"] = "public, max-age=604800" if lasting else "no-cache"
        return answer


def utc_now() -> datetime:
    return datetime.now(UTC)


def create_app(
    desk: Desk,
    *,
    clock: Callable[[], datetime] = utc_now,
    hosts: Iterable[str] = LOCAL,
    any_address: bool = False,
    looking_ahead: bool = False,
) -> FastAPI:
    """The pages and the API over one desk.

    clock        gives the moment, aware; tests hand in their own
    hosts        names the server answers to; `any_address` lets it answer to any IP address too
    looking_ahead  make outlooks of the rows, while `app.state.works.running()`
    """
    app = FastAPI(
        title="Turnrow",
        description=ABOUT,
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        redirect_slashes=False,
    )
    app.state.keeper = Keeper(desk, clock)
    app.state.any_address = any_address
    app.state.works = Works(app.state.keeper) if looking_ahead else None
    app.mount("/static", Static(directory=STATIC), name="static")
    first = (today, outlook, rows, lines, rounds, walk, take, enter, lots, quality, uses, trade, papers)
    for room in (*first, choices, measure, blend, blend_api, ask, api):
        app.include_router(room.router)
    app.include_router(outlook.api)
    app.include_router(walk.api)
    wrong.register(app)
    app.add_middleware(GZipMiddleware, minimum_size=SMALL, compresslevel=QUICK)  # no page holds a secret
    app.add_middleware(Gatekeeper, hosts=hosts, any_address=any_address)
    return app

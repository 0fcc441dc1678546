"""What stands between the outside and the pages: headers, origin, host, and how much one may send.

There are no accounts yet. A write is taken only from this server's own pages (Sec-Fetch-Site, or
Origin where a browser sends none) or, on the API, as JSON, which another site's form cannot send.
"""

import ipaddress
import re
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from turnrow.yard.wrongs import shown

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    # same-origin, not no-referrer: with no-referrer a browser's own form sends "Origin: null"
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
SAFE = ("GET", "HEAD", "OPTIONS")
BODY_MOST = 1_000_000  # bytes of a form or of JSON
PHOTO_MOST = 8_000_000  # bytes of one picture
FILE_MOST = 32_000_000  # bytes of a file of readings or a sheet
MOST = {"/write/note": PHOTO_MOST, "/take": FILE_MOST}  # beside BODY_MOST for the other fields
HOST = re.compile(r"(?:\[(?P<six>[0-9a-f:.]+)\]|(?P<name>[a-z0-9._-]+))(?::[0-9]{1,5})?")
LOCAL = frozenset(("localhost", "127.0.0.1", "::1"))


class TooLarge(Exception):
    """More was sent than this path takes."""


class Gatekeeper:
    """The outermost layer; `hosts` are the names this server answers to, `any_address` also any IP."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str] = LOCAL, any_address: bool = False) -> None:
        self.app = app
        self.hosts = frozenset(host.casefold() for host in hosts)
        self.any_address = any_address

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False

        async def sealed(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                # asked after each time, yet kept for "back": a form gone back to keeps its id
                headers.setdefault("Cache-Control", "private, no-cache")
            await send(message)

        refusal = self._refusal(scope)
        if refusal:
            await refusal(scope, receive, sealed)
            return
        try:
            await self.app(scope, self._measured(scope, receive), sealed)
        except TooLarge:
            if started:
                raise
            await _too_large(scope)(scope, receive, sealed)
        except Exception:
            if not started:
                do = "A fault of ours. Look into the diary whether it was written, then try again."
                await _no(scope, 500, "server", "a fault", do)(scope, receive, sealed)
            raise

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._known(host):
            return _no(scope, 421, "host", host, "This server does not answer to that name.")
        if scope["method"] in SAFE:
            return None
        if not _own_page(headers, host, scope["path"], scope.get("scheme", "http")):
            came = headers.get("origin", "another place")
            return _no(scope, 403, "origin", came, "A write is taken only from this server's own pages.")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > most(scope["path"]):
            return _too_large(scope)
        return None

    def _known(self, host: str) -> bool:
        found = HOST.fullmatch(host.casefold())
        name = (found["six"] or found["name"]) if found else ""
        return name in self.hosts or (self.any_address and _is_address(name))

    def _measured(self, scope: Scope, receive: Receive) -> Receive:
        left = most(scope["path"])

        async def measured() -> Message:
            nonlocal left
            message = await receive()
            left -= len(message.get("body", b""))
            if left < 0:
                raise TooLarge
            return message

        return measured


def most(path: str) -> int:
    """Bytes a request to `path` may carry."""
    return BODY_MOST + MOST.get(path, 0)


def _too_large(scope: Scope) -> Response:
    return _no(scope, 413, "body", "more", f"Too large: at most {most(scope['path']):,} bytes here.")


def _no(scope: Scope, status: int, where: str, got: str, do: str) -> Response:
    """A plain no: a line of text, or to the API a refusal as all others are told."""
    if scope["path"].startswith("/api/"):
        return JSONResponse({"refusals": [{"where": where, "got": shown(got), "do": do}]}, status)
    return PlainTextResponse(do + "\n", status)


def _own_page(headers: Headers, host: str, path: str, scheme: str) -> bool:
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    origin = headers.get("origin")
    if origin is not None:
        came, _, place = origin.casefold().partition("://")
        return place == host.casefold() and came == scheme
    kind = headers.get("content-type", "").partition(";")[0].strip().casefold()
    return path.startswith("/api/") and kind not in (
        "application/x-www-form-urlencoded",
        "multipart/form-data",
        "text/plain",
    )


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True

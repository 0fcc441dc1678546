"""serve and demo: the pages on this machine."""

from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnrow.cli.outlook_yard import one_thread, warm
from turnrow.cli.speak import Yard, answering, notice, say

if TYPE_CHECKING:
    from socket import socket

    from turnrow.journal.book import Book

Host = Annotated[
    str, typer.Option(help="Address to listen on. There are no accounts: whoever reaches it may write.")
]
Port = Annotated[int, typer.Option(min=1, max=65535, help="Port to listen on.")]
LOCAL = ("127.0.0.1", "::1", "localhost")
DEMO_AT = Path(".demo") / "yard.journal"


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command()(serve)
    app.command()(demo)


def serve(
    yard: Yard,
    host: Host = "127.0.0.1",
    port: Port = 8017,
    issue_at: Annotated[
        str, typer.Option(help="Issue the day's sheet every day at this time of the yard's clock, HH:MM.")
    ] = "",
) -> None:
    """Serve a yard's pages and its API, on this machine only unless --host says otherwise."""
    one_thread()
    with answering(False):
        from turnrow.journal.book import Book

        at = _time_of_day(issue_at)
        with Book.open(str(yard)) as book:
            _run(book, host, port, at)


def _time_of_day(text: str) -> time | None:
    from turnrow.yard.wrongs import refuse

    try:
        return time.fromisoformat(text) if text else None
    except ValueError:
        raise refuse("--issue-at", text, "Write a time of day, such as 05:30.") from None


def demo(
    at: Annotated[Path, typer.Option(help="Where the invented yard is kept.")] = DEMO_AT,
    host: Host = "127.0.0.1",
    port: Port = 8017,
    days_ago: Annotated[int, typer.Option(min=0, max=3650, help="End the season so many days ago.")] = 0,
    no_serve: Annotated[bool, typer.Option("--no-serve", help="Build the yard and stop.")] = False,
) -> None:
    """Build the invented yard, unless today's is there, and serve its pages."""
    one_thread()
    with answering(False):
        from turnrow.demo.season import last_morning
        from turnrow.journal.book import Book

        end = last_morning(datetime.now(UTC)) - timedelta(days=days_ago)
        if not _is_of(at, end):
            _build(at, end)
        say(f"Invented data: {at} holds a made-up yard whose season ends on {end.isoformat()}.")
        if not no_serve:
            with Book.open(str(at)) as book:
                _run(book, host, port)


def _is_of(at: Path, end: date) -> bool:
    """Is the invented yard there, and does its season end on `end`? A real yard is never replaced."""
    from turnrow.demo.plans import SEASON_DAYS
    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book
    from turnrow.yard.wrongs import refuse

    if not at.exists():
        return False
    with Book.open(str(at)) as book:
        desk = Desk(book)
        laid = desk.diary.yard
        if desk.diary.head and not laid.invented:
            raise refuse(str(at), f"the yard {laid.name}, which is not invented", "Give --at another path.")
        first = desk.diary.line(1).entry.happened if desk.diary.head else None
    return first is not None and (end - first.date()).days == SEASON_DAYS


def _build(at: Path, end: date) -> None:
    from turnrow.demo.season import build
    from turnrow.journal.kept_head import beside

    at.parent.mkdir(parents=True, exist_ok=True)
    fresh = at.with_name(at.name + ".new")
    for old in (fresh, *_beside(fresh), *_beside(at)):
        old.unlink(missing_ok=True)
    build(fresh, end=end)
    fresh.replace(at)
    head = beside(str(fresh))
    if head.exists():
        head.replace(beside(str(at)))


def _beside(at: Path) -> list[Path]:
    """The files that may be kept beside a book."""
    return [at.with_name(at.name + tail) for tail in ("-journal", "-wal", "-shm", ".head")]


def _run(book: "Book", host: str, port: int, issue_at: time | None = None) -> None:
    import socket

    import uvicorn

    from turnrow.foreman.desk import Desk
    from turnrow.web.app import create_app
    from turnrow.web.early import issuing

    desk = Desk(book)
    local = host in LOCAL
    names = {*LOCAL} if local else {*LOCAL, host, socket.gethostname(), f"{socket.gethostname()}.local"}
    app = create_app(desk, hosts=names, any_address=not local, looking_ahead=True)
    shown = f"[{host}]" if ":" in host else host
    invented = " (invented data)" if desk.diary.yard.invented else ""
    name = desk.diary.yard.name or "A yard without a name"
    listening = _listening(host, port)
    warm()
    say(f"{name}{invented}: http://{shown}:{port}/  (Ctrl-C stops it)")
    if not local:
        notice(
            "there are no accounts yet. Everyone who reaches this address can read the whole diary and "
            "write into it, and nothing is encrypted on the way. Use it on a network you trust, never on "
            "the open internet."
        )
    server = uvicorn.Server(
        uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=3)
    )
    keeper, works = app.state.keeper, app.state.works
    with listening, issuing(keeper, issue_at), works.running(), suppress(KeyboardInterrupt):
        server.run(sockets=[listening])


def _listening(host: str, port: int) -> "socket":
    """A socket that listens there; Refused when it cannot be, before anything is promised."""
    import socket

    from turnrow.yard.wrongs import refuse

    try:
        family, *_, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        listening = socket.create_server(address[:2], family=family)
        listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)  # else a kept-open reply waits 40 ms
        return listening
    except OSError as wrong:
        said = wrong.strerror or wrong
        do = f"It cannot be listened on ({said}). Give a free --port, and a --host of this machine."
        raise refuse("--host and --port", f"{host} {port}", do) from None

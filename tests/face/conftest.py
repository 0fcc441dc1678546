"""The invented yard and an empty one, served for a real Chromium."""

import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from turnrow.demo.season import build
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.web.app import create_app
from turnrow.web.works import Works

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
END = date(2026, 5, 20)
NOW = datetime(2026, 5, 20, 13, 10, tzinfo=UTC)  # ten past eight in the invented yard


@dataclass
class Served:
    """A yard with its address."""

    desk: Desk
    address: str
    works: Works | None = None


@dataclass
class Seen:
    """A page under watch: what its console said, and whom it asked."""

    page: Page
    address: str
    said: list[str] = field(default_factory=list)
    asked: set[str] = field(default_factory=set)

    def go(self, path: str) -> Page:
        self.page.goto(self.address + path)
        return self.page


@contextmanager
def served(where: Path, looking_ahead: bool = False) -> Iterator[Served]:
    """The pages over the book at `where`, on a free port of this machine."""
    with Book.open(str(where)) as book:
        desk = Desk(book)
        app = create_app(desk, clock=lambda: NOW, looking_ahead=looking_ahead)
        server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=0, log_level="warning"))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        while not server.started:
            assert thread.is_alive()
            time.sleep(0.02)
        port = server.servers[0].sockets[0].getsockname()[1]
        try:
            yield Served(desk, f"http://127.0.0.1:{port}", app.state.works)
        finally:
            server.should_exit = True
            thread.join(10)


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("season") / "yard.journal"
    build(where, end=END)
    return where


@pytest.fixture(scope="module")
def yard(season: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The invented yard; what one file's tests write, the next does not see."""
    where = tmp_path_factory.mktemp("yard") / "yard.journal"
    shutil.copyfile(season, where)
    with served(where) as found:
        yield found


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    where = tmp_path_factory.mktemp("empty") / "yard.journal"
    Book.create(str(where)).close()
    with served(where) as found:
        yield found


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if not os.access(CHROMIUM, os.X_OK):
        pytest.skip("no Chromium on this machine (Debian: apt-get install chromium)")
    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield found
        found.close()


@pytest.fixture
def opened(browser: Browser) -> Iterator[Callable[..., Seen]]:
    """opened(served, width, ...) -> a page under watch; closed at the end of the test."""
    contexts: list[BrowserContext] = []

    def make(found: Served, width: int, **how: object) -> Seen:
        context = browser.new_context(viewport={"width": width, "height": 800}, **how)
        contexts.append(context)
        seen = Seen(context.new_page(), found.address)
        seen.page.on("console", lambda message: seen.said.append(message.text))
        seen.page.on("pageerror", lambda wrong: seen.said.append(str(wrong)))
        seen.page.on("request", lambda request: seen.asked.add(request.url))
        return seen

    yield make
    for context in contexts:
        context.close()

"""Takes the pictures of docs/pictures/ from the invented yard, by a real Chromium.

Builds the yard at a fixed day, serves it with its clock standing at that morning, and writes

    today.png, today-phone.png   Today, 1200 and 360 points wide
    row.png, row-phone.png       one row, with what it will do
    walk.png                     a station of the walk, a number typed
    lot.png                      a lot's family
    sheet.png                    page 1 of that row's sheet, through pdftoppm

Needs chromium and pdftoppm (poppler-utils) on the path, and the development lock.
"""

import io
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from urllib.request import urlopen

import uvicorn
from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from turnrow.demo import season
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book
from turnrow.web.app import create_app

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"
END = date(2026, 10, 14)
ROW, LOT = "R35", "L1"
WIDE, PHONE = 1200, 360
TALLEST = {WIDE: 1500, PHONE: 1400}  # points; a longer page is cut there
COLOURS = 96
LARGEST = 250_000  # bytes


@contextmanager
def served() -> Iterator[str]:
    """The invented yard on a free local port, for as long as the block runs."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "yard.book"
        season.build(path, end=END)
        with Book.open(str(path)) as book:
            desk = Desk(book)
            morning = datetime(END.year, END.month, END.day, 7, 20, tzinfo=desk.zone)
            app = create_app(desk, clock=lambda: morning, looking_ahead=True)
            with socket.socket() as free:
                free.bind(("127.0.0.1", 0))
                port = free.getsockname()[1]
            server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="warning"))
            thread = threading.Thread(target=server.run, daemon=True)
            thread.start()
            while not server.started and thread.is_alive():
                time.sleep(0.05)
            try:
                with app.state.works.running():
                    yield f"http://127.0.0.1:{port}"
            finally:
                server.should_exit = True
                thread.join()


def keep(name: str, picture: Image.Image) -> None:
    """Write it in few colours; refuse one that would be heavy to load."""
    out = io.BytesIO()
    few = picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(out, "PNG", optimize=True)
    if len(out.getvalue()) > LARGEST:
        raise ValueError(f"{name} is {len(out.getvalue())} bytes, at most {LARGEST}")
    PICTURES.mkdir(parents=True, exist_ok=True)
    (PICTURES / name).write_bytes(out.getvalue())
    print(f"{name}  {picture.width} x {picture.height}  {len(out.getvalue()) // 1000} kB")


def shot(browser: Browser, url: str, width: int, until: str = "body", only: str = "") -> Image.Image:
    """A page at its own height, cut at TALLEST, once it shows `until`; or `only` one part of it."""
    page = browser.new_page(
        viewport={"width": width, "height": 800}, device_scale_factor=1.5 if width < 500 else 1
    )
    page.goto(url, wait_until="networkidle")
    page.locator(until).first.wait_for(timeout=120_000)
    page.evaluate("document.fonts.ready")
    if only:
        picture = Image.open(io.BytesIO(page.locator(only).first.screenshot()))
        page.close()
        return picture
    tall = min(TALLEST[width], page.evaluate("document.documentElement.scrollHeight"))
    page.set_viewport_size({"width": width, "height": tall})
    picture = Image.open(io.BytesIO(page.screenshot()))
    page.close()
    return picture


def walk(browser: Browser, home: str) -> Image.Image:
    """The first station of the row's walk once its outlook is there, as a hand in a glove sees it."""
    page = browser.new_page(viewport={"width": PHONE, "height": 640}, device_scale_factor=1.5)
    page.clock.set_system_time(datetime(END.year, END.month, END.day, 12, 20, tzinfo=UTC))
    page.goto(f"{home}/walk/{ROW}")
    page.get_by_label("Your name").fill("Ada")
    page.locator("#start").click()
    page.locator("#keep").wait_for()
    page.keyboard.type("63.4")
    page.evaluate("document.fonts.ready")
    picture = Image.open(io.BytesIO(page.screenshot()))
    page.close()
    return picture


def first_page(pdf: bytes) -> Image.Image:
    done = subprocess.run(
        ["pdftoppm", "-png", "-r", "110", "-f", "1", "-l", "1", "-singlefile", "-"],
        input=pdf,
        capture_output=True,
        check=True,
    )
    return Image.open(io.BytesIO(done.stdout))


def main() -> int:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None or shutil.which("pdftoppm") is None:
        print("chromium and pdftoppm must be on the path", file=sys.stderr)
        return 1
    with served() as home, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium)
        for name, width in (("today.png", WIDE), ("today-phone.png", PHONE)):
            keep(name, shot(browser, f"{home}/", width))
        for name, width in (("row.png", WIDE), ("row-phone.png", PHONE)):
            keep(name, shot(browser, f"{home}/rows/{ROW}", width, until="svg.fan:visible"))
        keep("walk.png", walk(browser, home))
        keep("lot.png", shot(browser, f"{home}/lots/{LOT}", WIDE, only="svg.family"))
        browser.close()
        with urlopen(f"{home}/papers/row.pdf?row={ROW}") as answer:
            keep("sheet.png", first_page(answer.read()))
    return 0


if __name__ == "__main__":
    sys.exit(main())

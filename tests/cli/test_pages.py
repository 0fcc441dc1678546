"""serve and demo: on this machine only, said aloud; the invented yard is made when it is not there."""

import os
import re
import socket
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path
from urllib.request import urlopen
from zoneinfo import ZoneInfo

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.cli.pages import _listening
from turnrow.demo import cast
from turnrow.foreman.desk import Desk
from turnrow.journal.book import Book

RUN = CliRunner()


def test_the_invented_yard_is_built_once_and_anew_when_it_is_older(tmp_path: Path) -> None:
    at = tmp_path / "deep" / "yard.journal"
    first = RUN.invoke(app, ["demo", "--at", str(at), "--no-serve", "--days-ago", "2"])
    assert first.exit_code == 0 and "nvented data" in first.output
    with Book.open(str(at)) as book:
        head = book.head()
        assert Desk(book).diary.yard.invented
    assert RUN.invoke(app, ["demo", "--at", str(at), "--no-serve", "--days-ago", "2"]).exit_code == 0
    with Book.open(str(at)) as book:
        assert book.head() == head
    assert RUN.invoke(app, ["demo", "--at", str(at), "--no-serve"]).exit_code == 0
    with Book.open(str(at)) as book:
        assert book.head() != head
        today = datetime.now(ZoneInfo(cast.ZONE)).date()
        assert Desk(book).diary.line(book.head().line).entry.happened.date() <= today


def test_a_real_yard_is_never_replaced(tmp_path: Path) -> None:
    at = tmp_path / "yard.journal"
    with Book.create(str(at)) as book:
        desk = Desk(book)
        fields = {"name": "Larkhill", "zone": "Europe/Dublin"}
        desk.write("yard laid out", fields, now=datetime(2026, 5, 1, tzinfo=ZoneInfo("UTC")), who="Ada")
    before = at.read_bytes()
    answer = RUN.invoke(app, ["demo", "--at", str(at), "--no-serve"])
    assert answer.exit_code == 2 and "not invented" in answer.output
    assert at.read_bytes() == before


def test_a_yard_that_is_not_there_is_refused(tmp_path: Path) -> None:
    answer = RUN.invoke(app, ["serve", "--yard", str(tmp_path / "none.journal")])
    assert answer.exit_code == 2 and "turnrow new" in answer.output


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@pytest.mark.parametrize(("host", "warned"), [("127.0.0.1", False), ("0.0.0.0", True)])
def test_serve_says_where_it_is_and_warns_when_it_is_open(tmp_path: Path, host: str, warned: bool) -> None:
    at, port = tmp_path / "yard.journal", free_port()
    Book.create(str(at)).close()
    told = tmp_path / "told"
    command = [
        sys.executable,
        "-m",
        "turnrow",
        "serve",
        "--yard",
        str(at),
        "--host",
        host,
        "--port",
        str(port),
    ]
    with told.open("w") as out:
        server = subprocess.Popen(
            command, stdout=out, stderr=subprocess.STDOUT, env={**os.environ, "PYTHONUNBUFFERED": "1"}
        )
    try:
        text = _answer(f"http://127.0.0.1:{port}/", server)
    finally:
        server.terminate()
        server.wait(10)
    assert "<h1>Today</h1>" in text
    assert re.search(rf"http://{re.escape(host)}:{port}/", told.read_text("utf-8"))
    assert ("no accounts" in told.read_text("utf-8")) == warned


def _answer(address: str, server: subprocess.Popen[bytes]) -> str:
    for _ in range(300):
        assert server.poll() is None
        try:
            with urlopen(address) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.05)
    raise AssertionError(f"{address} did not answer")


def test_a_time_that_is_none_is_refused_before_anything_is_served(tmp_path) -> None:
    from typer.testing import CliRunner

    from turnrow.cli.door import app

    said = CliRunner().invoke(
        app, ["serve", "--yard", str(tmp_path / "none.journal"), "--issue-at", "half past five"]
    )
    assert said.exit_code == 2 and "--issue-at" in said.output


def test_a_port_that_is_taken_is_refused(tmp_path: Path) -> None:
    yard = tmp_path / "yard.journal"
    assert RUN.invoke(app, ["new", str(yard), "--zone", "UTC"]).exit_code == 0
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        answer = RUN.invoke(app, ["serve", "--yard", str(yard), "--port", port])
    assert answer.exit_code == 2 and "cannot be listened on" in answer.output
    assert "http://" not in answer.stdout


def test_a_reply_on_a_kept_open_connection_is_not_held_back() -> None:
    """Without TCP_NODELAY a small reply waits for the other side to acknowledge (RFC 896, RFC 1122)."""
    with _listening("127.0.0.1", 0) as listening:
        where = listening.getsockname()
        with socket.create_connection(where), listening.accept()[0] as taken:
            assert taken.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)

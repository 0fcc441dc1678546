"""What the pages let in and what they send along: headers, origin, host, size, pictures, hostile names."""

import io
import re
import struct
import zlib
from hashlib import sha256
from html import unescape
from uuid import uuid4

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from turnrow.foreman.desk import Desk
from turnrow.web.app import create_app
from turnrow.web.safety import BODY_MOST, PHOTO_MOST
from turnrow.yard.entries import Note

ADDRESSES = (
    "/",
    "/rows/R7",
    "/lines",
    "/settings",
    "/nowhere",
    "/api/rows",
    "/static/page.css",
    "/write/round?row=R7",
)


def note(**more: str) -> dict[str, str]:
    return {"text": "steam", "who": "Ada", "id": str(uuid4()), **more}


def png() -> bytes:
    """One grey pixel (PNG specification, W3C 2003, sections 5 and 11)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0\x80")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_carries_the_strict_headers(pages: TestClient, address: str) -> None:
    headers = pages.get(address).headers
    policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert policy["default-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert {policy[name] for name in ("script-src", "style-src", "img-src", "font-src", "form-action")} == {
        "'self'"
    }
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"


@pytest.mark.parametrize("address", ADDRESSES[:5])
def test_no_page_holds_a_style_or_a_script_of_its_own(pages: TestClient, address: str) -> None:
    text = pages.get(address).text
    assert not re.search(r"<style|\sstyle=|\son\w+=|javascript:", text, re.IGNORECASE)
    assert re.findall(r"<script[^>]*>[^<]*", text) == [
        '<script src="/static/vendor/htmx-4.0.1.min.js" defer>'
    ]
    assert not re.search(r'(?:src|href)="(?:https?:)?//', text)


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "", "Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "null"},
        {},
    ],
)
def test_a_write_from_elsewhere_is_turned_away(laid: Desk, headers: dict[str, str]) -> None:
    before = laid.diary.head
    with TestClient(create_app(laid), base_url="http://127.0.0.1:8017") as client:
        for address in ("/write/note", "/today/issue", "/unit", "/api/entries"):
            assert client.post(address, data=note(), headers=headers).status_code == 403
    assert laid.diary.head == before


def test_a_browser_that_sends_only_its_origin_may_write(laid: Desk) -> None:
    with TestClient(create_app(laid), base_url="http://127.0.0.1:8017", follow_redirects=False) as client:
        answer = client.post("/write/note", data=note(), headers={"Origin": "http://127.0.0.1:8017"})
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:8017", "", "127.0.0.1.evil.example", "a/b", "[::1"]
)
def test_another_name_for_this_machine_gets_no_answer(pages: TestClient, host: str) -> None:
    assert pages.get("/", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:8017", "127.0.0.1", "[::1]:8017"])
def test_this_machines_own_names_are_answered(pages: TestClient, host: str) -> None:
    assert pages.get("/", headers={"Host": host}).status_code == 200


def test_an_address_of_the_network_is_answered_only_when_asked_for(laid: Desk) -> None:
    for open_, status in ((False, 421), (True, 200)):
        with TestClient(create_app(laid, any_address=open_), base_url="http://192.168.1.7:8017") as client:
            assert client.get("/rows").status_code == status


def test_too_much_is_turned_away_with_and_without_its_length(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    much = b"text=" + b"x" * (BODY_MOST + 1)
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert pages.post("/write/turn", content=much, headers=kind).status_code == 413
    pieces = (much[at : at + 65_536] for at in range(0, len(much), 65_536))
    assert pages.post("/write/turn", content=pieces, headers=kind).status_code == 413
    assert laid.diary.head == before


def test_a_picture_is_kept_and_served_with_its_own_kind(pages: TestClient, laid: Desk) -> None:
    data = png()
    answer = pages.post("/write/note", data=note(), files={"photo": ("a.html", data, "text/html")})
    assert answer.status_code == 303
    what = laid.diary.line(laid.diary.head).entry.what
    assert isinstance(what, Note) and what.photo_kind == "image/png"
    shown = pages.get(f"/lines/{laid.diary.head}/photo")
    assert (shown.content, shown.headers["content-type"]) == (data, "image/png")
    assert shown.headers["content-security-policy"] == "default-src 'none'; sandbox"
    assert shown.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "data",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
        b"<html>",
        b"GIF89a",
        b"RIFF0000WAVE",
        b"\xff\xd8",
    ],
)
def test_what_is_no_picture_is_refused_whatever_it_says_it_is(
    pages: TestClient, laid: Desk, data: bytes
) -> None:
    before = laid.diary.head
    answer = pages.post("/write/note", data=note(), files={"photo": ("a.png", data, "image/png")})
    assert answer.status_code == 422 and laid.diary.head == before
    assert 'id="wrong-photo-1"' in answer.text and "steam" in answer.text


def test_a_picture_too_large_is_refused_beside_its_field(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    files = {"photo": ("a.png", png() + b"\0" * PHOTO_MOST, "image/png")}
    answer = pages.post("/write/note", data=note(), files=files)
    assert answer.status_code == 422 and 'id="wrong-photo-1"' in answer.text
    assert laid.diary.head == before


def test_a_row_of_any_name_has_its_page(hostile: TestClient) -> None:
    targets = [unescape(t) for t in re.findall(r'class="target" href="([^"]+)"', hostile.get("/rows").text)]
    assert len(targets) == 9
    for target in targets:
        answer = hostile.get(target)
        assert answer.status_code == 200
        assert "<script>alert" not in answer.text and "R 7 49" not in answer.text
    names = [re.search(r"<h1><bdi>(.*?)</bdi>", hostile.get(t).text, re.DOTALL) for t in targets]
    assert len({name[1] for name in names if name}) == 9


def test_links_of_a_row_of_any_name_lead_back_to_it(hostile: TestClient) -> None:
    for target in re.findall(r'class="target" href="([^"]+)"', hostile.get("/rows").text):
        text = hostile.get(unescape(target)).text
        title = re.search(r"<h1><bdi>(.*?)</bdi>", text, re.DOTALL)
        turn = re.search(r'href="(/write/turn\?row=[^"]*)"', text)
        back = re.search(r'name="back" value="([^"]*)"', text)
        assert title and turn and back
        assert f'<option value="{title[1]}" selected>' in hostile.get(unescape(turn[1])).text
        assert f"<h1><bdi>{title[1]}</bdi>" in hostile.get(unescape(back[1])).text


def test_text_typed_by_a_person_is_never_markup(pages: TestClient, laid: Desk) -> None:
    pages.post("/write/note", data=note(text="<img src=x onerror=alert(1)> & {{7*7}} ${1}", row="R7"))
    for address in ("/rows/R7", "/lines", f"/lines/{laid.diary.head}"):
        text = pages.get(address).text
        assert "&lt;img src=x onerror=alert(1)&gt; &amp; {{7*7}} ${1}" in text


@pytest.mark.parametrize("row", ["=cmd()", "+1", "@SUM(A1)"])
def test_a_csv_holds_no_formula(desk: Desk, row: str) -> None:
    from turnrow.web.rows import csv_answer

    assert csv_answer(row, ["a"], [[row]]).body.decode() == f"a\r\n'{row}\r\n"


def test_the_api_says_no_as_it_says_every_no(pages: TestClient) -> None:
    much = b"x" * 5_000_000
    kind = {"Content-Type": "application/json"}
    answers = (
        pages.post("/api/entries", content=much, headers=kind),
        pages.post("/api/entries", json={}, headers={"Sec-Fetch-Site": "cross-site"}),
        pages.get("/api/rows", headers={"Host": "elsewhere.example"}),
    )
    assert [answer.status_code for answer in answers] == [413, 403, 421]
    for answer in answers:
        (refusal,) = answer.json()["refusals"]
        assert set(refusal) == {"where", "got", "do"} and refusal["do"]


def test_a_photograph_goes_out_as_it_was_kept_without_its_place(pages: TestClient, laid: Desk) -> None:
    """Pillow writes the phone and the place into the file, and finds neither in what is kept or served."""
    exif = Image.Exif()
    exif[0x0110] = "Quillphone 9"
    exif.get_ifd(0x8769)[0x9003] = "2026:05:03 07:40:12"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0)})
    out = io.BytesIO()
    Image.new("RGB", (8, 8), (90, 70, 40)).save(out, "JPEG", exif=exif)
    answer = pages.post("/write/note", data=note(), files={"photo": ("a.jpg", out.getvalue(), "image/jpeg")})
    assert answer.status_code == 303
    what = laid.diary.line(laid.diary.head).entry.what
    assert isinstance(what, Note) and what.photo_taken == "2026-05-03 07:40:12"
    kept = laid.book.blob(what.photo)
    assert b"Quillphone" in out.getvalue() and b"Quillphone" not in kept and b"Exif" not in kept
    assert pages.get(f"/lines/{laid.diary.head}/photo").content == kept
    assert "2026-05-03 07:40:12, by the camera’s own clock" in pages.get(f"/lines/{laid.diary.head}").text


def test_a_photograph_sealed_with_its_place_is_shown_without_it(pages: TestClient, laid: Desk) -> None:
    exif = Image.Exif()
    exif[0x0110] = "Quillphone 9"
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "PNG", exif=exif)
    name = sha256(out.getvalue()).hexdigest()
    fields = {"text": "steam", "photo": name, "photo_kind": "image/png"}
    laid.write("note", fields, now=laid.diary.line(1).written, who="Ada", blobs={name: out.getvalue()})
    shown = pages.get(f"/lines/{laid.diary.head}/photo")
    assert shown.status_code == 200 and b"Quillphone" not in shown.content
    assert b"Quillphone" in out.getvalue() and laid.book.blob(name) == out.getvalue()


def test_a_write_from_the_same_name_by_another_scheme_is_turned_away(pages: TestClient) -> None:
    """An origin is scheme, host and port (RFC 6454, section 4)."""
    host = str(pages.base_url).partition("://")[2].rstrip("/")
    old = TestClient(pages.app, base_url=pages.base_url)  # a browser that sends no Sec-Fetch-Site
    for scheme, status in (("https", 403), ("http", 303)):
        sent = old.post(
            "/write/note", data=note(), headers={"origin": f"{scheme}://{host}"}, follow_redirects=False
        )
        assert sent.status_code == status


def test_a_fault_of_ours_is_answered_under_the_same_headers(
    pages: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ValueError("made up")

    monkeypatch.setattr(Desk, "today", broken)
    quiet = TestClient(pages.app, base_url=pages.base_url, raise_server_exceptions=False)
    answer = quiet.get("/")
    assert answer.status_code == 500 and answer.headers["x-content-type-options"] == "nosniff"
    assert "default-src" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("unit", ["\x1f", "0x1F", "R", ""])
def test_a_unit_that_is_none_is_turned_away_beside_its_form(pages: TestClient, unit: str) -> None:
    sent = pages.post(
        "/write/round",
        data={"row": "R7", "name_1": "1", "value_1": "60", "unit": unit, "who": "ana", "id": str(uuid4())},
        follow_redirects=False,
    )
    assert sent.status_code in (422, 200)


@pytest.mark.parametrize("open_", [False, True])
def test_every_page_of_an_open_server_says_that_there_are_no_accounts(laid: Desk, open_: bool) -> None:
    client = TestClient(create_app(laid, any_address=open_), base_url="http://127.0.0.1:8017")
    for address in ("/", "/rows", "/lines", "/write/note"):
        assert ("no accounts yet" in client.get(address).text) is open_

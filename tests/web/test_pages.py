"""Every page opens, says where its facts come from, and says what to do first on an empty yard."""

import re
from html import unescape

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.web.forms import FORMS

PAGES = (
    "/",
    "/rows",
    "/write",
    "/write/round",
    "/lines",
    "/papers",
    "/settings",
    "/settings/rule",
    "/settings/turn_limit",
)
FORM_PAGES = tuple(f"/write/{slug}" for slug in FORMS)


@pytest.mark.parametrize("address", [*PAGES, *FORM_PAGES, "/rows/R7", "/rows/R8", "/rows/R9", "/lines/1"])
def test_every_page_opens_and_says_the_data_are_invented(pages: TestClient, address: str) -> None:
    answer = pages.get(address)
    assert answer.status_code == 200
    assert "<small>(invented data)</small>" in answer.text
    assert answer.text.count("<h1") == 1


@pytest.mark.parametrize("address", [*PAGES, *FORM_PAGES])
def test_every_page_opens_on_an_empty_book(blank: TestClient, address: str) -> None:
    answer = blank.get(address)
    assert answer.status_code == 200
    assert "(invented data)" not in answer.text


@pytest.mark.parametrize(
    ("address", "word", "leads"),
    [
        ("/", "Lay the yard out", "/write/yard"),
        ("/rows", "Build the first row", "/write/build"),
        ("/write", "lay the yard out", "/write/yard"),
        ("/write/round", "Build the first row", "/write/build"),
        ("/lines", "Write the first line", "/write"),
        ("/papers", "Build the first row", "/write/build"),
    ],
)
def test_an_empty_yard_says_what_to_do_first(blank: TestClient, address: str, word: str, leads: str) -> None:
    assert f'<a href="{leads}">{word}</a>' in blank.get(address).text


def test_navigation_leads_only_to_pages_that_are_there(pages: TestClient) -> None:
    found = re.search(r"<nav.*?</nav>", pages.get("/").text, re.DOTALL)
    assert found
    targets = re.findall(r'href="([^"]+)"', found[0])
    assert len(targets) >= 5
    assert [pages.get(target).status_code for target in targets] == [200] * len(targets)


@pytest.mark.parametrize(
    "start", ["/", "/rows", "/rows/R7", "/lines", "/lines/9", "/papers", "/settings", "/write"]
)
def test_no_link_of_a_page_leads_nowhere(pages: TestClient, start: str) -> None:
    text = pages.get(start).text
    targets = {unescape(one).partition("#")[0] for one in re.findall(r'(?:href|src|action)="(/[^"]*)"', text)}
    posts = {unescape(one) for one in re.findall(r'method="post" action="([^"]+)"', text)}
    dead = [t for t in sorted(targets - posts) if t and pages.get(t).status_code not in (200, 303)]
    assert len(targets) > 5
    assert dead in ([], ["/papers/day.pdf"])  # without a sheet issued there is none to print


def test_the_margin_of_a_row_names_the_lines_its_facts_rest_on(pages: TestClient, laid: Desk) -> None:
    text = pages.get("/rows/R7").text
    newest = laid.diary.history("R7").of(type(laid.diary.line(5).entry.what))
    assert newest
    for number in (laid.diary.history("R7").lines[0].number, laid.diary.history("R7").last_line):
        assert f'href="/lines/{number}"' in text


def test_a_line_says_who_when_with_what_what_was_typed_and_its_seal(pages: TestClient, laid: Desk) -> None:
    line = next(x for x in laid.diary.history("R7").lines if x.entry.what.__struct_config__.tag == "turned")
    text = pages.get(f"/lines/{line.number}").text
    for said in ("Ada", "test", "loader", line.seal, line.entry.id, "2026-05-08 09:00:00 +00:00"):
        assert said in text


def test_a_struck_line_stays_readable_and_shows_what_struck_it(pages: TestClient, laid: Desk) -> None:
    number = next(
        x for x in laid.diary.history("R7").lines if x.entry.what.__struct_config__.tag == "round"
    ).number
    form = {
        "line": str(number),
        "reason": "wrong row",
        "who": "Ben",
        "id": "0b8f2c52-7a52-4a0e-9a52-51ad5be1b001",
    }
    assert pages.post("/write/strike", data=form).status_code == 303
    strike = laid.diary.head
    shown = pages.get(f"/lines/{number}").text
    assert "wrong row" in shown and f'href="/lines/{strike}"' in shown
    assert re.search(rf'href="/lines/{number}".*?class="struck"', pages.get("/lines?row=R7").text, re.DOTALL)


def test_a_row_without_readings_leads_to_its_first_round(pages: TestClient) -> None:
    assert 'href="/walk/R9">Walk the first round</a>' in pages.get("/rows/R9").text


def test_lines_a_fact_rests_on_are_shown_together(pages: TestClient) -> None:
    text = pages.get("/lines?only=2,5-7").text
    assert re.findall(r'class="margin"><a href="/lines/(\d+)"', text) == ["7", "6", "5", "2"]


def test_temperatures_are_shown_in_the_persons_unit_and_stay_as_typed(pages: TestClient, laid: Desk) -> None:
    before = laid.book.head().seal
    assert ">55 <" not in pages.get("/rows/R8").text
    answer = pages.post("/unit", data={"unit": "F", "back": "/rows/R8"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/rows/R8")
    # 131 °F is 55 °C exactly (NIST SP 811, B.8: t/°F = 1.8 t/°C + 32)
    assert "<dd>131</dd>" in pages.get("/rows/R8").text
    pages.post("/unit", data={"unit": "C", "back": "/"})
    assert re.search(r"<dd>55(\.0)?</dd>", pages.get("/rows/R8").text)
    assert laid.book.head().seal == before


@pytest.mark.parametrize(
    "back", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "x"]
)
def test_the_unit_form_never_leads_to_another_server(pages: TestClient, back: str) -> None:
    assert pages.post("/unit", data={"unit": "F", "back": back}).headers["location"] == "/"


def test_papers_come_as_pdf_and_csv(pages: TestClient) -> None:
    pdf = pages.get("/papers/row.pdf?row=R7")
    assert (pdf.headers["content-type"], pdf.content[:5]) == ("application/pdf", b"%PDF-")
    readings = pages.get("/papers/row.csv?row=R7").text
    assert readings.count("\r\n") == 1 + 16 * 3  # a heading, sixteen rounds of three stations
    assert pages.get("/papers/day.pdf").status_code == 404
    pages.post("/today/issue", data={"who": "Ada"})
    assert pages.get("/papers/day.pdf").content[:5] == b"%PDF-"


def test_a_picture_has_a_sentence_a_table_and_a_csv(pages: TestClient) -> None:
    text = pages.get("/rows/R7").text
    for path in ("/row/strip.csv?row=R7", "/row/curve.csv?row=R7"):
        assert unescape(text).count(f'href="{path}') == 1
        assert pages.get(path).headers["content-type"].startswith("text/csv")
    assert (
        text.count('role="img" aria-label="Row R7') == 3
    )  # the strip for a wide screen, for a phone; the curve
    assert text.count("<caption>") == 2


def test_a_row_of_three_thousand_days_opens_with_its_newest_and_offers_the_rest(long: TestClient) -> None:
    text = long.get("/rows/S1").text
    assert '<a href="/rows/S1?days=all">All days</a>' in text
    assert text.count("Row S1, 25 February 2026 to 19 May 2026") == 3  # the sentence and the two strips' own
    assert len(re.findall(r"<tr><td>2026-0[2-5]-", text)) == 84 * 3
    assert text.count('class="fact diary"') == 40 and 'href="/lines?row=S1">see them all</a>' in text
    assert len(text) < 400_000
    assert long.get("/rows/S1?days=all").status_code == 200
    assert long.get("/row/strip.csv?row=S1").text.count("\r\n") == 1 + 84 * 3
    assert long.get("/row/strip.csv?row=S1&days=all").text.count("\r\n") == 1 + 3_000 * 3
    older = re.search(r'href="(/lines\?before=[^"]+)">Older lines', long.get("/lines?row=S1").text)
    assert older and long.get(unescape(older[1])).text.count('class="fact diary"') == 100


def test_pages_are_packed_for_whoever_takes_them_packed(pages: TestClient) -> None:
    """The same page, a third of the bytes or less; small answers and who cannot unpack get them plain."""
    plain = pages.get("/rows", headers={"accept-encoding": "identity"})
    packed = pages.get("/rows", headers={"accept-encoding": "gzip"})
    assert packed.headers["content-encoding"] == "gzip" and packed.text == plain.text
    assert int(packed.headers["content-length"]) < len(plain.content) / 2
    assert "content-encoding" not in plain.headers and packed.headers["vary"] == "Accept-Encoding"
    assert packed.headers["content-security-policy"] == plain.headers["content-security-policy"]

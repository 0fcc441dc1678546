"""A file taken in by the page: what `turnrow take` takes, with every refusal on the page."""

from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.web.safety import FILE_MOST
from turnrow.yard.entries import LoggerBlock, Weather

WEATHER = b"date,temp (C),rain_mm\n2026-05-01,8.5,0\n2026-05-02,7,3.5\n"
LOG = b"when,core\n2026-05-18T08:00,60\n2026-05-18T09:00,61\n"


def send(pages: TestClient, data: bytes, name: str = "file.csv", **fields: str) -> tuple[int, str]:
    answer = pages.post("/take", files={"file": (name, data)}, data={"who": "Ada", **fields})
    return answer.status_code, answer.text


def test_weather_is_written_once(pages: TestClient, laid: Desk) -> None:
    status, text = send(pages, WEATHER)
    assert status == 200 and "2 entries written" in text
    status, text = send(pages, WEATHER)
    assert status == 200 and "nothing new; the book held 2 entries" in text
    laid.refresh()
    assert [what.rain.value for _, what in laid.diary.own(Weather) if what.rain] == [0, 3_500_000]


def test_a_logger_of_other_headings_comes_back_with_its_mapping_filled_in(
    pages: TestClient, laid: Desk
) -> None:
    status, text = send(pages, LOG, row="R7")
    assert status == 422 and "Nothing was written" in text
    mapping = text.partition("<textarea")[2].partition(">")[2].partition("</textarea>")[0]
    assert "column = &#34;core&#34;" in mapping
    filled = mapping.replace("&#34;", '"').replace('# unit = "C"', 'unit = "C"')
    status, text = send(pages, LOG, row="R7", map=filled, probe="P9")
    assert status == 200 and "2 readings written" in text
    laid.refresh()
    (block,) = [what for _, what in laid.diary.all(LoggerBlock)]
    assert (block.row, block.count, block.probe) == ("R7", 2, "P9")


def test_what_is_wrong_is_told_and_nothing_is_written(pages: TestClient, laid: Desk) -> None:
    head = laid.book.head().line
    for data, fields, words in (
        (b"", {}, "Choose a CSV or XLSX file"),
        (WEATHER, {"row": "R7"}, "Entries say themselves what they are of"),
        (WEATHER, {"map": "[entries"}, "the mapping"),
        (b"PK\x03\x04 no workbook", {}, "file.csv"),
        (b"\x00\x01\x02", {}, "file.csv"),
        (WEATHER.replace(b"8.5", b"<b>"), {}, "&lt;b&gt;"),
        (WEATHER, {"who": "x" * 80}, "who"),
    ):
        status, text = send(pages, data, **fields)
        assert status == 422 and words in text, (data, text)
        assert "<b>" not in text.replace("<bdi>", "")
    assert laid.book.head().line == head


def test_a_mapping_is_the_field_below_and_not_the_commands(pages: TestClient) -> None:
    log = b"at,station,depth_cm,value,unit\n"
    for row, words in (
        (b"18 May 8am,1,90,60,C\n", "give the time’s format in the mapping below"),
        (b"03/04/2026 08:00,1,90,60,C\n", "write a mapping below with the format"),
        (b"2026-05-18T08:00,1,90,n/k,C\n", "name the mark in the mapping below"),
    ):
        status, text = send(pages, log + row, row="R7")
        said = text.replace("&#39;", "’").replace("'", "’")
        assert status == 422 and words in said, said
        assert "turnrow take" not in text


def test_more_than_a_file_may_hold_is_turned_away_unread(pages: TestClient) -> None:
    status, text = send(pages, b"at,value,unit\n" * (FILE_MOST // 13))
    assert status == 413 and "Too large" in text


def test_another_sites_form_cannot_send_a_file(pages: TestClient) -> None:
    answer = pages.post(
        "/take",
        files={"file": ("w.csv", WEATHER)},
        data={"who": "Ada"},
        headers={"Sec-Fetch-Site": "cross-site"},
    )
    assert answer.status_code == 403

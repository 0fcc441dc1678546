"""The large figures of a row say what the rule counts: days in a row where they must be in a row."""

from datetime import timedelta
from html import unescape

from .conftest import NOW


def test_a_broken_run_shows_its_own_days_and_not_all_hot_days(pages, laid) -> None:
    # read on sixteen days, from the third on over 55 °C: fourteen hot days; a cold reading breaks them
    cold = (NOW - timedelta(days=8)).replace(hour=16)
    fields = {"row": "R7", "unit": "C", "station.2": "50", "happened": cold.isoformat()}
    laid.write("round", fields, now=NOW, who="Ada", device="test")
    page = unescape(pages.get("/rows/R7").text)
    standing = laid.standing("R7").standing
    assert (standing.hot_days, standing.longest_run_days) == (13, 7)
    assert "<dt>hot days in a row</dt><dd>7 of 15</dd>" in page
    assert "13 of 15" not in page


def test_a_row_says_what_another_reading_of_the_text_would_give(blank, desk) -> None:
    # sixteen hot days but for the eighth, which was not read: unproven in a row, fifteen in all
    start = NOW - timedelta(days=18)

    def write(kind: str, day: int, hour: int = 7, **fields: str) -> None:
        when = (start + timedelta(days=day)).replace(hour=hour)
        desk.write(kind, {**fields, "happened": when.isoformat()}, now=NOW, who="Ada", device="test")

    write("row built", 0, row="R1", stations="1")
    write("rule chosen", 0, rule="US-503-PFRP-WINDROW")
    for day in (n for n in range(1, 17) if n != 8):
        write("round", day, row="R1", unit="C", **{"station.1": "58"})
    for day in (2, 5, 9, 11, 14):
        write("turned", day, 9, row="R1")
    page = unescape(blank.get("/rows/R1").text)
    assert desk.standing("R1").standing.verdict == "NOT_PROVEN"
    assert "The text may also be read with continuity cumulative: then proven hot." in page

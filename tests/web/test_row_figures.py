"""The large figures of a row say what the rule counts: days in a row where they must be in a row."""

from datetime import UTC, datetime, timedelta
from html import unescape

NOW = datetime(2026, 5, 20, 6, 30, tzinfo=UTC)  # the clock of the pages' fixtures


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

"""The day's sheet by schedule: at its time on the yard's clock, once a day, and never for an empty yard."""

from datetime import UTC, datetime, time, timedelta

from turnrow.web.early import WHO, issue_if_due, issuing
from turnrow.web.keeper import Keeper

from .conftest import NOW


def test_the_sheet_is_issued_once_its_time_has_come_on_the_yards_clock(laid) -> None:
    at = time(7, 31)
    moments = [NOW, NOW + timedelta(minutes=1), NOW + timedelta(hours=3)]
    early, due, later = (issue_if_due(Keeper(laid, lambda now=now: now), at) for now in moments)
    assert early is None and later is None
    assert due is not None and due.entry.who == WHO
    assert laid.today(NOW + timedelta(hours=3)).sheet.number == due.number


def test_the_next_day_gets_its_own_sheet_and_a_sheet_issued_by_hand_is_enough(laid) -> None:
    tomorrow = NOW + timedelta(days=1)
    laid.issue(NOW, "Ada")
    assert issue_if_due(Keeper(laid, lambda: NOW), time(5, 0)) is None
    assert issue_if_due(Keeper(laid, lambda: tomorrow), time(5, 0)) is not None


def test_an_empty_yard_gets_no_sheet(desk) -> None:
    assert issue_if_due(Keeper(desk, lambda: NOW), time(0, 0)) is None
    assert desk.book.head().line == 0


def test_a_running_server_issues_it_and_stops_with_the_server(laid) -> None:
    before = laid.book.head().line
    keeper = Keeper(laid, lambda: NOW)
    with issuing(keeper, time(5, 0)):
        deadline = datetime.now(UTC) + timedelta(seconds=10)
        while datetime.now(UTC) < deadline:
            with keeper.desk() as desk:
                if desk.today(NOW).sheet is not None:
                    break
    assert laid.book.head().line == before + 1

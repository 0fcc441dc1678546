"""What the phone keeps: before the screen says so, through a reload and without a signal; sent once."""

from typing import Any

import pytest
from playwright.sync_api import expect

from turnrow.yard.entries import Round

from .conftest import NOW, Served
from .walking import Opened, at, keep, kept_on_phone, phone, start, surely, tap, typed_on_phone

pytestmark = pytest.mark.face
NO_WORKER = "delete Navigator.prototype.serviceWorker"  # as over http on a network: no browser has it there


def walked(page: Any, *values: str) -> None:
    """Each value at the next station, whatever is asked."""
    for value in values:
        keep(page, *value)
        sure = page.get_by_role("button", name="It is right")
        if sure.count():
            sure.tap()
        hot = page.get_by_role("button", name="Understood, go on")
        expect(hot.or_(page.locator("#send")).or_(page.locator("#figure", has_text="–"))).to_be_visible()
        if hot.count():
            hot.tap()


def rounds_since(yard: Served, head: int) -> list[Round]:
    yard.desk.refresh()
    every = [yard.desk.diary.line(n).entry.what for n in range(head + 1, yard.desk.diary.head + 1)]
    return [what for what in every if isinstance(what, Round)]


def test_a_number_is_on_the_phone_before_the_screen_says_so(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    # what the store holds is read at the very moment the status line first speaks of it
    page.evaluate(
        """() => { window.seen = new Promise(done => new MutationObserver(() => {
             const said = document.querySelector('.state')?.textContent ?? ''
             if (!said.includes('kept')) return
             const asked = indexedDB.open('turnrow-walk', 1)
             asked.onsuccess = () => {
               const all = asked.result.transaction('walks').objectStore('walks').getAll()
               all.onsuccess = () => done(Object.values(all.result[0].kept).map(one => one.text)) }
           }).observe(document.querySelector('#walk'), { childList: true })) }"""
    )
    walked(page, "61.5")
    assert page.evaluate("window.seen") == ["61.5"]


def test_a_phone_that_cannot_keep_it_says_so_and_stays(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    page.evaluate("() => { IDBObjectStore.prototype.put = () => { throw new Error('the disk is full') } }")
    keep(page, "6", "1")
    if page.get_by_role("button", name="It is right").count():
        surely(page)
    expect(page.get_by_role("alert").first).to_contain_text("could not keep it")
    at(page, "1", "1 of 3")
    expect(page.locator("#figure")).to_have_text("61")


def test_a_reload_in_the_middle_goes_on_where_it_was(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    page = start(seen, "R37")
    walked(page, "61.5")
    at(page, "2", "2 of 3")
    page.reload()
    at(page, "2", "2 of 3")
    assert typed_on_phone(page) == ["61.5"]
    page.close()
    seen.page = page.context.new_page()
    seen.page.clock.set_system_time(NOW)
    page = seen.go("/walk/R37")
    at(page, "2", "2 of 3")
    tap(page, "back")
    at(page, "1", "1 of 3")
    expect(page.locator("#figure")).to_have_text("61.5")


def test_a_whole_walk_without_a_signal_is_kept_and_sent_later(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    page = seen.go("/walk")  # at the kitchen table
    expect(page.locator("#phone")).to_have_text("Kept on this phone: the walk opens without a signal.")
    before = yard.desk.diary.head
    page.context.set_offline(True)
    start(seen, "R33")  # on the pad, its page never opened before
    walked(page, "58", "59")
    page.reload()
    at(page, "3", "3 of 3")
    walked(page, "60")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept on this phone")
    expect(page.locator("#tried")).to_contain_text("No signal")
    page.reload()
    expect(page.locator("h1")).to_have_text("Kept on this phone")
    assert rounds_since(yard, before) == []
    page.context.set_offline(False)
    expect(page.locator("h1")).to_have_text("Kept in the book")
    expect(page.locator("main")).to_contain_text(f"line {before + 1}")
    [one] = rounds_since(yard, before)
    assert [(r.station, r.value // 1_000_000) for r in one.readings] == [("1", 58), ("2", 59), ("3", 60)]


def test_another_page_of_the_walk_sends_what_waits(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    expect(seen.go("/walk/R36").locator("#phone")).to_contain_text("opens without a signal")
    page = start(seen, "R36")
    page.context.set_offline(True)
    before = yard.desk.diary.head
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator("#tried")).to_contain_text("No signal")
    page.get_by_role("link", name="Walk another row meanwhile").tap()
    expect(page.locator("#unsent")).to_contain_text("3 numbers on this phone, not sent yet")
    page.context.set_offline(False)
    expect(page.locator("#unsent li")).to_have_count(0)
    assert len(rounds_since(yard, before)) == 1


def test_an_answer_that_is_lost_makes_nothing_twice(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard, service_workers="block")
    page = start(seen, "R36")
    walked(page, "61", "62", "63")
    before, tries = yard.desk.diary.head, []

    def lost(route: Any) -> None:
        tries.append(route.fetch().status)
        route.abort()

    page.context.route("**/api/walk", lost)
    page.locator("#send").dblclick()
    expect(page.locator("#tried")).to_contain_text("No signal, or the book was not reached.")
    assert tries == [200] and len(rounds_since(yard, before)) == 1  # the book has it, the phone does not know
    page.context.unroute("**/api/walk")
    page.locator("#again").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    expect(page.locator("main")).to_contain_text(f"line {before + 1}")
    assert len(rounds_since(yard, before)) == 1


def test_what_is_turned_away_stays_and_can_be_mended(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36", who="/")
    before = yard.desk.diary.head
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Not all of it was kept")
    expect(page.locator(".block li").first).to_contain_text("who: got")
    assert typed_on_phone(page) == ["61", "62", "63"] and rounds_since(yard, before) == []
    page.get_by_role("button", name="Back to the numbers").tap()
    page.get_by_label("Your name").fill("Ada")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    assert len(rounds_since(yard, before)) == 1


def test_a_clock_that_is_off_is_told_and_both_times_are_kept(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    seen.page.clock.set_system_time(NOW.replace(minute=30))  # twenty minutes ahead of the book's
    page = start(seen, "R37")
    before = yard.desk.diary.head
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator("#clocks")).to_contain_text("20 minutes ahead of the book")
    yard.desk.refresh()
    line = yard.desk.diary.line(before + 1)
    assert (line.entry.happened - line.written).total_seconds() == pytest.approx(1200, abs=60)


def test_a_clock_days_ahead_is_set_right_by_one_key(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    seen.page.clock.set_system_time(NOW.replace(day=25))
    page = start(seen, "R37")
    before = yard.desk.diary.head
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator(".block")).to_contain_text("more than a day ahead")
    page.get_by_role("button", name="Take the book’s clock").tap()
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    [_] = rounds_since(yard, before)
    line = yard.desk.diary.line(before + 1)
    assert abs((line.entry.happened - NOW).total_seconds()) < 120


def test_two_phones_on_one_row_are_both_kept(yard: Served, opened: Opened) -> None:
    before = yard.desk.diary.head
    pages = [start(phone(opened, yard), "R35", who=who) for who in ("Ada", "Ben")]
    for page in pages:
        walked(page, "61", "62", "63")
        page.locator("#send").tap()
        expect(page.locator("h1")).to_have_text("Kept in the book")
    assert len(rounds_since(yard, before)) == 2
    third = phone(opened, yard).go("/walk/R35")
    expect(third.locator("main")).to_contain_text("Read today already: Ben")


def test_where_no_browser_keeps_pages_it_says_so_and_keeps_trying(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    seen.page.add_init_script(NO_WORKER)
    page = seen.go("/walk/R39")
    expect(page.locator("#phone")).to_contain_text("Leave this page open")
    start(seen, "R39")
    before = yard.desk.diary.head
    page.context.set_offline(True)
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator("#tried")).to_contain_text("No signal")
    page.context.set_offline(False)
    expect(page.locator("h1")).to_have_text("Kept in the book")
    assert len(rounds_since(yard, before)) == 1


def test_a_walk_of_another_day_is_asked_about(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    seen.page.clock.set_system_time(NOW.replace(day=19))
    page = start(seen, "R36")
    walked(page, "61")
    seen.page.clock.set_system_time(NOW)
    page.reload()
    expect(page.locator("h1")).to_have_text("A walk of yesterday is not ended")
    before = yard.desk.diary.head
    page.get_by_role("button", name="Send what it has").tap()
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    [one] = rounds_since(yard, before)
    assert one.skipped == ("2", "3")
    assert yard.desk.diary.line(before + 1).entry.happened.day == 19


def test_without_scripts_it_leads_to_the_form(yard: Served, opened: Opened) -> None:
    page = opened(yard, 360, java_script_enabled=False).go("/walk/R35")
    page.get_by_role("link", name="Write the round as a form instead").click()
    assert page.url.endswith("/write/round?row=R35")


def test_one_sent_walk_leaves_nothing_waiting(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    walked(page, "61", "62", "63")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    assert [one["state"] for one in kept_on_phone(page)] == ["done"]
    page.get_by_role("button", name="Next row").tap()
    expect(page.locator("h1")).to_have_text("Which row?")
    expect(page.locator("#unsent li")).to_have_count(0)


def test_a_walk_turned_away_as_a_whole_is_not_lost_either(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard, service_workers="block")
    page = start(seen, "R36")
    walked(page, "61", "62", "63")
    told = {"refusals": [{"where": "body.row", "got": "'x'", "do": "Shorter."}]}
    page.context.route("**/api/walk", lambda route: route.fulfill(status=422, json=told))
    page.locator("#send").tap()
    expect(page.locator(".block")).to_contain_text("body.row: got 'x'. Shorter.")
    page.context.unroute("**/api/walk")
    page.get_by_role("button", name="Back to the numbers").tap()
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")


def test_a_book_that_is_busy_is_waited_for(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard, service_workers="block")
    page = start(seen, "R36")
    walked(page, "61", "62", "63")
    page.context.route("**/api/walk", lambda route: route.fulfill(status=503, json={"refusals": []}))
    page.locator("#send").tap()
    expect(page.locator("#tried")).to_contain_text("The book could not take it now (503).")
    page.context.unroute("**/api/walk")
    page.locator("#again").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")

"""What a person does with thumb, mouse or keyboard, with scripts and without."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from turnrow.yard.entries import JobDone, Round

pytestmark = pytest.mark.face
Opened = Callable[..., Any]
SCRIPTS = pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])


def fill_round(page: Any, *values: str) -> None:
    for place, value in enumerate(values, start=1):
        page.locator(f"#value_{place}").fill(value)
    page.locator("#who").fill("Ada")


@SCRIPTS
def test_a_round_is_walked_asked_about_and_kept(yard: Any, opened: Opened, scripts: bool) -> None:
    row = "R36" if scripts else "R37"
    page = opened(yard, 360, java_script_enabled=scripts, has_touch=True).go(f"/write/round?row={row}")
    before = yard.desk.diary.head
    fill_round(page, "3.5")
    page.get_by_role("button", name="Keep the round").tap()
    expect(page.get_by_role("alert")).to_contain_text("1 says 3.5 °C")
    yard.desk.refresh()
    assert yard.desk.diary.head == before
    page.get_by_role("button", name="It is right: keep the round").tap()
    expect(page.get_by_role("status")).to_have_text(f"Kept as line {before + 1}.")
    yard.desk.refresh()
    what = yard.desk.diary.line(before + 1).entry.what
    assert isinstance(what, Round) and (what.row, what.confirmed, what.skipped) == (row, ("1",), ("2", "3"))


@SCRIPTS
def test_pressing_twice_writes_once(yard: Any, opened: Opened, scripts: bool) -> None:
    page = opened(yard, 1440, java_script_enabled=scripts).go("/write/note")
    before = yard.desk.diary.head
    page.locator("#text").fill("Steam at the north end")
    page.locator("#who").fill("Ada")
    page.get_by_role("button", name="Keep the note").dblclick()
    expect(page.get_by_role("status")).to_have_text(f"Kept as line {before + 1}.")
    page.go_back()
    page.get_by_role("button", name="Keep the note").click()
    expect(page.get_by_role("status")).to_have_text(f"Kept as line {before + 1}.")
    yard.desk.refresh()
    assert yard.desk.diary.head == before + 1


@SCRIPTS
def test_a_job_is_put_off_where_it_stands(yard: Any, opened: Opened, scripts: bool) -> None:
    seen = opened(yard, 360, java_script_enabled=scripts)
    page = seen.go("/")
    before = yard.desk.diary.head
    job = page.locator(".job").nth(1)
    said = job.locator(".lead").inner_text()
    if scripts:
        page.evaluate("window.same = true")
    job.get_by_text("Not today", exact=True).click()
    job.get_by_label("Why not today").fill("rain until noon")
    job.get_by_label("Who says so").fill("Ada")
    job.get_by_role("button", name="Keep: not today").click()
    expect(page.get_by_role("status")).to_have_text(f"Kept as line {before + 1}.")
    expect(page.get_by_text("Put off: rain until noon.").first).to_be_visible()
    assert page.get_by_text(said).count() == 1
    assert not scripts or page.evaluate("window.same")  # only the sheet was exchanged
    yard.desk.refresh()
    what = yard.desk.diary.line(before + 1).entry.what
    assert isinstance(what, JobDone) and (what.done, what.reason) == (False, "rain until noon")
    assert seen.said == []


@SCRIPTS
def test_what_is_turned_away_keeps_what_was_typed(yard: Any, opened: Opened, scripts: bool) -> None:
    page = opened(yard, 360, java_script_enabled=scripts).go("/write/turn?row=R35")
    before = yard.desk.diary.head
    page.locator("#passes").fill("many")
    page.locator("#water").fill("a lot")
    page.locator("#who").fill("Ada")
    page.get_by_role("button", name="Keep the turn").click()
    expect(page.get_by_role("alert")).to_contain_text("2 things need another look")
    assert page.locator("#passes").input_value() == "many"
    assert page.locator("#row").input_value() == "R35"
    yard.desk.refresh()
    assert yard.desk.diary.head == before


@SCRIPTS
def test_the_unit_is_the_persons_own(yard: Any, opened: Opened, scripts: bool) -> None:
    page = opened(yard, 360, java_script_enabled=scripts).go("/rows/R35")
    page.get_by_role("button", name="Show °F").click()
    expect(page.get_by_text("Temperatures are shown in °F.")).to_be_visible()
    assert page.url.endswith("/rows/R35")
    assert "°F hottest" in page.locator(".figures").inner_text()


def test_a_photograph_is_sent_and_shown(yard: Any, opened: Opened, tmp_path: Any) -> None:
    seen = opened(yard, 360)
    page = seen.go("/write/note")
    shot = tmp_path / "shot.png"
    shot.write_bytes(page.screenshot())
    page.locator("#text").fill("As it looks now")
    page.locator("#who").fill("Ada")
    page.locator("#photo").set_input_files(shot)
    page.get_by_role("button", name="Keep the note").click()
    expect(page.get_by_role("status")).to_be_visible()
    yard.desk.refresh()
    seen.go(f"/lines/{yard.desk.diary.head}")
    assert page.locator("img.photo").evaluate("e => e.complete && e.naturalWidth") == 360
    assert seen.said == []


def test_the_keyboard_alone_reaches_the_page_and_shows_where_it_is(yard: Any, opened: Opened) -> None:
    page = opened(yard, 1440).go("/")
    page.keyboard.press("Tab")
    skip = page.locator(".skip")
    expect(skip).to_be_focused()
    assert skip.bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    place = page.evaluate(
        "() => [document.querySelector('#sheet').contains(document.activeElement),"
        " getComputedStyle(document.activeElement).outlineStyle]"
    )
    assert place == [True, "solid"]


def test_a_reason_opens_by_keyboard(yard: Any, opened: Opened) -> None:
    page = opened(yard, 1440).go("/")
    why = page.locator(".job").first.get_by_text("Why?")
    why.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".job").first.locator("details[open] p").first).to_be_visible()


@SCRIPTS
def test_a_recipe_is_made_from_nothing_by_names_and_buckets(
    empty: Any, opened: Opened, scripts: bool
) -> None:
    seen = opened(empty, 360, java_script_enabled=scripts, has_touch=True)
    page = seen.go("/blend")
    page.locator("#name_1").fill("cow manure")
    page.locator("#stock_1").fill("40")
    page.locator("#name_2").fill("leaves")
    page.locator("#total").fill("30")
    page.get_by_role("button", name="Find the mix").tap()
    expect(page.locator("#answer")).to_contain_text("buckets of cow manure and")
    expect(page.locator("svg.window").nth(1)).to_be_visible()
    assert page.locator("#name_1").input_value() == "cow manure"
    page.locator("#total").fill("plenty")
    page.get_by_role("button", name="Find the mix").tap()
    expect(page.get_by_role("alert")).to_contain_text("One thing needs another look")
    assert page.locator("#total").input_value() == "plenty"
    assert [text for text in seen.said if "422" not in text] == []
    empty.desk.refresh()
    assert empty.desk.diary.head == 0

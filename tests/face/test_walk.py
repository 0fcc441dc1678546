"""The walk in a real browser: keys measured, ink measured, and what the screens say and ask."""

from typing import Any

import pytest
from playwright.sync_api import expect

from turnrow.yard.entries import Note, Round

from .conftest import Served
from .test_every_page import OVERFLOW, faults_here, nothing
from .walking import Opened, at, keep, kept_on_phone, phone, start, surely, tap, typed_on_phone

pytestmark = pytest.mark.face
# R33, R35 and R39 are at work in the invented yard, 60 cm deep at stations 1, 2 and 3; R36 and R37 as well

# WCAG 2.2, "relative luminance" and "contrast ratio", of every text in sight against the ground under it
INK = """() => {
  const part = c => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4 }
  const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b)
  const colour = text => text.match(/[\\d.]+/g).map(Number)
  const ground = e => { for (; e; e = e.parentElement) {
    const c = colour(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] === 1) return c }
    return [255, 255, 255] }
  return [...document.querySelectorAll('body *')]
    .filter(e => e.checkVisibility() && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
    .map(e => { const s = getComputedStyle(e), [a, b] = [light(colour(s.color)), light(ground(e))]
      return [(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), s.opacity, e.textContent.slice(0, 60)] })
    .filter(([ratio, opacity]) => ratio < 15 || opacity !== '1') }"""
SMALL = """() => [...document.querySelectorAll('a, button, input:not([type=checkbox]), .tick')]
  .filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()])
  .filter(([e, r]) => r.width < 80 || r.height < 80)
  .map(([e, r]) => `${e.outerHTML} ${r.width}x${r.height}`)"""
DEAD = """() => {
  const pad = document.querySelector('.keypad').getBoundingClientRect(), dead = []
  for (let x = pad.left + .5; x < pad.right; x += 1.5) for (let y = pad.top + .5; y < pad.bottom; y += 1.5) {
    const e = document.elementFromPoint(x, y)
    if (!(e instanceof HTMLButtonElement)) dead.push(`${x},${y}`) }
  return dead }"""
KEYS = """() => [...document.querySelectorAll('.keypad button')].map(e => e.getBoundingClientRect())
  .map(r => [r.left, r.top, r.right, r.bottom])"""


def readable(page: Any, path: str) -> None:
    nothing(faults_here(page, path, axe=True))
    nothing([f"{path}: thin ink: {one}" for one in page.evaluate(INK)])
    nothing([f"{path}: small: {one}" for one in page.evaluate(SMALL)])


@pytest.mark.parametrize("size", [(360, 640), (390, 844), (1440, 900)])
def test_keys_are_large_and_leave_no_dead_gap(yard: Served, opened: Opened, size: tuple[int, int]) -> None:
    width, height = size
    page = start(phone(opened, yard, viewport={"width": width, "height": height}), "R36")
    keys = page.evaluate(KEYS)
    assert len(keys) == 15 and len({left for left, *_ in keys}) == 3
    for left, top, right, bottom in keys:
        assert right - left >= 112 and bottom - top >= 80
    # they tile their rectangle: no point of it is twice covered or uncovered
    area = sum((right - left) * (bottom - top) for left, top, right, bottom in keys)
    wide = max(k[2] for k in keys) - min(k[0] for k in keys)
    assert area == pytest.approx(wide * (max(k[3] for k in keys) - min(k[1] for k in keys)), abs=1)
    assert page.evaluate(DEAD) == []
    bar = page.locator("#keep").bounding_box()
    assert bar["height"] >= 80 and bar["y"] == pytest.approx(max(k[3] for k in keys), abs=0.5)
    assert bar["y"] + bar["height"] <= height + 0.5  # all of it in sight, nothing to scroll


def test_the_figure_is_large_and_bold(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    tap(page, "6", "1", ".", "5")
    size, weight = page.locator("#figure").evaluate(
        "e => [parseFloat(getComputedStyle(e).fontSize), +getComputedStyle(e).fontWeight]"
    )
    assert size >= 48 and weight >= 700
    box = page.locator("#figure").bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= 360


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1440, "dark")])
def test_every_screen_is_black_on_white_large_and_readable(
    yard: Served, opened: Opened, width: int, scheme: str
) -> None:
    row = "R37" if width == 360 else "R39"
    seen = phone(opened, yard, viewport={"width": width, "height": 640}, color_scheme=scheme)
    page = seen.go("/walk")
    expect(page.locator("#phone")).to_contain_text("Kept on this phone")
    readable(page, "/walk")
    page = seen.go(f"/walk/{row}")
    page.locator("#start").wait_for()
    readable(page, "start")
    start(seen, row)
    grounds = page.evaluate(
        "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
    )
    assert grounds == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    readable(page, "station")
    keep(page, "9", "3")
    expect(page.get_by_role("alert")).to_contain_text("93 °C?")
    readable(page, "asked")
    surely(page)
    expect(page.locator("h1")).to_have_text("Stop, and call")
    readable(page, "stop")
    page.get_by_role("button", name="Understood, go on").tap()
    tap(page, "skip")
    expect(page.locator("h1")).to_contain_text("unread?")
    readable(page, "skip")
    page.get_by_role("button", name="The probe is broken").tap()
    expect(page.locator("h1")).to_contain_text("stays unread")
    readable(page, "broken")
    page.get_by_role("button", name="End the walk here").tap()
    expect(page.locator("h1")).to_contain_text("before it is sent")
    readable(page, "summary")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    readable(page, "sent")
    assert seen.said == []
    assert {url.partition("//")[2].split("/")[0] for url in seen.asked} == {yard.address.partition("//")[2]}


def test_two_taps_on_one_place_never_keep_a_number_far_off(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    tap(page, "3")
    where = page.locator("#keep").bounding_box()
    middle = (where["x"] + where["width"] / 2, where["y"] + where["height"] / 2)
    page.touchscreen.tap(*middle)
    page.touchscreen.tap(*middle)
    assert kept_on_phone(page)[0]["kept"] == {}
    expect(page.locator("#figure")).to_have_text("–")  # the second tap was "Type it anew"
    at(page, "1", "1 of 3")
    asked = keep(page, "3") or page.locator("#right").bounding_box()
    assert asked["y"] + asked["height"] <= where["y"] and asked["height"] >= 80


def test_every_row_is_kept_on_the_phone_and_not_the_first_sixty(yard: Served, opened: Opened) -> None:
    """The list is made long by rows of the same address with another ending, as a large yard's would be."""
    page = phone(opened, yard).page
    many = "".join(f'<a data-walk href="/walk/R36?n={n}"></a>' for n in range(90))
    page.route(
        "**/walk",
        lambda route: route.fulfill(
            response=(got := route.fetch()), body=got.text().replace("</main>", many + "</main>")
        ),
    )
    page.goto(f"{yard.address}/walk")
    expect(page.locator("#phone")).to_contain_text("Kept on this phone: the walk opens", timeout=30_000)
    kept = page.evaluate(
        "caches.keys().then(async all => (await (await caches.open(all[0])).keys()).map(one => one.url))"
    )
    assert sum("/walk/R36?n=" in one for one in kept) == 90


def test_what_was_read_last_and_what_to_expect_are_in_sight(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    last = yard.desk.diary.history("R36").readings
    first = max(n for n in range(len(last)) if last.stations[last.station[n]] == "1")
    value = f"{last.value[first] / 1e6:g}"
    expect(page.locator("#sub")).to_contain_text("cm deep.")
    expect(page.locator("#sub")).to_contain_text(f"{value} °C.")
    expect(page.locator("#sub")).to_contain_text("by its last readings.")


def test_a_number_far_off_is_asked_about_once_and_kept(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    keep(page, "3", ".", "5")
    expect(page.get_by_role("alert")).to_contain_text("3.5 °C? Last ")
    assert kept_on_phone(page)[0]["kept"] == {}
    keep(page, "3", ".", "4")  # the first key takes the number that was asked about away
    expect(page.get_by_role("alert")).to_contain_text("3.4 °C?")
    page.get_by_role("button", name="It is right: keep 3.4").tap()
    at(page, "2", "2 of 3")
    [one] = kept_on_phone(page)[0]["kept"].values()
    assert (one["text"], one["confirmed"]) == ("3.4", True)
    tap(page, "back")
    at(page, "1", "1 of 3")
    expect(page.locator("#figure")).to_have_text("3.4")


def test_the_question_has_its_edge_at_ten_degrees(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R36")
    asks = """([typed, unit]) => import('/static/walk_numbers.js').then(m => {
        const spot = { last: { heat: 60.1 * 9e6 }, expected: null }
        const plan = { surprise: 10 * 9e6, coldest: -40 * 9e6, hottest: 200 * 9e6 }
        return m.surprising(m.ninths(typed, unit), spot, plan) })"""
    # from 60.1 °C; 158.18 °F is 70.1 °C exactly: 1.8 x 70.1 + 32 (NIST SP 811, B.8)
    told = [("70.1", "C"), ("70.2", "C"), ("50,1", "C"), ("50", "C"), ("158.18", "F"), ("158.2", "F")]
    assert [page.evaluate(asks, list(one)) for one in told] == [False, True, False, True, False, True]


def test_keyboard_alone_with_a_decimal_comma_in_fahrenheit(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard, viewport={"width": 1440, "height": 900})
    page = seen.go("/walk/R36")
    page.get_by_role("button", name="Press for °F").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Press for °C")).to_be_visible()
    page.get_by_label("Your name").fill("Ada")
    page.locator("#start").focus()
    page.keyboard.press("Enter")
    at(page, "1", "1 of 3")
    assert page.evaluate("document.activeElement.tagName") == "H1"  # read out when the screen changes
    before = yard.desk.diary.head
    for station, typed in enumerate(("129,5", "130.5", "131"), start=1):
        at(page, str(station), f"{station} of 3")
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
        if page.get_by_role("button", name="It is right").count():
            page.locator("#right").focus()
            page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("before it is sent")
    page.locator("#send").focus()
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("Kept in the book")
    yard.desk.refresh()
    what = yard.desk.diary.line(before + 1).entry.what
    assert isinstance(what, Round) and what.unit == "F"
    assert [one.value for one in what.readings] == [129_500_000, 130_500_000, 131_000_000]


def test_several_depths_in_one_pass_are_one_round_each(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R33", depths="90", probe="P7")
    before = yard.desk.diary.head
    order = []
    for n in range(1, 7):
        expect(page.locator("h1")).to_contain_text(f"{n} of 6")
        order.append((page.locator("h1 bdi").nth(1).inner_text(), page.locator("#sub").inner_text()[:10]))
        if n == 4:
            tap(page, "skip")
            page.get_by_role("button", name="It cannot be reached").tap()
            continue
        keep(page, "5", "0", ".", str(n))
        if page.get_by_role("button", name="It is right").count():
            surely(page)
    assert order == [(str(s), f"{depth} cm deep") for s in (1, 2, 3) for depth in (60, 90)]
    expect(page.locator("main")).to_contain_text("1 of 6 not read.")
    page.locator("#send").tap()
    expect(page.locator("h1")).to_have_text("Kept in the book")
    yard.desk.refresh()
    shallow, deep, why = (yard.desk.diary.line(before + n).entry.what for n in (1, 2, 3))
    assert isinstance(shallow, Round) and isinstance(deep, Round) and isinstance(why, Note)
    assert [(r.station, r.depth_mm, r.value) for r in shallow.readings] == [
        (str(n), 600, 50_000_000 + tenth * 100_000) for n, tenth in ((1, 1), (2, 3), (3, 5))
    ]
    assert [(r.station, r.depth_mm) for r in deep.readings] == [("1", 900), ("3", 900)]
    assert (shallow.skipped, deep.skipped, deep.probe) == ((), ("2",), "P7")
    assert why.text == "Not read on the walk: station 2 at 90 cm: It cannot be reached."


@pytest.mark.parametrize(
    ("typed", "head", "words"),
    [
        ("66", "Turn it at once", "the limit is 65.5 °C"),
        ("72", "Too hot: stop, and call", "71 °C"),
        ("81", "Stop, and call", "call the fire service before anyone opens it"),
    ],
)
def test_too_hot_is_said_at_once_after_it_is_kept(
    yard: Served, opened: Opened, typed: str, head: str, words: str
) -> None:
    page = start(phone(opened, yard), "R35")
    keep(page, *typed)
    if page.get_by_role("button", name="It is right").count():
        surely(page)
    expect(page.locator("h1")).to_have_text(head)
    expect(page.get_by_role("alert")).to_contain_text(words)
    expect(page.get_by_role("alert")).to_contain_text("local fire code")
    assert typed_on_phone(page) == [typed]
    for name in ("End the walk here", "Understood, go on"):
        box = page.get_by_role("button", name=name).bounding_box()
        assert box["y"] >= 0 and box["y"] + box["height"] <= 640


def test_just_under_the_limit_nothing_is_said(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R35")
    keep(page, "6", "5", ".", "4")
    at(page, "2", "2 of 3")
    expect(page.locator(".state[role=status]")).to_contain_text("Station 1: 65.4 °C kept · 1 not sent")


def test_smoke_and_a_broken_probe_are_spoken_of_at_once(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R35", probe="P1")
    tap(page, "skip")
    page.get_by_role("button", name="Smoke or a burnt smell").tap()
    expect(page.get_by_role("alert")).to_contain_text("call the fire service")
    page.get_by_role("button", name="Understood, go on").tap()
    at(page, "2", "2 of 3")
    expect(page.locator(".state[role=status]")).to_contain_text("Station 1 stays unread")
    tap(page, "skip")
    page.get_by_role("button", name="The probe is broken").tap()
    page.get_by_label("The other probe").fill("P2")
    page.get_by_role("button", name="Read it with another probe").tap()
    at(page, "2", "2 of 3")
    keep(page, "6", "1")
    at(page, "3", "3 of 3")
    assert [one.get("probe") for one in kept_on_phone(page)[0]["kept"].values()] == [None, "P2"]


def test_a_place_chosen_at_the_end_leads_back_to_the_end(yard: Served, opened: Opened) -> None:
    page = start(phone(opened, yard), "R35")
    for station in ("1", "2", "3"):
        at(page, station, f"{station} of 3")
        keep(page, "6", station)
    page.get_by_role("button", name="Station 2, 60 cm: 62 °C").tap()
    at(page, "2", "2 of 3")
    keep(page, "6", "4")
    expect(page.get_by_role("button", name="Station 2, 60 cm: 64 °C")).to_be_visible()
    expect(page.locator("#send")).to_have_text("Send 3 numbers")


def test_the_limit_is_said_in_the_walkers_unit(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard)
    page = seen.go("/walk/R35")
    page.get_by_role("button", name="Press for °F").tap()
    start(seen, "R35")
    keep(page, *"149.9")
    # 65.5 °C is 1.8 x 65.5 + 32 = 149.9 °F (NIST SP 811, B.8): at the limit counts as reached
    expect(page.get_by_role("alert")).to_contain_text("149.9 °F at station 1, the limit is 149.9 °F.")


def test_a_row_that_ended_has_nothing_to_walk(yard: Served, opened: Opened) -> None:
    gone = next(row for row in yard.desk.diary.rows if yard.desk.diary.history(row).gone)
    page = phone(opened, yard).go(f"/walk/{gone}")
    expect(page.locator("h1")).to_have_text(f"Row {gone} has ended")
    readable(page, "ended")


def test_a_screen_of_320_points_is_not_overflown(yard: Served, opened: Opened) -> None:
    seen = phone(opened, yard, viewport={"width": 320, "height": 568})
    page = seen.go("/walk")
    assert page.evaluate(OVERFLOW) == 0
    start(seen, "R35")
    assert page.evaluate(OVERFLOW) == 0 and page.evaluate(DEAD) == []

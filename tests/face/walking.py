"""What the tests of the walk share: a phone whose clock is the yard's, and hands on its keys."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import expect

from .conftest import NOW, Seen, Served

Opened = Callable[..., Seen]
PHONE = {"width": 360, "height": 640}


def phone(opened: Opened, yard: Served, **how: Any) -> Seen:
    """A phone in hand; its clock stands at the yard's and goes on."""
    size = how.pop("viewport", PHONE)
    seen = opened(yard, size["width"], has_touch=True, **how)
    seen.page.set_viewport_size(size)
    seen.page.clock.set_system_time(NOW)
    return seen


def start(seen: Seen, row: str, *, depths: str = "", who: str = "Ada", probe: str = "") -> Any:
    """At the first station of a new walk."""
    page = seen.go(f"/walk/{row}")
    page.locator("#start").wait_for()
    if depths:
        page.get_by_label("Another depth").fill(depths)
    page.get_by_label("Your name").fill(who)
    page.get_by_label("Probe, if known").fill(probe)
    page.locator("#start").click()
    page.locator("#keep").wait_for()
    return page


def at(page: Any, station: str, place: str) -> None:
    """The screen of that station: "2 of 3"."""
    expect(page.locator("h1")).to_contain_text(f"station {station}")
    expect(page.locator("h1")).to_contain_text(place)


def tap(page: Any, *keys: str) -> None:
    for key in keys:
        name = {".": "Decimal point", "-": "Minus"}.get(key, key)
        page.locator(".keypad").get_by_role("button", name=name, exact=True).tap()


def keep(page: Any, *keys: str) -> None:
    tap(page, *keys)
    page.locator("#keep").tap()


def surely(page: Any) -> None:
    """What was asked about is kept, by the key that says so."""
    page.locator("#right").tap()


def kept_on_phone(page: Any) -> list[dict[str, Any]]:
    """Every walk in the phone's own store, read past the page's scripts."""
    found: list[dict[str, Any]] = page.evaluate(
        """() => new Promise((done, fail) => {
             const asked = indexedDB.open('turnrow-walk', 1)
             asked.onerror = () => fail(asked.error)
             asked.onsuccess = () => {
               const all = asked.result.transaction('walks').objectStore('walks').getAll()
               all.onsuccess = () => { asked.result.close(); done(all.result) }
             }
           })"""
    )
    return found


def typed_on_phone(page: Any) -> list[str]:
    [walk] = kept_on_phone(page)
    return [one.get("text", "-") for one in walk["kept"].values()]

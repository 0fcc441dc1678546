"""The outlook in a real browser: promised, then there; asked what if, with scripts and without; readable."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from .conftest import Served, served
from .test_every_page import faults, nothing

pytestmark = pytest.mark.face
Opened = Callable[..., Any]
ROW = "R35"


@pytest.fixture(scope="module")
def ahead(season: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The invented yard, one row's outlook made and scored; no others are made while the tests run."""
    where = tmp_path_factory.mktemp("ahead") / "yard.journal"
    shutil.copyfile(season, where)
    with served(where, looking_ahead=True) as found:
        assert found.works is not None
        found.works.make(ROW)
        found.works.make(ROW)
        yield found


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1440, "dark")])
def test_the_outlook_and_its_explanation_are_quiet_and_readable(
    ahead: Served, opened: Opened, width: int, scheme: str
) -> None:
    seen = opened(ahead, width, color_scheme=scheme)
    wrong = f"/rows/{ROW}?turn=never&water=much"
    nothing(
        faults(seen, (f"/rows/{ROW}", f"/ask?row={ROW}", f"/rows/{ROW}?turn=now&water=5", wrong), axe=True)
    )
    assert [text for text in seen.said if "422" not in text] == []


@pytest.mark.parametrize(("width", "places"), [(360, [False, True]), (1440, [True, False])])
def test_one_picture_is_shown_and_fits(ahead: Served, opened: Opened, width: int, places: list[bool]) -> None:
    page = opened(ahead, width).go(f"/rows/{ROW}")
    assert [one.is_visible() for one in page.locator("svg.fan").all()] == places
    assert page.locator("#outlook").bounding_box()["width"] <= width


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_what_a_turn_would_change_is_answered_where_it_was_asked(
    ahead: Served, opened: Opened, scripts: bool
) -> None:
    seen = opened(ahead, 360, java_script_enabled=scripts)
    page = seen.go(f"/rows/{ROW}")
    before = ahead.desk.book.head()
    if scripts:
        page.evaluate("window.same = true")
    page.get_by_label("Turn it").select_option("2026-05-22")
    page.get_by_label("Water, m³").fill("6")
    page.get_by_role("button", name="What would change").click()
    first = page.locator("#changes li").first
    expect(first).to_contain_text("Turned on Friday 22 May with 6 m³ of water.")
    expect(first).to_contain_text("Why:")
    assert not scripts or page.evaluate("window.same")  # only the answer was exchanged
    assert ahead.desk.book.head() == before
    assert seen.said == []


def test_a_promised_outlook_comes_by_itself(ahead: Served, opened: Opened) -> None:
    assert ahead.works is not None
    page = opened(ahead, 360).go("/rows/R39")
    expect(page.locator("#outlook")).to_contain_text("is being made")
    ahead.works.make("R39")
    ahead.works.make("R39")
    expect(page.locator("#if-turn")).to_be_visible(timeout=30_000)
    expect(page.locator("#outlook")).to_have_count(1)

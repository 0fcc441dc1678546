"""The outlook on the row's page and in the API: comes when it is made, is the model's, writes nothing."""

from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile

import numpy as np
import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlook_plan import MORNINGS, plan_of
from turnrow.foreman.outlooks import Outlooks, RowOutlook
from turnrow.heap.known import Read
from turnrow.journal.book import Book
from turnrow.schedule.ahead import LEAST_SCORED
from turnrow.web.app import create_app
from turnrow.web.works import Works

from .conftest import HOST, NOW

FORM = {"row": "R7", "turn": "now", "water": "10", "cover": "yes"}


@pytest.fixture(scope="module")
def served(
    written: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[TestClient, Works, Desk]]:
    """The small yard with R7's outlook made and scored; nothing here writes into it."""
    where = tmp_path_factory.mktemp("ahead") / "laid.journal"
    copyfile(written, where)
    with Book.open(str(where)) as book:
        desk = Desk(book)
        app = create_app(desk, clock=lambda: NOW, looking_ahead=True)
        works: Works = app.state.works
        works.make("R7")
        works.make("R7")
        with TestClient(app, base_url=HOST, follow_redirects=False) as client:
            yield client, works, desk


@pytest.fixture(scope="module")
def made(served: tuple[TestClient, Works, Desk]) -> RowOutlook:
    found = served[1].row(served[2], "R7", NOW)
    assert isinstance(found, RowOutlook)
    return found


def test_a_page_answers_at_once_and_promises_what_is_not_made_yet(laid: Desk) -> None:
    app = create_app(laid, clock=lambda: NOW, looking_ahead=True)
    with TestClient(app, base_url=HOST) as client:
        page = client.get("/rows/R7").text
        part = client.get("/row/outlook?row=R7").text
        api = client.get("/api/outlook?row=R7").json()
    assert 'data-hx-get="/row/outlook?row=R7"' in page and "is being made" in page
    assert "data-hx-trigger" in part and "<html" not in part
    assert api["outlook"] is None and api["seconds"] > 0 and api["never"] == ""


def test_a_server_that_makes_none_says_nothing_of_outlooks(pages: TestClient) -> None:
    assert "outlook" not in pages.get("/rows/R7").text
    assert pages.get("/api/outlook?row=R7").json()["never"] == "This server makes no outlooks."
    assert "Once a row is built and read" in pages.get("/ask").text


def test_the_fan_begins_near_the_last_readings_and_widens(made: RowOutlook) -> None:
    fan = made.outlook.fan[:, 0]
    assert abs(float(fan[0, 2]) - 60.2) < 6.0  # R7 was last read at 60.1 to 60.3 °C
    assert np.all(np.diff(fan, axis=1) >= 0.0)
    width = fan[:, 4] - fan[:, 0]
    assert width[-24:].mean() > width[:24].mean() > 0.0


def test_the_score_is_of_earlier_mornings_against_what_was_read_since(made: RowOutlook) -> None:
    assert made.mornings == MORNINGS
    two = next(one for one in made.ahead.scores if one.ahead_h == 48.0)
    assert two.count >= LEAST_SCORED and 0.0 <= two.held <= 1.0
    # R7 stood at the same three numbers from day 3 on: saying "as now" never missed, so there is no skill
    assert two.mae_as_now < 0.2 < two.mae
    assert made.ahead.skilled is False


def test_a_forecast_of_an_earlier_morning_knows_nothing_later(laid: Desk, made: RowOutlook) -> None:
    plan = plan_of(laid, "R7", NOW)
    assert plan is not None
    for one in plan.mornings:
        read: Read = one.heap.known.read
        assert read.at_s.max() <= one.at_s
        assert all(done.at_s <= one.at_s for done in one.heap.known.done)
    assert [one.at_s for one in plan.mornings] == sorted((one.at_s for one in plan.mornings), reverse=True)


def test_the_same_plan_gives_the_same_outlook(laid: Desk, made: RowOutlook) -> None:
    plan = plan_of(laid, "R7", NOW)
    assert plan is not None
    outlooks = Outlooks()
    again = outlooks.scored(outlooks.made(plan))
    assert np.array_equal(again.outlook.fan, made.outlook.fan)
    assert again.usual == made.usual


def test_without_skill_the_plain_history_is_shown_and_it_says_so(
    served: tuple[TestClient, Works, Desk],
) -> None:
    page = served[0].get("/rows/R7").text
    assert "Nothing is forecast for this row" in page and "by the model’s laws alone" in page
    assert "did better than saying “as now”: on the last 9 mornings they were off by" in page
    assert 'class="band' not in page and "A forecast is no reading" in page


def test_what_if_is_answered_in_words_with_a_reason_and_writes_nothing(
    served: tuple[TestClient, Works, Desk],
) -> None:
    client, _, desk = served
    before = desk.book.head()
    part = client.get("/row/outlook", params=FORM).text
    assert "Turned now with 10 m³ of water, covered now." in part and "Why:" in part
    assert part.index("covered now") < part.index("Turned now.")  # what was asked stands first
    plain = client.get("/row/outlook/asked", params=FORM)
    assert (
        plain.status_code == 303
        and plain.headers["location"] == "/rows/R7?turn=now&water=10&cover=yes#outlook"
    )
    assert "Turned now with 10 m³ of water" in client.get(plain.headers["location"]).text
    assert desk.book.head() == before


def test_what_is_wrong_is_said_all_at_once(served: tuple[TestClient, Works, Desk]) -> None:
    wrong = {"row": "R7", "turn": "2020-01-01", "water": "dragons", "depth": "7"}
    part = served[0].get("/row/outlook", params=wrong)
    assert part.status_code == 422
    assert all(f"{word}: got" in part.text for word in ("Turn", "Water", "Depth"))
    api = served[0].get("/api/outlook", params=wrong)
    assert api.status_code == 422 and [one["where"] for one in api.json()["refusals"]] == ["turn", "water"]


def test_a_turn_lets_off_heat_first_and_water_wets(served: tuple[TestClient, Works, Desk]) -> None:
    answer = served[0].get("/api/outlook", params={"row": "R7", "water": "20 m3"}).json()
    first = answer["what_if"][0]
    assert first["name"] == "Watered now with 20 m³ of water, not turned"
    assert first["moisture"]["p50"] > 0.0
    assert set(first["temp_k"]) == {"24", "48", "72"}
    assert answer["outlook"]["choice"]["used"] == answer["outlook"]["used"]
    assert any("they were off by" in words for words in answer["sentences"])
    assert len(answer["outlook"]["fan_c"][0]) == 336 and answer["sentences"]


@pytest.mark.parametrize("path", ["/api/outlook?row=R99", "/row/outlook?row=R99"])
def test_a_row_that_is_not_there_is_said(served: tuple[TestClient, Works, Desk], path: str) -> None:
    assert served[0].get(path).status_code == 404


def test_the_heap_is_asked_with_the_yards_own_row(served: tuple[TestClient, Works, Desk]) -> None:
    page = served[0].get("/ask").text
    assert "What row <bdi>R7</bdi> says" in page and page.count('class="share"') == 14  # wide and narrow
    assert "Why does turning make it hot again?" in page and "fire service" in page


def test_a_new_line_makes_the_old_outlook_speak_no_more(laid: Desk) -> None:
    app = create_app(laid, clock=lambda: NOW, looking_ahead=True)
    works: Works = app.state.works
    works.make("R7")
    assert works.there(laid, "R7", NOW) is not None
    laid.write("turned", {"row": "R7", "happened": NOW.isoformat()}, now=NOW, who="Ada")
    assert works.there(laid, "R7", NOW) is None
    laid.write("weather", {"air": "9 C", "happened": NOW.isoformat()}, now=NOW, who="Ada")
    works.make("R7")
    assert works.there(laid, "R7", NOW) is not None


def test_a_row_the_model_cannot_follow_does_not_stop_the_others(
    laid: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = create_app(laid, clock=lambda: NOW, looking_ahead=True)
    works: Works = app.state.works

    def broken(self: Outlooks, plan: object) -> RowOutlook:
        raise ValueError("no guess")

    monkeypatch.setattr(Outlooks, "made", broken)
    works.make("R7")
    with TestClient(app, base_url=HOST) as client:
        assert "The model cannot follow this row (no guess)." in client.get("/rows/R7").text


def test_what_is_drawn_is_there_as_a_table_once_it_is_made(
    served: tuple[TestClient, Works, Desk], made: RowOutlook
) -> None:
    client = served[0]
    early = client.get("/row/outlook.csv?row=R8")
    assert early.status_code == 404 and "being made" in early.text
    lines = client.get("/row/outlook.csv?row=R7").text.splitlines()
    assert lines[0].startswith("moment,9 of 10 from")
    shown = made.ahead.skilled is not False
    assert len(lines) == (15 if shown else 1)  # where there is no skill, no fan is drawn

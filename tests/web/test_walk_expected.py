"""What a walker is told to expect: by the row's outlook where one is made, else by its last readings."""

import html
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from shutil import copyfile

import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.outlooks import RowOutlook
from turnrow.journal.book import Book
from turnrow.web.app import create_app
from turnrow.web.walk_plan import Plan, plan_of
from turnrow.web.works import Works
from turnrow.yard.temperature import NINTH

from .conftest import HOST, NOW


@pytest.fixture(scope="module")
def made(written: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Desk, RowOutlook, Plan]]:
    """The small yard with R7's outlook, and the plan of its walk as the page holds it."""
    where = tmp_path_factory.mktemp("expected") / "laid.journal"
    copyfile(written, where)
    with Book.open(str(where)) as book:
        desk = Desk(book)
        app = create_app(desk, clock=lambda: NOW, looking_ahead=True)
        works: Works = app.state.works
        works.make("R7")
        outlook = works.there(desk, "R7", NOW)
        assert outlook
        with TestClient(app, base_url=HOST) as client:
            found = re.search(r'data-plan="([^"]*)"', client.get("/walk/R7").text)
            assert found
            yield desk, outlook, Plan.model_validate_json(html.unescape(found[1]))


def test_the_outlook_speaks_where_it_is_made(made: tuple[Desk, RowOutlook, Plan]) -> None:
    _, outlook, plan = made
    lines = outlook.outlook.fan[0, 0]  # R7 is read at one depth; the outlook's first hour is the nearest
    for one in plan.spots:
        assert one.expected and one.expected.by == "outlook"
        told = (one.expected.low, one.expected.middle, one.expected.high)
        assert [heat / NINTH for heat in told] == pytest.approx(lines[1:4], abs=1e-6)


def test_an_outlook_without_skill_leaves_it_to_the_readings(made: tuple[Desk, RowOutlook, Plan]) -> None:
    desk, outlook, _ = made

    class Unskilled:
        skilled = False

    dull = replace(outlook, ahead=Unskilled())  # type: ignore[arg-type]
    here = NOW.astimezone(desk.zone)
    plan = plan_of(desk, desk.diary.history("R7"), dull, now=here, unit="C", who="")
    spans = [
        (s.expected.low / NINTH, s.expected.high / NINTH, s.expected.by) for s in plan.spots if s.expected
    ]
    assert spans == [(pytest.approx(60 + n / 10), pytest.approx(60 + n / 10), "readings") for n in (1, 2, 3)]

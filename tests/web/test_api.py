"""The API: the same writes, the same answers, and all that its own OpenAPI promises."""

from uuid import uuid4

import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import load_all_checks
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi.checks import positive_data_acceptance

from turnrow.foreman.desk import Desk
from turnrow.web.app import create_app
from turnrow.web.links import row_url

load_all_checks()


def turn(**more: object) -> dict[str, object]:
    made = {"kind": "turned", "fields": {"row": "R7"}, "who": "Ada", "device": "phone", "id": str(uuid4())}
    return {**made, **more}


def test_a_write_answers_201_then_200_when_known(pages: TestClient, laid: Desk) -> None:
    entry, before = turn(happened="2026-05-20T06:10:00+01:00"), laid.diary.head
    first, again = pages.post("/api/entries", json=entry), pages.post("/api/entries", json=entry)
    assert (first.status_code, again.status_code) == (201, 200)
    line = first.json()["lines"][0]
    assert line["number"] == before + 1 and line["entry"]["what"] == {"kind": "turned", "row": "R7"}
    assert line["entry"]["happened"] == "2026-05-20T06:10:00+01:00"
    assert again.json() == {"lines": [], "known": [before + 1]}


def test_every_refusal_comes_at_once(pages: TestClient, laid: Desk) -> None:
    before = laid.diary.head
    answer = pages.post("/api/entries", json=turn(fields={"row": "R99", "passes": "x", "water": "y"}))
    assert answer.status_code == 422
    assert [one["where"] for one in answer.json()["refusals"]] == ["field row", "field passes", "field water"]
    assert laid.diary.head == before


@pytest.mark.parametrize(
    "entry",
    [turn(kind=7), turn(extra=1), {"kind": "turned"}, turn(fields={"row": 7}), turn(who=""), [], None],
)
def test_what_does_not_fit_the_shape_is_refused_the_same_way(pages: TestClient, entry: object) -> None:
    answer = pages.post("/api/entries", json=entry)
    assert answer.status_code == 422
    assert all(set(one) == {"where", "got", "do"} for one in answer.json()["refusals"])


def test_a_client_without_a_browser_may_write_json(laid: Desk) -> None:
    with TestClient(create_app(laid), base_url="http://127.0.0.1:8017") as client:
        assert client.post("/api/entries", json=turn()).status_code == 201


def test_rows_tell_where_they_stand(pages: TestClient, laid: Desk) -> None:
    standing = laid.standing("R7").standing
    row = pages.get("/api/rows/R7").json()
    assert (row["standing"]["verdict"], row["standing"]["hot_days"]) == (standing.state, standing.hot_days)
    assert row["stations"] == ["1", "2", "3"] and row["readings"] == 48
    assert [one["name"] for one in pages.get("/api/rows").json()["rows"]] == ["R7", "R8", "R9"]
    assert pages.get("/api/rows/R99").status_code == 404


def test_any_row_name_has_its_answer(hostile: TestClient) -> None:
    names = [one["name"] for one in hostile.get("/api/rows").json()["rows"]]
    assert len(names) == 9
    for name in names:
        if name not in (".", ".."):
            assert hostile.get("/api" + row_url(name)).json()["name"] == name


def test_lines_are_read_a_piece_at_a_time(pages: TestClient, laid: Desk) -> None:
    found = pages.get("/api/lines?after=3").json()
    assert found["head"] == laid.diary.head
    assert [one["number"] for one in found["lines"]] == list(range(4, laid.diary.head + 1))
    assert pages.get("/api/lines/4").json() == found["lines"][0]
    assert pages.get(f"/api/lines/{laid.diary.head + 1}").status_code == 404


def test_verify_walks_the_chain(pages: TestClient, laid: Desk) -> None:
    head = laid.book.head()
    assert pages.get("/api/verify").json() == {
        "ok": True,
        "lines": head.line,
        "head": head.seal,
        "faults": [],
    }


def test_today_gives_jobs_the_sheet_and_the_ticks(pages: TestClient, laid: Desk) -> None:
    assert pages.get("/api/today").json()["sheet"] == 0
    pages.post("/today/issue", data={"who": "Ada"})
    today = pages.get("/api/today").json()
    assert today["sheet"] == laid.diary.head and today["since"] == {"new": [], "changed": [], "gone": []}
    assert [one["key"] for one in today["advice"]]


@pytest.fixture
def contract(laid: Desk) -> schemathesis.BaseSchema:
    """Its own names, since the checker calls the server "testserver"."""
    app = create_app(laid, hosts=("testserver", "localhost", "127.0.0.1"))
    return schemathesis.openapi.from_asgi("/api/openapi.json", app)


@pytest.mark.parametrize("mode", list(GenerationMode))
def test_the_api_keeps_what_its_openapi_says(contract: schemathesis.BaseSchema, mode: GenerationMode) -> None:
    """Whether an entry fits the diary (its row is there, its numbers make sense) no schema can say, so
    an entry of the right shape may be refused: that one check is left out for writes, and for what is
    asked of an outlook in words."""
    tried = [_tried(found.ok(), mode) for found in contract.get_all_operations()]
    assert len(tried) == 10


def _tried(operation: APIOperation, mode: GenerationMode) -> str:
    worded = operation.method.upper() == "POST" or operation.path == "/api/outlook"
    left_out = [positive_data_acceptance] if worded else []

    @given(case=operation.as_strategy(generation_mode=mode))
    @settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    def kept(case: schemathesis.Case) -> None:
        case.call_and_validate(excluded_checks=left_out)

    try:
        kept()
    except Unsatisfiable:
        assert mode is GenerationMode.NEGATIVE  # nothing to send that could be wrong
    return operation.label

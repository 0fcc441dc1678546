"""What an inspector asks for is refused where it cannot be, with every reason."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from turnrow.gate.forms import entry_from
from turnrow.yard import evidence, goods
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

NOW = datetime(2026, 5, 20, 8, tzinfo=ZoneInfo("Europe/Dublin"))
LOT = {"lot": "26-01"}


@pytest.fixture
def desk(desk: Any) -> Any:
    tonnes = Amount(30_000_000, "t")
    desk.write(goods.LotMade(lot="26-01", sources=(goods.Share(row="R8", amount=tonnes),)))
    return desk


def kept(desk: Any, kind: str, **fields: str) -> Any:
    return entry_from(kind, fields, diary=desk.diary, now=NOW, who="ana").what


@pytest.mark.parametrize(
    ("kind", "fields", "where"),
    [
        ("certified", {**LOT, "name": "Ana"}, ["words"]),
        ("certified", {**LOT, "name": "Ana", "words": "I certify something else"}, ["words"]),
        ("certified", {**LOT, "name": "Ana", "words": "us-503-17", "clause": "another"}, ["clause"]),
        ("certified", {"lot": "none", "words": "us-503-17"}, ["lot", "name"]),
        ("certificate", {"issuer": "E", "words": "hot"}, ["load"]),
        ("certificate", {"issuer": "E", "words": "hot", "load": "L1", "material": "m"}, ["load"]),
        ("certificate", {"issuer": "E", "words": "hot", "load": "none"}, ["load"]),
        (
            "certificate",
            {"issuer": "E", "words": "hot", "material": "m", "issued": "2026-05-02", "until": "2026-05-01"},
            ["until"],
        ),
        ("certificate", {"issuer": "E", "words": "hot", "material": "m", "issued": "2026-06-02"}, ["issued"]),
        ("trained", {"name": "Ana", "subject": "probing", "until": "2026-05-01"}, ["until"]),
        ("cleaned", {"what": "loader"}, ["how"]),
        ("spread", {**LOT, "field": "North", "ticket": "none"}, ["ticket"]),
        ("spread", {**LOT, "field": "North", "worked_in": "2026-05-19"}, ["worked_in"]),
        (
            "spread",
            {**LOT, "field": "North", "worked_in": "2026-05-21", "harvest": "2026-05-20"},
            ["harvest"],
        ),
    ],
)
def test_what_cannot_be_is_refused(desk: Any, kind: str, fields: dict[str, str], where: list[str]) -> None:
    with pytest.raises(Refused) as caught:
        kept(desk, kind, **fields)
    assert [one.where for one in caught.value.refusals] == [f"field {one}" for one in where]


def test_the_day_it_was_spread_may_be_the_day_it_was_worked_in(desk: Any) -> None:
    found = kept(desk, "spread", **LOT, field="North", worked_in="2026-05-20", harvest="2026-05-20")
    assert isinstance(found, evidence.Spread) and found.touches_soil


def test_a_name_that_claims_heat_is_refused_where_a_row_is_built(desk: Any) -> None:
    with pytest.raises(Refused) as caught:
        kept(desk, "row built", row="W9", parts="compost of R6 (proven hot): 4 t", process="worm")
    assert [one.where for one in caught.value.refusals] == ["field parts"]

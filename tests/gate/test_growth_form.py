"""A growth test typed pot by pot: kept as counted, or refused with every reason."""

from datetime import UTC, date, datetime
from typing import Any

import pytest

from turnrow.gate.forms import entry_from
from turnrow.yard.entries import Amount
from turnrow.yard.goods import GrowthTest, LotMade, Sampled, Share
from turnrow.yard.wrongs import Refused

GOOD = {"lot": "A", "plant": "cress", "sown": "10", "up": "9, 8 10", "control_up": "10 10 9"}


@pytest.fixture
def yard(desk: Any) -> Any:
    desk.write(LotMade(lot="A", sources=(Share(row="R7"),)))
    desk.write(Sampled(sample="S1", lot="A"), datetime(2026, 5, 20, 10, tzinfo=UTC))
    return desk


def write(yard: Any, **fields: str) -> GrowthTest:
    now = datetime(2026, 6, 2, 8, tzinfo=UTC)
    what = entry_from("growth-test", fields, diary=yard.diary, now=now, who="ana").what
    assert isinstance(what, GrowthTest)
    return what


def test_counts_weights_and_leaves_as_typed(yard: Any) -> None:
    found = write(
        yard, **GOOD, weights="12,5 11 13 g", control_weights="13; 12.5; 14 g", abnormal="2",
        leaves="cupped or twisted", grown="14", mix="one in four", sampled="2026-05-20",
    )  # fmt: skip
    assert (found.up, found.control_up, found.sown) == ((9, 8, 10), (10, 10, 9), 10)
    assert found.weights[0] == Amount(12_500_000, "g") and found.control_weights[2] == Amount(14_000_000, "g")
    assert found.abnormal == 2 and found.leaves == "cupped or twisted" and found.sampled == date(2026, 5, 20)


def test_what_was_not_looked_at_is_not_nothing(yard: Any) -> None:
    """No count of odd plants is not a count of none."""
    found = write(yard, **GOOD)
    assert found.abnormal is None and found.leaves == "not looked at" and found.weights == ()
    assert write(yard, **GOOD, abnormal="0").abnormal == 0


@pytest.mark.parametrize(
    ("fields", "where", "says"),
    [
        ({"up": "11 8 10"}, "up", "0 to the 10 sown"),
        ({"up": "9.5 8 10"}, "up", "whole number"),
        ({"up": ""}, "up", "9 8 10"),
        ({"up": " ".join(["9"] * 61)}, "up", "60 at most"),
        ({"control_up": "0 0 0"}, "control_up", "sow the test again"),
        ({"sown": "0"}, "sown", "whole number from 1"),
        ({"weights": "12 11 13 g"}, "control_weights", "compost and control alike"),
        ({"weights": "12 11 g", "control_weights": "12 11 13 g"}, "weights", "each of the 3 pots"),
        ({"weights": "12 11 13", "control_weights": "12 11 13 g"}, "weights", "Write the unit"),
        ({"weights": "12 11 13 m3", "control_weights": "12 11 13 g"}, "weights", "kg, g or lb"),
        ({"leaves": "funny"}, "leaves", "cupped or twisted"),
        ({"abnormal": "-1"}, "abnormal", "whole number from 0"),
        ({"plant": ""}, "plant", "what was sown"),
        ({"row": "R7"}, "lot", "just one of sample, row, lot"),
        ({"lot": ""}, "lot", "just one of sample, row, lot"),
        ({"lot": "", "sample": "S9"}, "sample", "Did you mean S1"),
        ({"lot": "B"}, "lot", "No such lot"),
        ({"sampled": "2026-06-09"}, "sampled", "not older than its sample"),
        ({"lot": "", "sample": "S1", "happened": "2026-05-10"}, "happened", "took it later"),
    ],
)
def test_what_cannot_be_is_refused(yard: Any, fields: dict[str, str], where: str, says: str) -> None:
    with pytest.raises(Refused) as caught:
        write(yard, **{**GOOD, **fields})
    said = [(one.where, one.do) for one in caught.value.refusals]
    assert any(at == f"field {where}" and says in do for at, do in said), said


def test_every_reason_at_once(yard: Any) -> None:
    with pytest.raises(Refused) as caught:
        write(yard, lot="B", plant="", sown="10", up="11", control_up="x", leaves="odd")
    assert {one.where for one in caught.value.refusals} >= {
        "field lot", "field plant", "field up", "field control_up", "field leaves",
    }  # fmt: skip

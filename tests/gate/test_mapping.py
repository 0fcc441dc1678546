"""A mapping reads any logger's columns, and a file without one is told which to write."""

from typing import Any

import pytest

from turnrow.gate.mapping import EXAMPLE, mapping_from
from turnrow.yard.wrongs import Refused

from .readings_file import read, refused, values, wide

# ---- mappings


def test_the_example_reads_the_file_it_describes() -> None:
    mapping = mapping_from(EXAMPLE)
    text = (
        "datetime,core_C,event\n2026-05-03T07:40,54.9,turned + water added\n2026-05-03T08:40,50,opened lid\n"
    )
    found = read(text, mapping)
    assert values(found) == ["54.9", "50"] and found.rows["R7"].depth.tolist() == [600, 600]
    assert [(h.kind, h.text) for h in found.happenings] == [
        ("turned", "turned + water added"), ("watered", "turned + water added"), ("note", "opened lid"),
    ]  # fmt: skip


def test_a_file_of_other_columns_is_refused_with_the_mapping_to_paste() -> None:
    text = "datetime,core_C,event,outside_C\n2026-05-03T07:40,54.9,turned,9\n2026-05-03T08:40,50,,9\n"
    (wrong,) = refused(text)
    found = read(text, mapping_from(wrong.do.split("\n\n", 1)[1]))
    assert values(found) == ["54.9", "50"] and found.rows["R7"].stations == ("core",)
    assert [h.kind for h in found.happenings] == ["turned"]
    assert found.notices == ("passed over: outside_C.",)


def test_what_the_file_does_not_say_is_left_open_in_the_suggestion() -> None:
    """A unit or a first day is never filled in for the person."""
    (wrong,) = refused("when,core\n2026-05-03,54\n")
    snippet = wrong.do.split("\n\n", 1)[1]
    (unit,) = refused("when,core\n2026-05-03,54\n", mapping_from(snippet))
    assert "unit" in unit.do
    (other,) = refused("day,temp_C\n1,54\n")
    (day,) = refused("day,temp_C\n1,54\n", mapping_from(other.do.split("\n\n", 1)[1]))
    assert "day_one" in day.do


def test_several_columns_are_several_stations() -> None:
    mapping = wide(
        reading=[{"column": "a", "station": "1", "unit": "C"}, {"column": "b", "station": "2", "unit": "F"}]
    )
    found = read("when,a,b\n2026-05-03T07:40,55,131\n", mapping)
    assert found.rows["R7"].stations == ("1", "2") and found.rows["R7"].unit.tolist() == [0, 1]


def test_a_remark_nobody_explained_is_refused_once() -> None:
    (wrong,) = refused(
        "when,core,ev\n2026-05-03,55,sunny\n2026-05-04,55,sunny\n", wide(event={"column": "ev"})
    )
    assert wrong.where == "row 2, column ev" and "turned" in wrong.do


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"time": {}}, "[time]"), ({"time": {"column": "x", "format": "%Q"}}, "format"),
        ({"time": {"column": "x", "format": "%H:%M"}}, "format"), ({"reading": []}, "the mapping"),
        ({"zone": "Mars/Base"}, "zone"), ({"decimals": 9}, "decimals"), ({"skip_rows": -1}, "skip_rows"),
        ({"row": "a", "row_column": "b"}, "the mapping"), ({"colour": 1}, "the mapping"),
        ({"decimal": 3}, "the mapping"),
        ({"time": {"day_column": "d"}}, "day_one"), ({"time": {"column": ["a", "b", "c"]}}, "column"),
    ],
)  # fmt: skip
def test_a_mapping_that_cannot_be_followed(change: dict[str, Any], where: str) -> None:
    assert any(where in wrong.where for wrong in refused("when,core\n2026-05-03,55\n", wide(**change)))


def test_a_mapping_that_is_no_toml_and_one_that_names_no_column() -> None:
    with pytest.raises(Refused):
        mapping_from("[time\n")
    (wrong,) = refused("when,kern\n2026-05-03,55\n", wide())
    assert "no column core" in wrong.got and "kern" in wrong.do


def test_rows_above_the_headings_and_an_old_encoding() -> None:
    text = "logger 5\nserial 9\nwhen,core °C\n2026-05-03,55\n".encode("cp1252")
    assert "cp1252" in refused(text)[0].do
    assert refused(text)[0].got.startswith("'°C")
    mapping = wide(skip_rows=2, encoding="cp1252", reading=[{"column": "core °C", "unit": "C"}])
    found = read(text, mapping)
    assert values(found) == ["55"] and found.rows["R7"].item.tolist() == [4]

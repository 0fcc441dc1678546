"""TOML that is none is refused by line and column, at every door that takes it; times without seconds."""

from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from turnrow.gate.heap_described import read_described
from turnrow.gate.heap_file import read_heap
from turnrow.gate.mapping import mapping_from
from turnrow.gate.recipe_values import of_toml
from turnrow.gate.toml_file import LARGEST, toml_of
from turnrow.yard.wrongs import Refusal, Refused

DUBLIN = ZoneInfo("Europe/Dublin")
DOORS: dict[str, Callable[[bytes], object]] = {
    "a described heap": lambda data: read_described(data, "f.toml", DUBLIN),
    "a heap": lambda data: read_heap(data, "f.toml"),
    "a mapping": lambda data: mapping_from(data.decode(), "f.toml"),
    "a recipe": lambda data: of_toml(data, "f.toml", "blend"),
}


def refused(read: Callable[[bytes], object], data: bytes) -> tuple[Refusal, ...]:
    with pytest.raises(Refused) as caught:
        read(data)
    return caught.value.refusals


@pytest.mark.parametrize("door", DOORS)
def test_line_and_column_are_told(door: str) -> None:
    (wrong,) = refused(DOORS[door], b"a = 1\nb = 4,2\n")
    assert wrong.where == "f.toml, line 2, column 6" and "b = 4,2" in wrong.got and wrong.do
    (wrong,) = refused(DOORS[door], b"[heap\n")
    assert wrong.where == "f.toml, line 1, column 6"
    (wrong,) = refused(DOORS[door], b"a = [1,\n")
    assert wrong.where == "f.toml, at its end"


def test_bytes_that_are_no_text_and_files_too_large_are_refused() -> None:
    (wrong,) = refused(lambda data: toml_of(data, "f.toml", "Write TOML."), b"a = 1\nb = '\xe9'\n")
    assert wrong.where == "f.toml, line 2" and "UTF-8" in wrong.do
    (wrong,) = refused(lambda data: toml_of(data, "f.toml", "Write TOML."), b" " * (LARGEST + 1))
    assert "bytes" in wrong.got


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("2026-05-03", "2026-05-02T23:00"),
        ('"2026-05-03"', "2026-05-02T23:00"),
        ("2026-05-03T07:40", "2026-05-03T06:40"),
        ("2026-05-03 07:40  # in the morning", "2026-05-03T06:40"),
        ('"2026-05-03T07:40"', "2026-05-03T06:40"),
        ('"2026-05-03 07:40:30"', "2026-05-03T06:40:30"),
        ("2026-05-03T07:40Z", "2026-05-03T07:40"),
        ("2026-05-03T07:40+02:00", "2026-05-03T05:40"),
        ('"2026-05-03T07:40+02:00"', "2026-05-03T05:40"),
    ],
)
def test_a_heap_was_built_on_a_day_or_at_a_time_with_quotes_or_without(said: str, at: str) -> None:
    found = read_described(f"base_m = 4\nbuilt = {said}\n".encode(), "h.toml", DUBLIN).built
    assert found is not None and datetime.fromtimestamp(found, UTC) == datetime.fromisoformat(at + "+00:00")


@pytest.mark.parametrize("said", ['"soon"', "20260503", "true", '"2026-13-03"', '""', "07:40:00"])
def test_what_is_no_day_and_no_time_is_refused(said: str) -> None:
    (wrong,) = refused(DOORS["a described heap"], f"built = {said}\n".encode())
    assert wrong.where == "built"


def test_a_table_of_the_material_is_used_and_its_other_keys_are_named() -> None:
    text = b"[heap]\nbase_m = 4\nkind = 'row'\n[material]\n"
    text += b"moisture_pct = 55\ncn = 30\ncn_sd = 2\nsmell = 'sweet'\n"
    found = read_described(text, "h.toml", DUBLIN)
    assert found.blend.moisture is not None and round(found.blend.moisture.value, 9) == 0.55
    assert found.blend.cn is not None and (found.blend.cn.value, found.blend.cn.sd) == (30.0, 2.0)
    assert found.notices == ("h.toml: passed over: kind, smell.",)


def test_a_material_by_name_is_told_as_passed_over() -> None:
    assert read_described(b"base_m = 4\nmaterial = 'straw'\n", "h.toml", DUBLIN).notices == (
        "h.toml: passed over: material.",
    )


def test_a_key_that_stands_twice_is_refused() -> None:
    (wrong,) = refused(DOORS["a described heap"], b"cn = 20\n[material]\ncn = 30\n")
    assert wrong.where == "material.cn" and "twice" in wrong.do

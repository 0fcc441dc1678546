"""What `import turnrow` gives: light until used, the answers that commands give, frames with their units."""

import doctest
import importlib
import json
import subprocess
import sys
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import polars as pl
import pytest
from typer.testing import CliRunner

import turnrow as tr
from turnrow.api.shown import html
from turnrow.cli import blend as blend_command
from turnrow.cli import heat, prove
from turnrow.cli.door import app

MODULES = ("judging", "readings", "recipes", "simulating", "yards")
DUBLIN = ZoneInfo("Europe/Dublin")


def typed(*words: str) -> dict:
    done = CliRunner().invoke(app, [*words, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_docstrings_run(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"turnrow.api.{name}"))
    assert found.failed == 0


def test_some_docstrings_have_examples() -> None:
    tried = [doctest.testmod(importlib.import_module(f"turnrow.api.{name}")).attempted for name in MODULES]
    assert sum(tried) >= 6


def test_importing_the_package_loads_nothing_heavy() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys, turnrow; print(*sorted(sys.modules))"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert not {"numpy", "polars", "numba", "sqlite3"} & set(done.stdout.split())


@pytest.mark.parametrize("name", tr.__all__)
def test_every_name_is_there_and_in_the_docs(name: str) -> None:
    assert getattr(tr, name).__doc__
    assert name in dir(tr)
    page = (Path(__file__).parents[2] / "docs" / "python.md").read_text("utf-8")
    assert f"`{name}`" in page or f"tr.{name}" in page


def test_a_name_that_is_not_there_says_so() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        tr.nothing  # noqa: B018


def test_degrees_are_exact_and_moments_in_the_zone() -> None:
    """131 °F is 55 °C exactly ((131 - 32) x 5/9, NIST SP 811 B.8)."""
    data = (
        b"at,station,depth_cm,value,unit\n2026-07-01T23:30:00Z,A,60,131,F\n2026-07-03T08:00:00Z,A,,328.15,K\n"
    )
    found = tr.read_readings(data, zone="Europe/Dublin")
    assert found.frame["celsius"].to_list() == [55.0, 55.0]
    assert found.frame["at"][0] == datetime(2026, 7, 2, 0, 30, tzinfo=DUBLIN)  # Irish summer time
    assert found.frame["day"].to_list() == [date(2026, 7, 2), date(2026, 7, 3)]
    assert found.frame["depth_cm"].to_list() == [60.0, None]
    assert found.frame["value"].to_list() == [131.0, 328.15]


class Arrow:
    """A table of another library, known by Arrow's C stream alone."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object:
        return self._frame.__arrow_c_stream__(requested_schema)


@pytest.mark.parametrize("as_given", [lambda frame: frame, Arrow], ids=["polars", "arrow"])
def test_a_data_frame_is_read_as_a_file_is(as_given) -> None:
    start = datetime(2026, 5, 1, 7, tzinfo=DUBLIN)
    frame = pl.DataFrame(
        {"at": [start + timedelta(days=n) for n in range(4)], "value": [56.5, 57.0, 60.0, 55.0], "unit": "C"}
    )
    found = tr.read_readings(as_given(frame), zone="Europe/Dublin")
    assert found.frame["celsius"].to_list() == [56.5, 57.0, 60.0, 55.0]
    assert pl.DataFrame(found).equals(found.frame)  # and back, by the same stream


def test_rows_of_a_file_are_told_apart(tmp_path: Path) -> None:
    file = tmp_path / "two.csv"
    file.write_text("at,row,value,unit\n2026-05-01,R1,50,C\n2026-05-01,R2,60,C\n")
    assert list(tr.read_rows(file)) == ["R1", "R2"]
    assert tr.read_readings(str(file), row="R2").frame["value"].to_list() == [60.0]
    with pytest.raises(tr.Refused, match="R1, R2"):
        tr.read_readings(file)
    with pytest.raises(tr.Refused, match="R1, R2"):
        tr.read_readings(file, row="R3")


@pytest.mark.parametrize("source", [3, None, Path("nowhere.csv"), b"at,value,unit\n2026-05-01,hot,C\n"])
def test_what_cannot_be_read_is_refused(source: object) -> None:
    with pytest.raises(tr.Refused):
        tr.read_readings(source)


def windrow(days: int, turned: int, low: str = "55") -> tr.Judgement:
    """An invented windrow read once a day, turned on the first days."""
    start = date(2026, 5, 1)
    rows = [f"{start + timedelta(days=n)},1,{low},C" for n in range(days)]
    readings = tr.read_readings("\n".join(["at,station,value,unit", *rows]).encode())
    turns = [start + timedelta(days=2 * n) for n in range(turned)]
    return tr.judge(readings, "US-503-PFRP-WINDROW", turns=turns)


def test_the_windrow_clause_is_met_exactly_at_its_numbers() -> None:
    """40 CFR 503 appendix B, B.1: 55 degrees or more for 15 days or longer, at least five turnings (READ)."""
    assert windrow(15, 5).verdict == "PASS"
    assert windrow(14, 5).verdict != "PASS"
    assert windrow(15, 4).verdict != "PASS"
    assert windrow(15, 5, "54.9").verdict != "PASS"
    found = windrow(15, 5)
    assert (found.hot_days, found.turns_counted, found.days_needed, found.turns_needed) == (15, 5, 15, 5)
    assert found.days.filter(pl.col("hot")).height == 15
    assert "<svg" in found.picture


def test_a_judgement_is_what_the_command_says(tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(prove.EXAMPLE)
    for rule in tr.rules()["rule"]:
        said = typed("prove", str(file), "--rule", rule)
        found = tr.judge(tr.read_readings(file), rule)
        assert (found.verdict, found.hot_days, found.turns_counted) == (
            said["verdict"], said["hot_days"], said["turns_counted"],
        )  # fmt: skip
        assert list(found.because) == said["because"]
        assert len(found.days) == 0 or set(found.days.columns) >= {"coldest", "hot"}


def test_a_rule_or_policy_that_is_not_there_is_refused() -> None:
    readings = tr.read_readings(b"at,value,unit\n2026-05-01,50,C\n")
    with pytest.raises(tr.Refused, match="turnrow"):
        tr.judge(readings, "US-NOTHING")
    with pytest.raises(tr.Refused):
        tr.judge(readings, "US-503-PFRP-WINDROW", policies={"continuity": "sometimes"})


def test_a_recipe_and_a_heap_are_what_the_commands_say(tmp_path: Path) -> None:
    recipe, heap = tmp_path / "mix.toml", tmp_path / "heap.toml"
    recipe.write_text(blend_command.EXAMPLE)
    heap.write_text(heat.EXAMPLE.replace("days = 60", "days = 12").split("[[event]]")[0])
    mixed, run = tr.recipe(recipe), tr.simulate(heap.read_text())
    assert json.loads(json.dumps(mixed.answer)) == typed("blend", str(recipe))
    assert run.answer == typed("heat", str(heap))
    assert run.frame.height == 12 * 24 + 1
    assert mixed.frame["tonnes"].sum() + mixed.answer["water_t"] == pytest.approx(mixed.answer["total_t"])


def test_a_yards_frames_hold_its_diary(tmp_path: Path) -> None:
    where = str(tmp_path / "yard.journal")
    typed("new", where, "--name", "Larkhill, invented", "--zone", "Europe/Dublin")
    lot = ("lot=26-04", "sources=row R7: 20 t", "amount=20 t", "moisture=41 %", "happened=2026-06-03")
    for words in (
        ("row-built", "row=R7", "length=40 m", "width=4 m", "height=1.8 m", "happened=2026-05-03T07:40"),
        ("round", "row=R7", "unit=F", "station.1=131", "station.2=140", "happened=2026-05-04T07:40"),
        ("turned", "row=R7", "happened=2026-05-05T09:00"),
        ("lot-made", *lot),
    ):  # fmt: skip
        typed("write", *words, "--yard", where)
    with tr.open_yard(where) as yard:
        assert yard.name == "Larkhill, invented"
        assert yard.rows.select("row", "readings", "turns", "built").rows() == [
            ("R7", 2, 1, date(2026, 5, 3))
        ]
        assert yard.readings.select("row", "celsius").rows() == [("R7", 55.0), ("R7", 60.0)]
        assert yard.lots.select("lot", "moisture_pct", "released").rows() == [("26-04", 41.0, "")]
        assert yard.lots["tonnes"].to_list() == pytest.approx([20.0])
        assert yard.table("turns")["row"].to_list() == ["R7"]
        assert set(yard.tables) >= {"turns", "readings", "lots"}
        with pytest.raises(tr.Refused, match="Give one of"):
            yard.table("nothing")
        assert "R7" in yard._repr_html_()


def test_a_frame_of_an_empty_yard_is_empty(tmp_path: Path) -> None:
    where = str(tmp_path / "yard.journal")
    typed("new", where, "--name", "Larkhill, invented", "--zone", "Europe/Dublin")
    with tr.open_yard(where) as yard:
        assert (yard.rows.height, yard.lots.height, yard.readings.height) == (0, 0, 0)
        assert yard.rows.columns[0] == "row"


def test_what_a_notebook_shows_escapes_what_was_typed() -> None:
    assert "<b>" not in html("<b>", ["<b>"], [("<b>", "<b>")])


def test_the_page_of_docs_runs() -> None:
    page = Path(__file__).parents[2] / "docs" / "python.md"
    found = doctest.testfile(str(page), module_relative=False, encoding="utf-8")
    assert found.failed == 0 and found.attempted > 12

"""`turnrow heat`: its example runs, its object is whole, what is wrong is told. The row is invented."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app
from turnrow.gate.heap_file import AIR, COLUMNS, EVENT, SHAPE
from turnrow.heap.run import KINDS


def run(*options: str) -> Result:
    return CliRunner().invoke(app, ["heat", *options])


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Any:
    file = tmp_path_factory.mktemp("heat") / "row.toml"
    file.write_text(run("--example").stdout, "utf-8")
    done = run(str(file), "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_example_gives_hourly_series_by_depth(found: Any) -> None:
    assert len(found["hours"]) == 60 * 24 + 1
    assert list(found["temp_c_by_depth_cm"]) == ["30", "60", "90"]
    for series in (
        *found["temp_c_by_depth_cm"].values(),
        found["moisture_pct"],
        found["cn"],
        *found["lost"].values(),
    ):
        assert len(series) == len(found["hours"])


def test_the_balances_are_printed_and_close(found: Any) -> None:
    assert set(found["closure"]) == {"dry", "water", "nitrogen", "oxygen", "energy", "tie"}
    assert max(abs(value) for value in found["closure"].values()) < 1e-9


def test_a_row_that_gets_hotter_than_the_limit_says_so_with_a_caution(tmp_path: Path) -> None:
    file = tmp_path / "hotter.toml"
    file.write_text(run("--example").stdout.replace("# [parameters]", "[parameters]\nhot = 68"), "utf-8")
    found = json.loads(run(str(file), "--json").stdout)
    assert max(found["temp_c_by_depth_cm"]["90"]) > 71.0
    assert any("71 °C" in text for text in found["warnings"])
    assert "fire" in found["caution"]


def test_the_example_names_every_key() -> None:
    said = run("--example").stdout
    keys = (*SHAPE, *AIR, *EVENT, *COLUMNS, "days", "depths_cm", "covered", "file", "parameters", *KINDS)
    assert [key for key in keys if key not in said] == []


def test_people_get_a_day_a_line(tmp_path: Path) -> None:
    file = tmp_path / "row.toml"
    file.write_text("days = 3\n", "utf-8")
    done = run(str(file))
    assert done.exit_code == 0
    assert done.stdout.splitlines()[1].startswith("0 ")
    assert "balances miss" in done.stdout


def test_hourly_weather_lies_beside_the_heaps_file(tmp_path: Path) -> None:
    (tmp_path / "air.csv").write_text("air_c\n" + "5\n" * 25, "utf-8")
    file = tmp_path / "row.toml"
    file.write_text('days = 1\n[air]\nfile = "air.csv"\n', "utf-8")
    assert json.loads(run(str(file), "--json").stdout)["air_c"] == [5.0] * 25


@pytest.mark.parametrize(
    "text", ["[heap]\nmoisture_pct = 140", "depths_cm = [300]", '[air]\nfile = "none.csv"', "days = ["]
)
def test_what_is_wrong_is_told_with_exit_code_2(tmp_path: Path, text: str) -> None:
    file = tmp_path / "row.toml"
    file.write_text(text, "utf-8")
    done = run(str(file), "--json")
    assert done.exit_code == 2
    assert json.loads(done.stdout)["refusals"]


def test_no_file_at_all_is_told() -> None:
    assert run("--json").exit_code == 2

"""`turnrow blend`: the keys of its answer, the example, what is refused, and a clean stdout."""

import json
import math
import subprocess
import sys
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app

KEYS = {"status", "loads", "mass_t", "water_t", "mix", "cost", "chance", "warnings", "why"}
MIX = {"moisture_pct", "cn", "bulk_density_kg_m3", "fas_pct", "fas_pct_conservative"}
CHANCE = {"moisture", "cn", "fas", "bulk_density", "joint"}
HOPELESS = """
total_t = 3
[targets]
cn = [30, 30]
moisture_pct = [60, 60]
[[ingredient]]
name = "manure"
moisture_pct = 81
n_pct_dry = 2.4
cn = 19
at_least_t = 1
[[ingredient]]
name = "wheat straw, chopped"
moisture_pct = 12
n_pct_dry = 0.7
cn = 80
[[ingredient]]
name = "sawdust of pine"
moisture_pct = 39
c_pct_dry = 50
cn = 442
"""


def run(*options: str) -> Result:
    return CliRunner().invoke(app, ["blend", *options])


@pytest.fixture
def example(tmp_path: Path) -> str:
    path = tmp_path / "example.toml"
    path.write_text(run("--example").stdout, "utf-8")
    return str(path)


def answer(path: str, *options: str) -> Any:
    done = run(path, "--json", *options)
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_example_runs_and_has_every_key(example: str) -> None:
    found = answer(example)
    assert set(found) >= KEYS and set(found["mix"]) == MIX and set(found["chance"]) == CHANCE
    assert found["status"] == "optimal"
    assert found["chance"]["joint"] >= 0.8
    assert 50 <= found["mix"]["moisture_pct"] <= 64
    assert sum(found["mass_t"].values()) >= 40
    assert any("typical values" in one for one in found["warnings"])
    assert found["row_length_m"] == pytest.approx(found["volume_m3"] / 4.2)
    loads: dict[str, int] = {}
    for one in found["layers"]:
        loads[one["ingredient"]] = loads.get(one["ingredient"], 0) + one["loads"] * one["times"]
    assert loads == {name: n for name, n in found["loads"].items() if n}


def test_the_same_seed_gives_the_same_answer(example: str) -> None:
    assert answer(example, "--seed", "4") == answer(example, "--seed", "4")


def test_people_get_a_table(example: str) -> None:
    done = run(example)
    assert done.exit_code == 0
    for word in ("optimal", "moisture", "air space, on the safe side", "row length", "cow manure"):
        assert word in done.stdout


def test_what_cannot_be_is_explained_with_what_would_mend_it(tmp_path: Path) -> None:
    path = tmp_path / "r.toml"
    path.write_text(HOPELESS, "utf-8")
    found = answer(str(path))
    assert found["status"] == "infeasible"
    assert found["loads"] == {} and found["cost"] is None
    assert found["conflict"] == ["moisture exactly 60 %", "C:N exactly 30"]
    assert "cannot hold together" in found["why"]
    bought = found["purchases"][0]
    assert bought["ingredient"] in found["why"] and bought["t"] > 0
    more = f'[[ingredient]]\nname = "{bought["ingredient"]}"\nstock_t = {bought["t"] * 1.000001}\n'
    path.write_text(HOPELESS + more, "utf-8")
    assert answer(str(path))["status"] == "optimal"


def test_sixty_ingredients_are_answered(tmp_path: Path) -> None:
    parts = "".join(
        f'[[ingredient]]\nname = "m{i}"\nmoisture_pct = {20 + i}\n'
        f"n_pct_dry = {0.5 + i / 30}\nc_pct_dry = 45\n"
        f"bulk_density_kg_m3 = {200 + 10 * i}\nload_m3 = 3\nloads = [0, 9]\ncost_per_t = {70 - i}\n"
        for i in range(60)
    )
    path = tmp_path / "r.toml"
    path.write_text("total_t = 20\n[targets]\ncn = [25, 35]\nmoisture_pct = [50, 60]\n" + parts, "utf-8")
    found = answer(str(path))
    assert found["status"] in ("optimal", "limit")
    assert 25 <= found["mix"]["cn"] <= 35
    assert found["status"] == "optimal" or found["why"]


def test_refusals_exit_2_all_at_once(tmp_path: Path) -> None:
    path = tmp_path / "r.toml"
    path.write_text(HOPELESS.replace("81", "181").replace("cn = [30, 30]", "cn = [31, 30]"), "utf-8")
    done = run(str(path), "--json")
    assert done.exit_code == 2
    assert len(json.loads(done.stdout)["refusals"]) == 2
    assert run("--json").exit_code == 2
    assert run(str(tmp_path / "none.toml")).exit_code == 2


def test_nothing_but_the_answer_is_printed_by_a_fresh_process(example: str) -> None:
    """HiGHS prints a banner on the first run of a process, past sys.stdout."""
    program = "from turnrow.cli.door import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program, "blend", example, "--json"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.count("\n") == 1
    assert json.loads(done.stdout)["status"] == "optimal"
    assert "HiGHS" not in done.stderr


def test_the_recipe_is_printed_and_the_same_twice(example: str, tmp_path: Path) -> None:
    made = [tmp_path / name for name in ("one.pdf", "two.pdf")]
    for path in made:
        assert run(example, "--paper", str(path)).exit_code == 0
    first, second = (path.read_bytes() for path in made)
    assert first.startswith(b"%PDF") and first == second


@pytest.mark.parametrize("name", ["recipe.txt", "nowhere/recipe.pdf"])
def test_a_paper_that_cannot_be_is_refused_before_anything_is_sought(
    example: str, tmp_path: Path, name: str
) -> None:
    done = run(example, "--json", "--paper", str(tmp_path / name))
    assert done.exit_code == 2
    assert json.loads(done.stdout)["refusals"][0]["where"] == "--paper"
    assert list(tmp_path.rglob("*.pdf")) == []


TWO = """
total_t = 1
confidence = CHANCE
water = "never"
[targets]
moisture_pct = [0, 65]
[[ingredient]]
name = "solids"
moisture_pct = 80
n_pct_dry = 2.4
cn = 19
bulk_density_kg_m3 = 1000
load_m3 = 2
loads = [10, 10]
sd_lot = { moisture_pct = 3 }
[[ingredient]]
name = "stalks"
moisture_pct = 15
n_pct_dry = 0.7
cn = 70
bulk_density_kg_m3 = 100
load_m3 = 5
loads = [0, 60]
cost_per_t = 40
sd_lot = { moisture_pct = 4 }
"""


@pytest.mark.parametrize("chance", [0.6, 0.8, 0.9, 0.95, 0.99])
def test_a_chance_with_an_optimum_known_by_pencil(chance: float, tmp_path: Path) -> None:
    """Ten loads of 2 t at 80 % and k of 0.5 t at 15 %, masses known, so the water is normal: the least k with
    (65 % of the mass - mean water) / deviation of the water at or above the normal quantile."""
    by_pencil = NormalDist().inv_cdf(chance)

    def inside(k: int) -> float:
        return (0.65 * (20 + 0.5 * k) - 16 - 0.075 * k) / math.hypot(20 * 0.03, 0.5 * k * 0.04)

    least = next(k for k in range(61) if inside(k) >= by_pencil)
    path = tmp_path / "two.toml"
    path.write_text(TWO.replace("CHANCE", str(chance)), "utf-8")
    found = answer(str(path))
    assert found["status"] == "optimal" and found["loads"] == {"solids": 10, "stalks": least}
    assert found["cost"] == pytest.approx(20.0 * least)
    share = NormalDist().cdf(inside(least))
    noise = 4 * math.sqrt(share * (1 - share) / found["draws"])
    assert found["chance"]["joint"] == pytest.approx(share, abs=noise)

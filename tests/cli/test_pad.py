"""`turnrow pad` and `turnrow pond` as people type them."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from turnrow.cli.door import app

LOTS = """
[storm]
rain_mm = 60
[[surface]]
name = "rows"
area_m2 = 4000
cn = 75
[[surface]]
name = "paved"
area_m2 = 6000
cn = 98
"""
BOX = "[pond]\nbottom_width_m = 10\nbottom_length_m = 20\nside_slope = 0\n"
ROW = "[row]\nbase_m = 4.3\nheight_m = 1.8\nlength_m = 80\n[lanes]\nlane_m = 4.5\nheadland_m = 10\n"
FLOW = "[flow]\nyear_t = 5000\nbulk_density_kg_m3 = 550\nactive_days = 70\n"


def typed(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def asked(tmp_path: Path, command: str, text: str) -> dict[str, Any]:
    file = tmp_path / "a.toml"
    file.write_text(text)
    done = typed(command, str(file), "--json")
    assert done.exit_code == 0 and done.stdout.count("\n") == 1, done.stdout
    return json.loads(done.stdout)


@pytest.mark.parametrize(
    ("command", "words"),
    [("pond", ("row pad", "in all", "least depth", "Mar")), ("pad", ("active", "free: 2"))],
)
def test_the_example_runs_both_ways(tmp_path: Path, command: str, words: tuple[str, ...]) -> None:
    file = tmp_path / "a.toml"
    file.write_text(typed(command, "--example").stdout)
    people, machine = typed(command, str(file)), typed(command, str(file), "--json")
    assert people.exit_code == 0 and all(word in people.stdout for word in words)
    assert "licensed engineer" in people.stdout
    assert json.loads(machine.stdout)["cautions"]


@pytest.mark.parametrize("command", ["pad", "pond"])
def test_a_bad_file_is_refused_whole(tmp_path: Path, command: str) -> None:
    file = tmp_path / "a.toml"
    file.write_text("[flow]\nyear_t = -1\n[storm]\n[pond]\nside_slope = -1\n")
    done = typed(command, str(file), "--json")
    assert done.exit_code == 2 and len(json.loads(done.stdout)["refusals"]) >= 4
    assert typed(command).exit_code == 2 and typed(command, str(tmp_path / "no.toml")).exit_code == 2


def test_runoff_is_of_each_surface_and_one_weighted_number_stands_beside_it(tmp_path: Path) -> None:
    """383.3 m3 by parts, 335.4 m3 by one number of 88.8: 14.5 and 54.2 mm worked by hand."""
    found = asked(tmp_path, "pond", LOTS)
    assert [one["runoff_mm"] for one in found["surfaces"]] == pytest.approx([14.52, 54.20], abs=0.005)
    assert found["runoff_m3"] == pytest.approx(383.3, abs=0.05)
    assert (found["weighted_cn"], found["weighted_runoff_m3"]) == pytest.approx((88.8, 335.4), abs=0.05)
    assert any("differ by 23" in one and "48 m3 (12 %) less" in one for one in found["warnings"])
    alike = asked(tmp_path, "pond", LOTS.replace("75", "94"))
    assert not any("differ by" in one for one in alike["warnings"])


def test_acres_and_inches_say_the_same(tmp_path: Path) -> None:
    si = asked(tmp_path, "pond", LOTS)
    us = asked(tmp_path, "pond", LOTS.replace("area_m2 = 4000", "area_ac = 0.9884215258686926")
               .replace("area_m2 = 6000", "area_ft2 = 64583.46250066733")
               .replace("rain_mm = 60", "rain_in = 2.362204724409449"))  # fmt: skip
    assert us["runoff_m3"] == pytest.approx(si["runoff_m3"], rel=1e-5)
    assert us["runoff_ac_ft"] * 1233.48 == pytest.approx(si["runoff_m3"], rel=1e-4)


def test_a_pond_too_shallow_is_an_answer(tmp_path: Path) -> None:
    """A box of 200 m2: 383.3 m3 are 1.916 m, 60 mm fall on it, 0.3 m stay free: 2.276 m."""
    found = asked(tmp_path, "pond", LOTS + BOX + "depth_m = 2\n")
    assert found["storage"]["least_depth_m"] == pytest.approx(2.276, abs=5e-4)
    assert found["storage"]["deep_enough"] is False and found["storage"]["room_m3"] == 340.0
    assert any("must be 2.28 m" in one for one in found["warnings"])
    enough = asked(tmp_path, "pond", LOTS + BOX + "depth_m = 2.28\n")
    assert enough["storage"]["deep_enough"] is True
    unsaid = asked(tmp_path, "pond", LOTS + BOX)
    assert unsaid["storage"]["deep_enough"] is None
    assert unsaid["storage"]["least_depth_m"] == found["storage"]["least_depth_m"]


def test_a_season_is_held_beside_the_storm(tmp_path: Path) -> None:
    """100 mm on a hectare are 1000 m3, on 200 m2 less 40 mm of evaporation 12 m3; 30 m3 of solids."""
    text = LOTS + BOX + "[storage]\nrain_mm = 100\nevaporation_mm = 40\nsolids_m3 = 30\n"
    parts = asked(tmp_path, "pond", text)["storage"]["parts_m3"]
    assert parts["runoff"] == pytest.approx(1000) and parts["rain on the pond"] == pytest.approx(12)
    assert not any("No storm" in one for one in asked(tmp_path, "pond", text)["warnings"])
    calm = asked(tmp_path, "pond", text.replace("[storm]\nrain_mm = 60\n", ""))
    assert any("No storm is held" in one for one in calm["warnings"])
    told = asked(tmp_path, "pond", text + "runoff_m3 = 80\n")
    assert told["storage"]["parts_m3"]["runoff"] == 80 and told["storage"]["parts_m3"]["solids"] == 30


def test_months_and_days_take_runoff_by_their_own_ways(tmp_path: Path) -> None:
    """A month's rain runs off whole; a day's 60 mm by curve number, 383.3 m3; 11.5 m3 fall on 192 m2."""
    deep = LOTS + BOX.replace("20", "19.2") + "depth_m = 9\n"
    month = asked(tmp_path, "pond", deep + "[balance]\nrain_mm = [60, 0]\nnames = ['a', 'b']\n")["balance"]
    assert month["steps"][0]["inflow_m3"] == pytest.approx(600)
    day = asked(tmp_path, "pond", deep + "[balance]\nstep = 'day'\nrain_mm = [60, 0]\n")["balance"]
    assert [one["name"] for one in day["steps"]] == ["day 1", "day 2"]
    assert day["steps"][0]["inflow_m3"] == pytest.approx(383.3, abs=0.05)
    assert day["end_m3"] == pytest.approx(383.27 + 11.52, abs=0.01)


def test_what_seeps_is_shown_where_any_does(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    text = LOTS + BOX + "depth_m = 2\n[balance]\nrain_mm = [10]\nstart_m3 = 100\n"
    for more, shown in (("", False), ("seepage_mm = [30]\n", True)):
        file.write_text(text + more)
        assert ("seeps" in typed("pond", str(file)).stdout) is shown


def test_evaporation_is_worked_out_of_the_weather(tmp_path: Path) -> None:
    """The day at Uccle of FAO paper 56, 3.88 mm from grass, 1.05 times that from a box of 200 m2."""
    text = LOTS + BOX + "depth_m = 2\n[balance]\nstep = 'day'\nrain_mm = [0]\nstart_m3 = 100\n"
    text += (
        "[climate]\nlatitude = 50.8\nelevation_m = 100\nday_of_year = [187]\ndays = [1]\nt_max_c = [21.5]\n"
    )
    text += "t_min_c = [12.3]\nrh_max_pct = [84]\nrh_min_pct = [63]\nwind_m_s = [2.78]\nwind_height_m = 10\n"
    (step,) = asked(tmp_path, "pond", text + "sun_h = [9.25]\n")["balance"]["steps"]
    assert step["evaporation_m3"] == pytest.approx(1.05 * 3.88 * 0.2, abs=0.005)


def test_the_climate_of_the_example_runs_where_its_marks_are_taken_off(tmp_path: Path) -> None:
    text = typed("pond", "--example").stdout
    head, climate = text.split("# [climate]")
    plain = head.replace("evaporation_mm = [35", "# evaporation_mm = [35") + "[climate]"
    found = asked(tmp_path, "pond", plain + climate.replace("\n# ", "\n"))
    taken = {one["name"]: one["evaporation_m3"] for one in found["balance"]["steps"]}
    assert 0.0 < taken["Dec"] < taken["Oct"] < taken["Mar"]
    assert any("1.05 times that of reference grass (READ)" in one for one in found["warnings"])


def test_spilling_and_wanting_are_said_with_their_months(tmp_path: Path) -> None:
    text = (
        LOTS
        + BOX
        + "depth_m = 2\n[balance]\nrain_mm = [60, 0]\nnames = ['May', 'June']\ntaken_m3 = [0, 400]\n"
    )
    found = asked(tmp_path, "pond", text)
    said = " ".join(found["warnings"])
    assert "It spills 272 m3: May." in said and "60 m3 are wanted and not there: June." in said
    assert found["balance"]["spill_m3"] == pytest.approx(272) and found["balance"]["end_m3"] == 0.0


def test_a_start_above_full_and_a_rim_below_the_freeboard_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    for depth, start, where in ((2.0, 341, "start_m3"), (0.25, 0, "depth_m")):
        file.write_text(LOTS + BOX + f"depth_m = {depth}\n[balance]\nrain_mm = [1]\nstart_m3 = {start}\n")
        done = typed("pond", str(file), "--json")
        assert done.exit_code == 2 and where in json.loads(done.stdout)["refusals"][0]["where"]


def test_a_peak_flow_and_wet_ground(tmp_path: Path) -> None:
    text = LOTS.replace("rain_mm = 60", "rain_mm = 60\nintensity_mm_h = 50").replace(
        "cn = ", "coefficient = 0.9\ncn = "
    )
    found = asked(tmp_path, "pond", 'ground = "wet"\n' + text)
    assert found["peak_m3_s"] == pytest.approx(0.125)
    assert [one["cn"] for one in found["surfaces"]] == [75, 98]
    assert [one["cn_used"] for one in found["surfaces"]] == pytest.approx([87.3, 99.1], abs=0.05)
    assert found["runoff_m3"] > 384


def test_the_method_says_where_it_is_unsure(tmp_path: Path) -> None:
    said = " ".join(asked(tmp_path, "pond", LOTS.replace("75", "35") + "\n")["warnings"])
    assert "not made for curve numbers below 40 (MEMORY)" in said
    little = " ".join(asked(tmp_path, "pond", LOTS.replace("60", "30", 1))["warnings"])
    assert "rows: 1.7 mm of runoff is little" in little


def test_the_ground_a_flow_needs_by_pencil(tmp_path: Path) -> None:
    """The pad of 39.7 by 100 m; a year's flow that fills four rows of 412.8 m3 is 11,479 m3."""
    found = asked(tmp_path, "pad", ROW + FLOW + "[pad]\nlength_m = 100\nwidth_m = 39.7\n")
    assert found["active"]["rows"] == 4 and found["area_m2"] == pytest.approx(3970)
    assert found["active"]["t_year_m2"] == pytest.approx(1.26, abs=0.005)
    assert found["pad"]["rows"] == 4
    assert found["pad"]["carries_m3_year"] == pytest.approx(5000 / 0.55 * 4 * 412.8 / 1307.6, rel=1e-4)
    short = asked(tmp_path, "pad", ROW + FLOW + "[pad]\nlength_m = 100\nwidth_m = 39\n")
    assert any("wants 4 rows; 3 fit" in one for one in short["warnings"])
    low = asked(tmp_path, "pad", ROW + FLOW + "[pad]\nlength_m = 90\nwidth_m = 39.7\n")
    assert any("Rows of 80 m are longer than the pad's 70 m" in one for one in low["warnings"])
    assert low["pad"]["m3"] == pytest.approx(4 * 70 * 5.16)


def test_how_much_a_row_is_taken_to_shrink_is_said(tmp_path: Path) -> None:
    """Half left at the end, evenly: three quarters stand there on the mean; none where none shrinks."""

    def said(more: str) -> str:
        return " ".join(asked(tmp_path, "pad", ROW + FLOW + more)["warnings"])

    assert "75 % of it is reckoned to stand there" in said("left_pct = 50\n")
    assert "It shrinks" in said("") and "It shrinks" not in said("left_pct = 100\n")


def test_curing_and_storage_by_pencil(tmp_path: Path) -> None:
    """60 days of half: 747.2 m3, 74.7 m of 10 m2, 448 m2 of ground; 150 days of 0.4: 1494.4 m3, 679 m2."""
    curing = "[curing]\ndays = 60\nbase_m = 6\nheight_m = 2.5\n"
    storage = "[storage]\ndays = 150\nleft_pct = 40\nmean_depth_m = 2.2\n"
    found = asked(tmp_path, "pad", ROW + FLOW + curing + storage)
    assert found["curing"]["m3"] == pytest.approx(747.2, abs=0.05)
    assert found["curing"]["row_m"] == pytest.approx(74.7, abs=0.05)
    assert found["curing"]["ground_m2"] == pytest.approx(448, abs=0.5)
    assert found["storage"]["m3"] == pytest.approx(1494.4, abs=0.05)
    assert found["storage"]["area_m2"] == pytest.approx(679, abs=0.5)
    assert found["area_m2"] == pytest.approx(3970 + 15 * 100 + 679.3, abs=0.5)  # curing: one row, two lanes


def test_what_is_free_beside_the_rows_there(tmp_path: Path) -> None:
    text = (
        ROW + "gap_m = 3\n[pad]\nlength_m = 100\nwidth_m = 48\n"
        "[[there]]\nlength_m = 80\n[[there]]\nlength_m = 45\n"
    )
    free = asked(tmp_path, "pad", text)["free"]
    assert free["strips"] == 2 and free["beside_m"] == {"2": 32.0}
    assert free["m3"] == pytest.approx(5.16 * (160 + 32), rel=1e-5)
    assert free["t"] is None
    crowded = asked(tmp_path, "pad", text.replace("width_m = 48", "width_m = 20").replace("= 45", "= 90"))
    said = " ".join(crowded["warnings"])
    assert "2.1 m more width" in said and "Strip 2: its rows are 10.0 m longer" in said


def test_steep_sides_and_an_odd_factor_are_doubted(tmp_path: Path) -> None:
    steep = asked(tmp_path, "pad", ROW.replace("1.8", "2.4") + FLOW)
    assert any("Sides of 48 degrees" in one for one in steep["warnings"])
    odd = asked(tmp_path, "pad", ROW.replace("[row]", '[row]\nshape = "fitted"\nfactor = 0.9') + FLOW)
    assert any("A factor of 0.9" in one for one in odd["warnings"])
    assert odd["section"]["surface_m2_m"] is None

"""`turnrow use`: the limit met first, beds and pots, and files that cannot be right."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.foreman.uses import answered
from turnrow.gate.use_file import read_use
from turnrow.handbook.figures import use_figures
from turnrow.yard.wrongs import Refused

BOOK = use_figures()
ANALYSIS = """
[analysis]
basis = "dry"
moisture_pct = 45
bulk_density_kg_m3 = 600
n_pct = 1.53
nh4_n_mg_kg = 741.9
no3_n_mg_kg = 291
p2o5_pct = 1.34
k2o_pct = 1.36
"""


def asked(text: str):
    return answered(read_use(text.encode(), "q.toml", BOOK))


def refused(text: str) -> dict[str, str]:
    with pytest.raises(Refused) as caught:
        read_use(text.encode(), "q.toml", BOOK)
    return {one.where.removeprefix("q.toml, "): one.do for one in caught.value.refusals}


def test_the_least_of_all_limits_is_the_rate_and_is_named() -> None:
    text = 'use = "field"' + ANALYSIS + "[need]\nn_kg_ha = 100\np2o5_kg_ha = 60\n[most]\nt_ha = 5\n"
    found = asked(text)
    assert found["limited_by"] == "most tonnes" and found["rate_t_ha"] == 5
    assert min(found["rates_t_ha"].values()) == found["rate_t_ha"]


def test_the_same_analysis_as_received_gives_the_same_rate() -> None:
    """Each figure times 0.55, the dry share."""
    wet = """
[analysis]
basis = "as received"
moisture_pct = 45
n_pct = 0.8415
nh4_n_mg_kg = 408.045
no3_n_mg_kg = 160.05
p_pct = 0.321637
"""
    need = "[need]\nn_kg_ha = 100\np2o5_kg_ha = 60\n"
    one, two = asked('use = "field"' + ANALYSIS + need), asked('use = "field"' + wet + need)
    assert one["rates_t_ha"]["nitrogen"] == pytest.approx(two["rates_t_ha"]["nitrogen"], rel=1e-5)
    assert one["rate_t_ha"] == pytest.approx(two["rate_t_ha"], rel=1e-5)


def test_a_rate_for_nitrogen_alone_says_what_phosphorus_it_carries() -> None:
    found = asked('use = "field"' + ANALYSIS + "[need]\nn_kg_ha = 100\n")
    assert any("488 kg/ha P2O5" in said for said in found["warnings"])


def test_earlier_spreadings_that_cover_the_need_leave_nothing_to_spread() -> None:
    before = "[[before]]\nyears_ago = 1\nt_ha = 200\n[[before]]\nyears_ago = 2\nt_ha = 200\n"
    found = asked('use = "field"' + ANALYSIS + "[need]\nn_kg_ha = 20\n" + before)
    assert found["rate_t_ha"] == 0 and found["credits_n_kg_ha"] > 20


def test_a_raw_lot_says_how_long_before_harvest() -> None:
    found = asked('use = "field"\ntreated_as_raw = true' + ANALYSIS + "[need]\nn_kg_ha = 100\n")
    assert "120 days" in found["cautions"][0]
    assert found["rate_t_ha"] < asked('use = "field"' + ANALYSIS + "[need]\nn_kg_ha = 100\n")["rate_t_ha"]


def test_a_bed_is_limited_by_the_soil_or_by_what_its_crop_needs() -> None:
    """120 m2 dug 20 cm are 24 m3; a fifth of it is 4.8 m3, 40 mm deep."""
    bed = 'use = "bed"' + ANALYSIS + "[bed]\narea_m2 = 120\ntilled_cm = 20\n"
    found = asked(bed)
    assert (found["compost_m3"], found["depth_mm"]) == (pytest.approx(4.8), pytest.approx(40))
    fed = asked(bed + "[need]\np2o5_kg_ha = 60\n")
    assert fed["limited_by"] == "nutrients"
    assert fed["compost_t"] == pytest.approx(11.63 * 0.012, rel=1e-3)


def test_a_salty_lot_makes_less_of_a_potting_mix() -> None:
    salt = 'ec_ds_m = 40\nec_extract = "saturated extract"\n'
    found = asked('use = "potting"' + ANALYSIS + salt + "[potting]\nvolume_l = 1000\nbase_ec_ds_m = 0.5\n")
    assert found["limited_by"] == "salt"
    assert found["share_pct"] == pytest.approx(100 * 3.0 / 39.5, rel=1e-5)


def test_everything_wrong_is_told_at_once() -> None:
    wrongs = refused(
        'use = "meadow"\ncolour = 1\n[analysis]\nbasis = "wet"\nmoisture_pct = 100\nn_pct = -1\n'
        "ec_ds_m = 3\np2o5_pct = 2\np_pct = 2\n[need]\nn_kg_ha = 'much'\n".replace("'", '"')
    )
    assert {
        "use",
        "colour",
        "[analysis], basis",
        "[analysis], moisture_pct",
        "[analysis], n_pct",
        "[analysis], ec_extract",
        "[analysis], p2o5_pct, p_pct",
        "[need], n_kg_ha",
    } <= set(wrongs)


FIELD = 'use = "field"' + ANALYSIS
NEEDS = "[need]\nn_kg_ha = 9\n"


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (FIELD, "need"),
        (FIELD.replace("k2o_pct = 1.36", "") + "[need]\nk2o_kg_ha = 9\n", "[analysis] k2o_pct"),
        (FIELD.replace("741.9", "74190") + NEEDS, "[analysis], nh4_n_mg_kg, no3_n_mg_kg"),
        ('use = "bed"' + ANALYSIS + "[potting]\nvolume_l = 3\n", "potting"),
        ('use = "bed"' + ANALYSIS + "[bed]\narea_m2 = 3\n", "[bed], tilled_cm"),
        ('use = "potting"' + ANALYSIS + "[potting]\nvolume_l = 9\n" + NEEDS, "need"),
        (FIELD + NEEDS + "[[before]]\nyears_ago = 1.5\nt_ha = 3\n", "before 1, years_ago"),
        ("use = [", "at its end"),
        ('use = "field"\nanalysis = 3\n' + NEEDS, "[analysis]"),
    ],
)
def test_what_cannot_be_reckoned_is_refused_at_its_place(text: str, where: str) -> None:
    found = refused(text)
    assert any(where in place for place in found), found


def test_a_base_that_is_too_salty_by_itself_is_refused() -> None:
    salt = 'ec_ds_m = 9\nec_extract = "saturated extract"\n'
    with pytest.raises(Refused):
        asked('use = "potting"' + ANALYSIS + salt + "[potting]\nvolume_l = 9\nbase_ec_ds_m = 5\n")


def test_the_example_runs_and_answers_one_object(tmp_path: Path) -> None:
    door = CliRunner()
    file = tmp_path / "q.toml"
    file.write_text(door.invoke(app, ["use", "--example"]).stdout)
    found = door.invoke(app, ["use", str(file), "--json"])
    assert found.exit_code == 0
    answer = json.loads(found.stdout)
    assert answer["limited_by"] == "phosphorus" and answer["rate_t_ha"] > 0
    assert "limited by phosphorus" in door.invoke(app, ["use", str(file)]).stdout
    assert door.invoke(app, ["use", str(tmp_path / "none.toml"), "--json"]).exit_code == 2

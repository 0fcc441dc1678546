"""`turnrow use` in acres, pounds, short tons, inches and cubic yards: the same answer, or refused.

Sizes by definition (MEMORY, as in tests/literature/test_units.py): an acre 0.40468564224 ha, a pound
0.45359237 kg, a short ton of 2000 lb on an acre 2.241702 t/ha.
"""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.gate.use_form import fields_of_use, use_from
from turnrow.sales.analysis import Analysis
from turnrow.yard.wrongs import Refused

from .test_use import ANALYSIS, asked, refused

LB_AC = 0.45359237 / 0.40468564224  # kg/ha
US_DENSITY = ANALYSIS.replace("bulk_density_kg_m3 = 600", "bulk_density_lb_yd3 = 1011.333")


def field(more: str, analysis: str = ANALYSIS) -> str:
    return 'use = "field"' + analysis + more


def test_the_same_question_in_the_units_of_another_country() -> None:
    """100 kg/ha is 89.218 lb/ac, 12 t/ha 5.3531 short tons an acre, 3.5 ha 8.6487 acres."""
    before = "[[before]]\nyears_ago = 1\n"
    metric = asked(field(f"[need]\nn_kg_ha = 100\n{before}t_ha = 12\n[field]\narea_ha = 3.5\n"))
    told = f"[need]\nn_lb_ac = 89.2179\n{before}ton_ac = 5.35308\n[field]\narea_ac = 8.64869\n"
    us = asked(field(told, US_DENSITY))
    for key in ("rate_t_ha", "depth_mm", "total_t", "credits_n_kg_ha"):
        assert us[key] == pytest.approx(metric[key], rel=1e-5)


def test_the_answer_stands_in_both(tmp_path: Path) -> None:
    """66.2 t/ha, the Alberta example, is 29.5 short tons an acre; its 488.2 kg/ha of P2O5 are 435.5."""
    found = asked(field("[need]\nn_kg_ha = 100\n[field]\narea_ha = 2\n"))
    assert f"{found['rate_t_ha']:.1f} {found['rate_ton_ac']:.1f}" == "66.2 29.5"
    assert found["gives_lb_ac"]["p2o5_total"] == pytest.approx(435.5, abs=0.1)
    assert found["gives_lb_ac"]["n_first"] == pytest.approx(100 / LB_AC, rel=1e-5)
    assert found["rates_ton_ac"]["nitrogen"] == found["rate_ton_ac"]
    assert found["total_ton"] == pytest.approx(found["total_t"] / 0.90718474, rel=1e-5)
    assert found["depth_in"] == pytest.approx(found["depth_mm"] / 25.4, rel=1e-5)
    file = tmp_path / "q.toml"
    file.write_text(field("[need]\nn_lb_ac = 89.2179\n"))
    said = CliRunner().invoke(app, ["use", str(file)]).stdout
    assert "29.5 short tons an acre" in said and "lb/ac" in said and "435." in said


def test_two_inches_on_a_thousand_square_feet__cornell() -> None:
    """6.17 cubic yards, as compost.css.cornell.edu prints for 2 in deep (READ); nothing but compost."""
    bed = 'use = "bed"' + ANALYSIS + "[bed]\narea_ft2 = 1000\ntilled_in = 2\nshare_pct_max = 100\n"
    found = asked(bed)
    assert f"{found['compost_yd3']:.2f} {found['depth_in']:.3g}" == "6.17 2"
    assert found["compost_ft3"] == pytest.approx(1000 / 6, rel=1e-5)
    assert found["compost_bu"] == pytest.approx(1000 / 6 * 1728 / 2150.42, rel=1e-5)


@pytest.mark.parametrize(
    ("key", "much"),
    [
        ("l", "2000"),
        ("m3", "2"),
        ("yd3", "2.6159"),
        ("ft3", "70.6293"),
        ("gal", "528.344"),
        ("bu", "56.7552"),
    ],
)
def test_a_mix_of_two_cubic_metres_however_it_is_told(key: str, much: str) -> None:
    found = asked('use = "potting"' + ANALYSIS + f"[potting]\nvolume_{key} = {much}\nshare_pct_max = 25\n")
    assert found["compost_m3"] == pytest.approx(0.5, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        (field("[need]\nn_kg_ha = 100\nn_lb_ac = 90\n"), "[need], n_kg_ha, n_lb_ac", "Keep one unit"),
        (field("[most]\nt_ha = 5\nton_ac = 2\n"), "[most], t_ha, ton_ac", "Keep one unit"),
        (field("[need]\nn_lb_ac = -1\n"), "[need], n_lb_ac", "0 or more"),
        (field("[need]\nn_lb_acre = 90\n"), "[need], n_lb_acre", "n_lb_ac"),
        (field("[most]\nton_ac = 50000\n"), "[most], ton_ac", "at most 44608"),
        (field("[need]\nn_kg_ha = 100\n[field]\narea_acres = 2\n"), "[field], area_acres", "area"),
        (field("[need]\nn_kg_ha = 9\n[[before]]\nyears_ago = 1\n"), "before 1, t_ha", "an age and an amount"),
        ('use = "bed"' + ANALYSIS + "[bed]\narea_ft2 = 100\n", "[bed], tilled_cm", "tilled_in"),
        ('use = "bed"' + ANALYSIS, "bed", "area_m2, tilled_cm"),
        (
            field("[need]\nn_kg_ha = 1\n", ANALYSIS.replace("kg_m3 = 600", "lb_yd3 = 5000")),
            "[analysis], bulk_density_lb_yd3",
            "at most 3371",
        ),
    ],
)
def test_a_unit_that_will_not_do_is_refused(text: str, where: str, says: str) -> None:
    said = refused(text)
    assert any(at.endswith(where) and says in do for at, do in said.items()), said


LOT = Analysis(moisture=0.45, density=600.0, n_total=15.3, nh4_n=0.7419, no3_n=0.291, p2o5=13.4)


def test_a_form_has_its_units_beside_each_number() -> None:
    units = {name: [key for key, _ in units] for name, _, units in fields_of_use("field")}
    assert units["area_ha"] == ["ha", "ac", "m2"] and units["n_kg_ha"] == ["kg_ha", "lb_ac"]
    assert units["t_ha"] == ["t_ha", "ton_ac"]
    given = {
        "use": "field",
        "n_kg_ha": "89,2179",
        "n_kg_ha_unit": "lb_ac",
        "t_ha": "10",
        "t_ha_unit": "ton_ac",
    }
    asked_for = use_from({**given, "area_ha": "8.64869", "area_ha_unit": "ac"}, LOT, raw=False)
    assert asked_for.need["n"] == pytest.approx(100, rel=1e-5)
    assert asked_for.most["t"] == pytest.approx(22.41702, rel=1e-6)
    assert asked_for.place["area_ha"] == pytest.approx(3.5, rel=1e-5)
    bed = {"use": "bed", "area_m2": "1000", "area_m2_unit": "ft2", "tilled_cm": "8", "tilled_cm_unit": "in"}
    place = use_from(bed, LOT, raw=False).place
    assert place == {"area_m2": pytest.approx(92.90304), "tilled_cm": pytest.approx(20.32)}


def test_a_form_s_unknown_unit_is_refused() -> None:
    with pytest.raises(Refused):
        use_from({"use": "field", "n_kg_ha": "90", "n_kg_ha_unit": "furlong"}, LOT, raw=False)

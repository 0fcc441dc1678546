"""Rates worked by pencil before they were run, from the formulas and factors of `test_use_rates.py`.

    PAN = NH4-N + NO3-N + f (N - NH4-N - NO3-N), f 0.12 composted, 0.25 fresh; then 0.07 and 0.04
    P2O5 = 2.2914 P, of which 0.7 in the first year; K2O = 1.2046 K, of which 0.9
Source: Alberta Nutrient Management Planning Guide p. 168; oxides by atomic masses.
"""

from typing import Any

import pytest

from turnrow.foreman.uses import answered
from turnrow.gate.use_file import read_use
from turnrow.handbook.figures import use_figures

N = "n_pct = 2.0\nnh4_n_mg_kg = 500\nno3_n_mg_kg = 500\n"  # 20 kg/t: 1 mineral, 19 organic; PAN 3.28
DRY = f'[analysis]\nbasis = "dry"\nmoisture_pct = 40\nbulk_density_kg_m3 = 600\n{N}'
ONE_YEAR = "[[before]]\nyears_ago = 1\nt_ha = 10\n"  # 6 t dry: 6 x 19 x 0.07 = 7.98
TWO_YEARS = "[[before]]\nyears_ago = 2\nt_ha = 10\n"  # 6 x 19 x 0.04 = 4.56
FIELDS = {
    # 82 / 3.28 = 25 t dry, / 0.6 = 41.667 t, / 0.6 t/m3 = 69.444 m3, 6.944 mm
    "nitrogen alone": (DRY + "[need]\nn_kg_ha = 82\n", 25.0, 41.6667, "nitrogen"),
    "a spreading last year": (DRY + "[need]\nn_kg_ha = 89.98\n" + ONE_YEAR, 25.0, 41.6667, "nitrogen"),
    "two spreadings": (DRY + "[need]\nn_kg_ha = 94.54\n" + ONE_YEAR + TWO_YEARS, 25.0, 41.6667, "nitrogen"),
    "one too long ago": (
        DRY + "[need]\nn_kg_ha = 82\n" + ONE_YEAR.replace("1", "3", 1), 25.0, 41.6667, "nitrogen",
    ),
    "more credit than need": (DRY + "[need]\nn_kg_ha = 7\n" + ONE_YEAR, 0.0, 0.0, "nitrogen"),
    # half water: 1 % as received is 2 % dry, 250 mg/kg are 500
    "as received": (
        '[analysis]\nbasis = "as received"\nmoisture_pct = 50\nn_pct = 1.0\nnh4_n_mg_kg = 250\n'
        "no3_n_mg_kg = 250\n[need]\nn_kg_ha = 82\n", 25.0, 50.0, "nitrogen",
    ),
    # 0.5 % P: 11.457 kg P2O5, 8.0199 of it at once; 40.0995 / 8.0199 = 5
    "phosphorus as the element": (
        DRY + "p_pct = 0.5\n[need]\np2o5_kg_ha = 40.0995\n", 5.0, 8.33333, "phosphorus",
    ),
    # 1 % K: 12.046 kg K2O, 10.8414 of it at once
    "potassium as the element": (
        DRY + "k_pct = 1.0\n[need]\nk2o_kg_ha = 54.207\n", 5.0, 8.33333, "potassium",
    ),
    # 170 / 20 = 8.5
    "nitrogen in all": (
        DRY + "[need]\nn_kg_ha = 82\n[most]\nn_total_kg_ha = 170\n", 8.5, 14.1667, "most nitrogen",
    ),
    # 1 + 0.25 x 19 = 5.75
    "fresh manure": ("treated_as_raw = true\n" + DRY + "[need]\nn_kg_ha = 57.5\n", 10.0, 16.6667, "nitrogen"),
    # nitrogen would let 25 t; P2O5 10 kg x 0.7 = 7, 70 / 7 = 10
    "the least of both": (
        DRY + "p2o5_pct = 1.0\n[need]\nn_kg_ha = 82\np2o5_kg_ha = 70\n", 10.0, 16.6667, "phosphorus",
    ),
}  # fmt: skip


def ask(text: str) -> dict[str, Any]:
    return answered(read_use(text.encode(), "pencil.toml", use_figures()))


@pytest.mark.parametrize("name", FIELDS)
def test_a_field(name: str) -> None:
    text, dry, wet, limit = FIELDS[name]
    found = ask('use = "field"\n' + text)
    assert found["rate_t_ha_dry"] == pytest.approx(dry, rel=1e-5)
    assert found["rate_t_ha"] == pytest.approx(wet, rel=1e-5)
    assert found["limited_by"] == limit


def test_depth_and_credit_of_a_field() -> None:
    found = ask('use = "field"\n' + DRY + "[need]\nn_kg_ha = 94.54\n" + ONE_YEAR + TWO_YEARS)
    assert found["credits_n_kg_ha"] == pytest.approx(12.54)
    assert (found["volume_m3_ha"], found["depth_mm"]) == pytest.approx((69.4444, 6.94444), rel=1e-5)


@pytest.mark.parametrize(
    ("use", "more", "m3", "limit"),
    [
        # a fifth of 100 m2 x 25 cm
        ("bed", "[bed]\narea_m2 = 100\ntilled_cm = 25\n", 5.0, "share of the soil"),
        # 32.8 / 3.28 = 10 t dry/ha = 16.667 t = 27.778 m3 a hectare, a hundredth of it here
        ("bed", "[need]\nn_kg_ha = 32.8\n[bed]\narea_m2 = 100\ntilled_cm = 25\n", 0.277778, "nutrients"),
        # (3.5 - 0.5) / (8 - 0.5) = 0.4, so a fifth is less
        ("potting", "8", 0.2, "share of the mix"),
        # 3 / 19.5 = 0.153846
        ("potting", "20", 0.153846, "salt"),
    ],
)
def test_beds_and_pots(use: str, more: str, m3: float, limit: str) -> None:
    if use == "potting":
        more = (
            f'ec_ds_m = {more}\nec_extract = "saturated extract"\n'
            "[potting]\nvolume_l = 1000\nbase_ec_ds_m = 0.5\nec_ds_m_max = 3.5\n"
        )
    found = ask(f'use = "{use}"\n{DRY}{more}')
    assert found["compost_m3"] == pytest.approx(m3, rel=1e-5) and found["limited_by"] == limit

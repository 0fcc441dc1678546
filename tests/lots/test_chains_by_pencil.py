"""Chains worked by pencil before they were run: dry matter is lost, ash and phosphorus stay.

    dry = t (1 - m); loss by ash = 1 - ash_in / ash_out; t at m_ref = t (1 - m) / (1 - m_ref)
Units: 1 yd3 = 0.764555 m3, 1000 lb/yd3 = 593.276 kg/m3 (NIST SP 811, MEMORY).
"""

from typing import Any

import pytest

from turnrow.foreman.chains import answered, tolerance
from turnrow.gate.chain_file import read_chain


def ask(text: str) -> dict[str, Any]:
    return answered(read_chain(text.encode(), "pencil.toml", tolerance().load_most))


def load(name: str, t: float, moisture: float, more: str = "") -> str:
    return f'[[load]]\nname = "{name}"\nt = {t}\nmoisture_pct = {moisture}\n{more}\n'


def stage(name: str, moisture: float, more: str) -> str:
    return f'[[stage]]\nname = "{name}"\nmoisture_pct = {moisture}\n{more}\n'


# 30 x 0.3 + 50 x 0.38 + 20 x 0.65 = 9 + 19 + 13 = 41 t dry in 100 t
THREE = load("R1", 30, 70) + load("R2", 50, 62) + load("R3", 20, 35)
ASH = "ash_pct_dry = 20"


def test_three_rows_merged() -> None:
    found = ask(THREE)
    assert (found["steps"][0]["t"], found["steps"][0]["dry_t"], found["steps"][0]["moisture_pct"]) == (
        100,
        41,
        59,
    )
    assert found["load_shares_pct"] == {"R1": 30, "R2": 50, "R3": 20}


def test_water_when_laid_is_water_and_no_share() -> None:
    """100 t and 25 m3 are 125 t of the same 41 t dry: 67.2 %; nobody's share is less for it."""
    found = ask("water_m3 = 25\n" + THREE)
    assert (found["steps"][0]["t"], found["steps"][0]["moisture_pct"]) == (125, 67.2)
    assert sum(found["load_shares_pct"].values()) == 100


def test_water_at_a_turn_goes_into_the_air_with_the_rest() -> None:
    """41 t dry become 36 in 80 t; water 59 + 10 - 44 = 25 t are gone."""
    found = ask(THREE + stage("turned", 55, "t = 80\nwater_m3 = 10"))
    assert found["sky_t"] == {"dry": 5, "water": 25}
    assert found["steps"][1]["dm_loss_pct"] == pytest.approx(100 * 5 / 41, rel=1e-5)


def test_rain_makes_heavier_and_loses_nothing_of_it_to_the_air() -> None:
    """110 t at 65 % hold 38.5 t dry and 71.5 t of water, 12.5 more than there were: it rained."""
    found = ask(THREE + stage("wet", 65, "t = 110"))
    assert found["sky_t"]["dry"] == 2.5 and found["sky_t"]["water"] == 0


def test_a_load_by_volume() -> None:
    """50 m3 of 400 kg/m3 are 20 t."""
    found = ask('[[load]]\nname = "V"\nm3 = 50\nbulk_density_kg_m3 = 400\nmoisture_pct = 50\n')
    assert (found["steps"][0]["t"], found["steps"][0]["dry_t"]) == (20, 10)


def test_loss_by_ash_alone() -> None:
    """From 20 to 32 % of ash, 1 - 20/32 = 37.5 % are gone: 25 t of 40; at 40 % moisture they are 41.667 t."""
    found = ask(load("A", 100, 60, ASH) + stage("ripe", 40, "ash_pct_dry = 32"))
    assert (found["steps"][1]["dry_t"], found["steps"][1]["dm_loss_pct"]) == (25, 37.5)
    assert found["steps"][1]["t"] == pytest.approx(41.6667, rel=1e-5) and found["closes"]


def test_losses_one_after_the_other() -> None:
    """40 x 0.7 x 0.9 = 25.2 t dry: 37 % in all; at 37 % moisture 40 t."""
    found = ask(
        load("A", 100, 60) + stage("hot", 50, "dm_loss_pct = 30") + stage("ripe", 37, "dm_loss_pct = 10")
    )
    last = found["steps"][-1]
    assert (last["dry_t"], last["dm_loss_in_all_pct"], last["t"]) == (25.2, 37, 40)
    assert last["mass_loss_in_all_pct"] == 60


def test_ash_that_contradicts_the_weights_is_named() -> None:
    """36 of 40 t dry by weight are a tenth lost; ash doubled says half."""
    found = ask(load("A", 100, 60, ASH) + stage("ripe", 40, "t = 60\nash_pct_dry = 40"))
    assert found["losses"]["ripe"]["dm_loss_by_weight_pct"] == 10
    assert found["losses"]["ripe"]["dm_loss_by_ash_pct"] == 50
    assert not found["closes"] and any("ash" in one for one in found["unclosed"])


def test_phosphorus_that_went_missing_is_named() -> None:
    """0.5 % before and after a loss of 40 %: only 0.6 of it is still there, under 0.85."""
    found = ask(load("A", 100, 60, "p_pct_dry = 0.5") + stage("ripe", 40, "t = 40\np_pct_dry = 0.5"))
    assert found["losses"]["ripe"]["kept"]["phosphorus"] == pytest.approx(0.6)
    assert not found["closes"] and any("Phosphorus" in one for one in found["unclosed"])


def test_nitrogen_told_otherwise_than_found_is_named() -> None:
    """2 % before and after a loss of 40 %: 40 % of the nitrogen is gone, not the 10 % somebody says."""
    text = load("A", 100, 60, "n_pct_dry = 2") + stage("ripe", 40, "t = 40\nn_pct_dry = 2\nn_loss_pct = {}")
    assert any("Nitrogen" in one for one in ask(text.format(10))["unclosed"])
    assert ask(text.format(40))["closes"]


def test_fines_at_the_moisture_they_are_sold_at_and_in_yards() -> None:
    """50 t at 48 % are 26 t dry: 40 t at 35 %. At 1000 lb/yd3 50 t (110,231.13 lb) are 110.231 yd3."""
    found = ask(
        "reference_moisture_pct = 35\n"
        + load("A", 62.5, 48)
        + "[screen]\nfines_pct = 80\nbulk_density_kg_m3 = 593.276421\n"
    )
    assert (found["fines"]["t"], found["fines"]["t_at_reference"]) == (50, 40)
    assert found["fines"]["yd3"] == pytest.approx(110.231, rel=1e-5)
    assert found["overs"]["t"] == 12.5


def test_overs_that_go_round_twice() -> None:
    """80 t fresh with 20 t of overs of the run before give 80 t of fines and 20 t of overs:
    o / (1 - o) = 0.25 of the fresh go round for ever."""
    overs = 20.0
    for _ in range(2):
        found = ask(load("fresh", 80, 45) + load("overs", overs, 45) + "[screen]\nfines_pct = 80\n")
        overs = found["overs"]["t"]
        assert (found["fines"]["t"], overs) == (80, 20)
        assert found["load_shares_pct"] == {"fresh": 80, "overs": 20}


def test_a_screen_that_lost_something_is_named() -> None:
    """40 and 10 t of 60: a sixth is nowhere."""
    found = ask(load("A", 60, 45) + "[screen]\nfines_t = 40\novers_t = 10\n")
    assert not found["closes"] and found["unclosed"]
    assert ask(load("A", 60, 45) + "[screen]\nfines_t = 48\novers_t = 12\n")["closes"]

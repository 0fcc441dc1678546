"""Mass balances of composted manures: closing trials close, contradictory ones are told.

Source: Zhang et al. 2026, Nature Food, DOI 10.5281/zenodo.19677024 (MIT), open data `trials/`
Known: READ
"""

import csv

import pytest

from turnrow.heap.trial import Trial, losses

NEEDED = ("DW0_kg", "DW1_kg", "TN0_pct", "TN1_pct", "TC0_pct", "TC1_pct", "TN_loss_pct")


@pytest.fixture(scope="module")
def trials(open_data):
    with (open_data / "trials" / "mass_balances_manure.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if all(row[key] for key in NEEDED)]
    made = [(row["N_balance"], Trial(*(float(row[key]) for key in NEEDED))) for row in rows]
    assert {said for said, _ in made} == {"closes", "DOES NOT CLOSE"}
    return made


@pytest.mark.needs_shared_data
def test_trials_that_close_agree_with_their_stated_nitrogen_loss(trials) -> None:
    """Masses and shares give the nitrogen loss the trial states, without a warning.

    Tolerance: 0.5 points of nitrogen
    """
    closing = [trial for said, trial in trials if said == "closes"]
    assert len(closing) >= 8
    for trial in closing:
        found = losses(trial)
        assert found.nitrogen_pct == pytest.approx(trial.stated_n_loss_pct, abs=0.5)
        assert found.warnings == ()


@pytest.mark.needs_shared_data
def test_trials_that_contradict_themselves_warn(trials) -> None:
    """Where masses and shares say another loss than was stated, it is told, with both figures."""
    broken = [trial for said, trial in trials if said != "closes"]
    assert len(broken) >= 4
    for trial in broken:
        told = losses(trial).warnings
        assert told
        assert f"{trial.stated_n_loss_pct:g} %" in told[0]

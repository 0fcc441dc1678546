"""Published mass balances of manure composting: those that do not close are named, and the others are not.

Source: Nature Food (2026), DOI 10.5281/zenodo.19677024, re-typed as `trials/mass_balances_manure.csv`
Known: READ
"""

import csv
from pathlib import Path

import pytest

from turnrow.lots.checks import Side, balance, told_loss

pytestmark = pytest.mark.needs_shared_data
LOW, HIGH = 0.85, 1.15


def rows(open_data: Path) -> list[dict[str, str]]:
    with (open_data / "trials" / "mass_balances_manure.csv").open(newline="", encoding="utf-8") as file:
        return [row for row in csv.DictReader(file) if row["N_balance"] != "not checkable"]


def weighed(row: dict[str, str]) -> tuple[Side, Side]:
    return tuple(  # type: ignore[return-value]
        Side(float(row[f"DW{n}_kg"]), {"nitrogen": float(row[f"TN{n}_pct"]) / 100}) for n in (0, 1)
    )


def test_dry_matter_lost_is_what_the_masses_say(open_data: Path) -> None:
    """From the dry masses of each trial, beside the loss reckoned when the table was re-typed.

    Tolerance: 0.1 point, the table's rounding
    """
    found = rows(open_data)
    assert len(found) > 10
    for row in found:
        loss = balance(*weighed(row), LOW, HIGH).by_weight
        assert loss is not None
        assert 100 * loss == pytest.approx(float(row["calc_DM_loss_pct"]), abs=0.1)


def test_trials_whose_nitrogen_loss_contradicts_their_masses_are_named(open_data: Path) -> None:
    """Told loss of nitrogen beside that of masses and contents: each row said not to close is named by a
    sentence, and no row that closes is."""
    for row in rows(open_data):
        kept = balance(*weighed(row), LOW, HIGH).kept["nitrogen"]
        said = told_loss("nitrogen", float(row["TN_loss_pct"]) / 100, kept, 0.10)
        assert bool(said) is (row["N_balance"] != "closes"), (row["citation"], row["amendment"], said)


def test_more_out_than_went_in_is_named(open_data: Path) -> None:
    """One trial has more dry matter and 18 % more nitrogen at its end than at its start."""
    gained = [row for row in rows(open_data) if float(row["calc_DM_loss_pct"]) < 0]
    assert gained
    for row in gained:
        said = " ".join(balance(*weighed(row), LOW, HIGH).said)
        assert "More dry matter came out than went in" in said
        assert "Nitrogen: 118 % of what went in came out" in said

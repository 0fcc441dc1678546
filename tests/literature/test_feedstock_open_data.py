"""The feedstock table beside open tables of manure and bedding.

Source: Agriculture and Agri-Food Canada, Holos manure and bedding tables, open data `feedstock/holos_*.csv`
Source: AHDB RB209 (2023) section 2, open data `feedstock/rb209_2023_section2_typical.csv`
Source: RS/SC manual 2016 table 9.1, open data `feedstock/rs_sc_brazil_2016_table9_1.csv`
Known: READ
"""

import csv
from pathlib import Path

import pytest

from turnrow.blend.notices import Notice
from turnrow.blend.sheet import Sheet, check_sheet
from turnrow.blend.table import from_table
from turnrow.handbook.feedstocks import Figure, feedstocks
from turnrow.yard.wrongs import Refusal

pytestmark = pytest.mark.needs_shared_data


def rows(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / "feedstock" / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def figures(key: str, source: str, quantity: str) -> list[Figure]:
    return [f for f in feedstocks()[key].figures if f.source == source and f.quantity == quantity]


@pytest.mark.parametrize(
    ("key", "bedding", "animal"),
    [("bedding straw Canada", "StrawChopped", "Dairy"), ("bedding wood Canada", "WoodChip", "Beef")],
)
def test_bedding_facts__holos(open_data: Path, key: str, bedding: str, animal: str) -> None:
    """N, C and moisture of straw and wood bedding as in the open table.

    Tolerance: 1e-9 relative
    """
    (row,) = [
        r
        for r in rows(open_data, "holos_table30_bedding.csv")
        if (r["bedding"], r["animal"]) == (bedding, animal)
    ]
    made = from_table(feedstocks()[key])
    assert made.n_dry == pytest.approx(float(row["N_kg_per_kgDM"]), rel=1e-9)
    assert made.c_dry == pytest.approx(float(row["C_kg_per_kgDM"]), rel=1e-9)
    assert 100 * made.moisture_wet == pytest.approx(float(row["moisture_pct"]), rel=1e-9)


@pytest.mark.parametrize(("bedding", "said"), [("StrawChopped", 90.5), ("WoodChip", 329.5)])
def test_a_printed_cn_that_is_not_carbon_over_nitrogen_is_refused__holos(
    open_data: Path, bedding: str, said: float
) -> None:
    """The bedding table's own C:N (90.5, 329.5) is not its C over its N (78.4, 273.5): a sheet is refused.

    So N and C were taken and the printed C:N was not.
    """
    row = next(r for r in rows(open_data, "holos_table30_bedding.csv") if r["bedding"] == bedding)
    assert float(row["CN"]) == said
    n, c = 100 * float(row["N_kg_per_kgDM"]), 100 * float(row["C_kg_per_kgDM"])
    (refusal,), _ = check_sheet("bedding", Sheet(n_pct=n, c_pct=c, cn=said))
    assert "Give two" in refusal.do


def test_deep_bedding__holos(open_data: Path) -> None:
    """Dairy deep bedding as received: 0.715 % N, 12.63 % C, 60.08 % water, and the printed C:N 17.66.

    Tolerance: 0.005 for the C:N
    """
    row = next(
        r
        for r in rows(open_data, "holos_table6_manure.csv")
        if (r["animal"], r["handling"]) == ("Dairy cattle", "Deep bedding")
    )
    made = from_table(feedstocks()["dairy deep bedding Canada"])
    assert made.c_dry / made.n_dry == pytest.approx(float(row["CN"]), abs=0.005)
    assert made.n_dry * (1 - made.moisture_wet) == pytest.approx(float(row["N_pct_wet"]) / 100, rel=1e-9)


def test_most_printed_cn_of_the_manure_table_are_carbon_over_nitrogen__holos(open_data: Path) -> None:
    """C over N of every complete row of the manure table against its printed C:N.

    Tolerance: 1 % of the printed figure, in at least nine rows of ten
    """
    whole = [
        r for r in rows(open_data, "holos_table6_manure.csv") if r["N_pct_wet"] and r["C_pct_wet"] and r["CN"]
    ]
    close = [
        r
        for r in whole
        if float(r["C_pct_wet"]) / float(r["N_pct_wet"]) == pytest.approx(float(r["CN"]), rel=0.01)
    ]
    assert len(whole) >= 30
    assert len(close) >= 0.9 * len(whole)


@pytest.mark.parametrize(
    ("key", "material"),
    [
        ("dairy manure", "Cattle FYM"),
        ("pig manure", "Pig FYM"),
        ("sheep manure", "Sheep FYM"),
        ("horse manure", "Horse FYM"),
        ("broiler litter", "Poultry manure 60% DM"),
    ],
)
def test_nitrogen_of_farmyard_manures__rb209(open_data: Path, key: str, material: str) -> None:
    """Nitrogen kept as a rival, as received: kg/t fresh over ten is percent.

    Tolerance: 1e-9 relative
    """
    row = next(r for r in rows(open_data, "rb209_2023_section2_typical.csv") if r["material"] == material)
    (kept,) = figures(key, "rb209-2023", "n")
    assert kept.basis == "as received"
    assert kept.value == pytest.approx(float(row["N_kg_t_fresh"]) / 10, rel=1e-9)


def test_the_carbon_check_on_a_whole_open_table__rs_sc(open_data: Path) -> None:
    """Ten organic materials of one table: none refused, and those of little carbon warned about.

    Vermicompost (17 %), urban compost (12 %), pig bedding (18 %) and solid pig manure (20 %) hold much ash.
    """
    warned = set()
    for row in rows(open_data, "rs_sc_brazil_2016_table9_1.csv"):
        refusals, notices = check_sheet(
            row["material"], Sheet(n_pct=float(row["N_total_pct"]), c_pct=float(row["C_org_pct"]))
        )
        assert not any(isinstance(one, Refusal) for one in refusals), row
        assert all(isinstance(one, Notice) for one in notices)
        if notices:
            warned.add(row["material"])
    assert {"vermicompost", "urban waste compost", "pig deep-litter bedding", "solid pig manure"} <= warned
    assert "composted pig manure" not in warned

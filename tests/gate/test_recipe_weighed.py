"""A recipe file that gives pails, samples and ash instead of what they come to.

The pail (1 kg, 10 kg full, 20 L: 450 kg/m3) is after Cooperband 2002, the sample (10 g of grass in a 4 g cup,
6.3 g dry: 77 %) Cornell 1996, carbon by ash (80 % volatile: 44.4 %) Cornell Composting; all READ.
"""

import pytest

from turnrow.gate.recipe_file import RecipeFile, read_recipe
from turnrow.handbook.feedstocks import feedstocks
from turnrow.yard.wrongs import Refused

GOOD = """
total_t = 10
[targets]
cn = [15, 60]
moisture_pct = [50, 80]
fas_pct_min = 20
[[ingredient]]
name = "own grass"
wet_g = [14, 14]
dry_g = [6.3, 6.3]
cup_g = 4
pail_l = 20
pail_empty_kg = 1
pail_full_kg = [10, 10.4, 9.6]
n_pct_dry = 2.0
ash_pct_dry = 20
"""


def read(text: str) -> RecipeFile:
    return read_recipe(text.encode(), "r.toml", feedstocks())


def wrong(old: str, new: str) -> list[str]:
    assert old in GOOD
    with pytest.raises(Refused) as told:
        read(GOOD.replace(old, new, 1))
    return [one.sentence() for one in told.value.refusals]


def test_what_was_weighed_stands_for_moisture_density_organic_matter_and_carbon() -> None:
    found = read(GOOD)
    what = found.problem.offers[0].what
    assert what.moisture_wet == pytest.approx(0.77)
    assert what.density == pytest.approx(450)
    assert what.om_dry == pytest.approx(0.8)
    assert what.c_dry == pytest.approx(0.444, abs=0.0005)
    assert len(found.notices) == 3
    assert "standard deviation 20" in found.notices[0]


def test_a_labs_carbon_goes_before_that_of_ash() -> None:
    by_ratio = read(GOOD.replace("n_pct_dry = 2.0", "n_pct_dry = 2.0\ncn = 20")).problem.offers[0].what
    as_such = read(GOOD.replace("n_pct_dry = 2.0", "n_pct_dry = 2.0\nc_pct_dry = 40")).problem.offers[0].what
    assert by_ratio.c_dry == pytest.approx(0.4)
    assert by_ratio == as_such
    assert by_ratio.om_dry == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("pail_full_kg = [10, 10.4, 9.6]", "pail_full_kg = [0.9, 10]", "A full pail weighs more"),
        ("pail_full_kg = [10, 10.4, 9.6]", "pail_full_kg = []", "0 numbers"),
        ("pail_full_kg = [10, 10.4, 9.6]", 'pail_full_kg = ["ten", 10]', "plain number"),
        ("pail_full_kg = [10, 10.4, 9.6]", "pail_full_kg = [[10]]", "plain number"),
        ("pail_full_kg = [10, 10.4, 9.6]", "", "Write all of pail_l"),
        ("pail_l = 20", "pail_l = 0", "above 0"),
        ("pail_l = 20", "pail_l = 20\nbulk_density_kg_m3 = 450", "not both"),
        ("dry_g = [6.3, 6.3]", "dry_g = [6.3]", "1 for 2 samples"),
        ("dry_g = [6.3, 6.3]", "dry_g = [6.3, 15]", "no more than wet"),
        ("cup_g = 4", "cup_g = 7", "more than cup_g"),
        ("cup_g = 4", "cup_g = 4\nmoisture_pct = 77", "not both"),
        ("ash_pct_dry = 20", "ash_pct_dry = 120", "at most 100"),
        ("ash_pct_dry = 20", "ash_pct_dry = 20\norganic_matter_pct_dry = 80", "keep one"),
        ("ash_pct_dry = 20", 'ash_pct_dry = 20\nbasis = "as received"', "Ash is of dry mass"),
    ],
)
def test_weights_that_cannot_be_are_refused_once_and_not_called_missing(
    old: str, new: str, says: str
) -> None:
    (told,) = wrong(old, new)
    assert says in told


def test_bucket_tests_give_the_shrink() -> None:
    found = read(
        f"bucket_test = [{{ parts_l = [10, 10], mix_l = 18 }}, {{ parts_l = [20, 5], mix_l = 22.5 }}]\n{GOOD}"
    )
    assert found.problem.shrink == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("bucket_test = []", "at least one"),
        ("bucket_test = 3", "under its own"),
        ("bucket_test = [{ parts_l = [10], mix_l = 9 }]", "at least two"),
        ("bucket_test = [{ parts_l = [10, 10] }]", "Write all of parts_l, mix_l"),
        ("bucket_test = [{ parts_l = [10, 10], mix_l = 4 }]", "0.8 lost"),
        ("shrink = 0.1\nbucket_test = [{ parts_l = [10, 10], mix_l = 18 }]", "not both"),
    ],
)
def test_bucket_tests_that_cannot_be_are_refused(given: str, says: str) -> None:
    (told,) = wrong("total_t = 10", f"total_t = 10\n{given}")
    assert says in told

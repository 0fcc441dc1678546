"""N x C:N must be a carbon that something can have; a slip is told with the value likely meant."""

import pytest

from turnrow.blend import carbon, slips
from turnrow.blend.notices import Notice
from turnrow.blend.table import from_table
from turnrow.handbook.feedstocks import feedstocks
from turnrow.yard.wrongs import Refusal


@pytest.mark.parametrize(
    ("share", "kind"),
    [
        (0.299, Notice),
        (0.30, None),
        (0.444, None),
        (0.58, None),
        (0.581, Notice),
        (0.65, Notice),
        (0.651, Refusal),
        (1.06, Refusal),
    ],
)
def test_carbon_is_warned_about_outside_30_to_58_and_refused_above_65(
    share: float, kind: type | None
) -> None:
    by_ratio, given_as_such = (
        carbon.carbon_check("row", share / 20, 20),
        carbon.carbon_given_check("c", share),
    )
    assert (by_ratio is None and given_as_such is None) if kind is None else isinstance(by_ratio, kind)
    assert type(by_ratio) is type(given_as_such)


def test_no_default_of_the_table_is_refused_and_the_poor_ones_are_known() -> None:
    warned = set()
    for key, one in feedstocks().items():
        if one.figure("moisture") is None or "n, c or cn" in one.missing:
            continue
        made = from_table(one)
        found = carbon.carbon_given_check(key, made.c_dry)
        assert not isinstance(found, Refusal), key
        if found:
            warned.add(key)
    assert warned == {"beef feedlot manure", "finished compost"}


def test_a_fresh_ash_carbon_tells_its_range() -> None:
    got = carbon.carbon_from_ash(0.2)
    assert (got.low / got.c_dry - 1, got.high / got.c_dry - 1) == (pytest.approx(-0.19), pytest.approx(0.08))


@pytest.mark.parametrize(
    ("call", "likely", "words"),
    [
        (lambda: slips.density_slip("d", 1458, 785, 993), 865.0, "lb/yd3"),
        (lambda: slips.density_slip("d", 12, 150, 300), 192.2, "lb/ft3"),
        (lambda: slips.density_slip("d", 62), 62, ""),
        (lambda: slips.density_slip("d", 0.45, 300, 600), 450, "kg per litre"),
        (lambda: slips.percent_slip("m", 0.6, 5, 95), 60, "fraction"),
        (lambda: slips.percent_slip("n", 0.024, 1.5, 4.2), 2.4, "fraction"),
        (lambda: slips.percent_slip("m", 6000, 5, 95), 60, "hundred"),
        (lambda: slips.cn_slip("cn", 1.8, 11, 30), 18, "decimal point"),
        (lambda: slips.cn_slip("cn", 190, 11, 30), 19, "decimal point"),
    ],
)
def test_a_slip_is_told_with_the_likely_value(call: object, likely: float, words: str) -> None:
    found = call()  # type: ignore[operator]
    if words:
        assert found.likely == pytest.approx(likely, rel=1e-3)
        assert words in found.sentence()
    else:
        assert found is None


def test_a_value_that_no_factor_mends_is_told_without_a_guess() -> None:
    found = slips.density_slip("d", 30000, 785, 993)
    assert found is not None
    assert found.likely is None
    assert slips.percent_slip("m", 60, 40, 65) is None


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("27-Apr", (4, 27)),
        ("18-Dec", (12, 18)),
        ("Apr-27", (4, 27)),
        (" 4-Dec ", (4, 12)),
        ("27 April", (4, 27)),
        ("4-27", None),
        ("27-Apple", None),
        ("27-Xyz", None),
        ("straw", None),
        ("", None),
    ],
)
def test_a_range_that_became_a_day_is_turned_back(text: str, numbers: tuple[int, int] | None) -> None:
    assert slips.dated_range(text) == numbers
    assert (slips.day_for_range(text) == "") == (numbers is None)

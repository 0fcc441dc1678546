"""The feedstock table: every number placed, two of nitrogen, carbon and C:N stored, slips kept out."""

import pytest

from turnrow.handbook.feedstocks import OTHER_NAMES, feedstocks, find, near, read_feedstocks

HEAD = "key,quantity,value,low,high,unit,basis,form,source,where,read,use,note\n"


def test_at_least_35_materials_with_nitrogen_and_carbon() -> None:
    with_both = [one for one in feedstocks().values() if "n, c or cn" not in one.missing]
    assert len(with_both) >= 35


def test_at_least_35_materials_are_ready_for_a_recipe() -> None:
    assert len([key for key, one in feedstocks().items() if not one.missing]) >= 35


def test_of_nitrogen_carbon_and_cn_never_all_three_are_defaults() -> None:
    for key, one in feedstocks().items():
        assert sum(one.figure(name) is not None for name in ("n", "c", "cn")) <= 2, key


def test_a_default_carries_the_range_beside_it() -> None:
    nitrogen = feedstocks()["dairy manure"].figure("n")
    assert nitrogen is not None
    assert (nitrogen.value, nitrogen.low, nitrogen.high, nitrogen.known) == (2.4, 1.5, 4.2, "READ")


def test_straw_has_a_density_for_each_form() -> None:
    straw = feedstocks()["straw"]
    assert straw.forms == ("heaped", "loose")
    assert [straw.figure("density", form).value for form in straw.forms] == [135, 40]  # type: ignore[union-attr]
    assert straw.figure("density", "pellets") is None


@pytest.mark.parametrize("key", ["sawdust", "softwood bark", "broiler litter", "telephone books", "straw"])
def test_figures_that_cannot_be_right_are_kept_as_refused_and_say_why(key: str) -> None:
    refused = [f for f in feedstocks()[key].figures if f.use == "refused"]
    assert refused
    assert all(figure.note for figure in refused)


def test_wood_is_anchored_at_half_carbon() -> None:
    for key in ("sawdust", "wood shavings", "softwood chips", "hardwood chips"):
        carbon, nitrogen = feedstocks()[key].figure("c"), feedstocks()[key].figure("n")
        assert carbon is not None
        assert (carbon.value, nitrogen) == (50, None), key


def test_a_recalled_number_is_never_shown_as_read() -> None:
    figures = [f for one in feedstocks().values() for f in one.figures]
    assert all(f.known == "MEMORY" for f in figures if f.source == "nraes54-a1")
    assert {f.known for f in figures} == {"READ", "MEMORY", "OWN"}


def test_a_name_is_found_whatever_its_case_and_strokes() -> None:
    assert find(" Dairy_Manure ", feedstocks()) is feedstocks()["dairy manure"]
    assert find("unobtainium", feedstocks()) is None
    assert "wheat straw" in near("chopped straw", feedstocks())


def test_another_name_leads_to_a_feedstock_and_hides_none() -> None:
    for name, key in OTHER_NAMES.items():
        assert name not in feedstocks()
        assert find(name.upper(), feedstocks()) is feedstocks()[key]


def test_what_is_missing_is_said() -> None:
    assert feedstocks()["coffee grounds"].missing == ("moisture", "density")
    assert feedstocks()["dairy manure"].missing == ()


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("a,weight,1,,,%,dry,,s,,READ,default,", "quantity 'weight'"),
        ("a,n,1,,,kg,dry,,s,,READ,default,", "unit 'kg'"),
        ("a,n,1,,,%,wet,,s,,READ,default,", "basis 'wet'"),
        ("a,n,1,,,%,dry,,s,,READ,maybe,", "use 'maybe'"),
        ("a,n,,,,%,dry,,s,,READ,default,", "no value"),
        ("a,n,5,1,2,%,dry,,s,,READ,default,", "outside"),
        ("a,n,1,2,,%,dry,,s,,READ,default,", "want both"),
        ("a,n,-1,,,%,dry,,s,,READ,default,", "want 0 to"),
        ("a,n,nan,,,%,dry,,s,,READ,default,", "want 0 to"),
    ],
)
def test_a_row_that_does_not_fit_is_named(row: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_feedstocks(HEAD + row)


def test_two_defaults_for_one_quantity_are_turned_away() -> None:
    with pytest.raises(ValueError, match="two defaults"):
        read_feedstocks(HEAD + 2 * "a,n,1,,,%,dry,,s,,READ,default,\n")


def test_three_of_three_is_turned_away() -> None:
    rows = "".join(
        f"a,{q},1,,,{u},{b},,s,,READ,default,\n"
        for q, u, b in (("n", "%", "dry"), ("c", "%", "dry"), ("cn", "", "mass"))
    )
    with pytest.raises(ValueError, match="want two"):
        read_feedstocks(HEAD + rows)

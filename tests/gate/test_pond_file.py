"""What a pond file may say, and every refusal at once with what to do."""

import pytest

from turnrow.cli.pad import POND
from turnrow.gate.pond_file import PondFile, read_pond
from turnrow.handbook.figures import pond_figures
from turnrow.handbook.ground import grounds
from turnrow.yard.wrongs import Refused

STORM = "[storm]\nrain_mm = 60\n"
LOT = '[[surface]]\nname = "lot"\narea_m2 = 100\ncn = 91\n'
DEEP = "depth_m = 3\n[balance]\n"
HOLE = "[pond]\nbottom_width_m = 10\nbottom_length_m = 20\nside_slope = 2\n"


def read(text: str) -> PondFile:
    return read_pond(text.encode(), "a.toml", pond_figures(), grounds())


def refused(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as wrong:
        read(text)
    return [(one.where.removeprefix("a.toml, "), one.do) for one in wrong.value.refusals]


def test_the_example_is_read() -> None:
    found = read(POND)
    assert [one.cn for one in found.surfaces] == [91, 98, 74]
    assert found.surfaces[2].area == 6000 and found.surfaces[2].runs_off == pytest.approx(0.2)
    assert found.through is not None and found.through.names[-1] == "Mar" and not found.through.daily
    assert found.kept is not None and found.kept.runoff is None and not found.low


def test_either_unit_says_the_same() -> None:
    si = read(STORM.replace("rain_mm = 60", "rain_mm = 63.5") + LOT.replace("100", "4046.8564224") + HOLE)
    feet = HOLE.replace("width_m = 10", "width_ft = 32.80839895013123").replace(
        "length_m = 20", "length_ft = 65.61679790026247"
    )
    us = read(
        STORM.replace("rain_mm = 60", "rain_in = 2.5") + LOT.replace("area_m2 = 100", "area_ac = 1") + feet
    )
    assert us.rain == pytest.approx(si.rain)
    assert us.surfaces[0].area == pytest.approx(si.surfaces[0].area)
    assert us.pond is not None and si.pond is not None
    assert (us.pond.width, us.pond.length) == pytest.approx((si.pond.width, si.pond.length))


def test_a_round_pond_and_the_later_abstraction() -> None:
    found = read(
        'abstraction = 0.05\nground = "wet"\n'
        + STORM
        + LOT
        + "[pond]\nbottom_diameter_ft = 30\nside_slope = 3\n"
    )
    assert found.low and found.ground == "wet"
    assert found.pond is not None and found.pond.round and found.pond.width == pytest.approx(9.144)


def test_every_refusal_at_once() -> None:
    places = [
        place
        for place, _ in refused(
            'ground = "soaked"\nabstraction = 0.1\nstrom = 1\n[storm]\nintensity_mm_h = 50\n'
            '[[surface]]\narea_m2 = 5\narea_ac = 1\nkind = "unpaved lot"\n[[surface]]\nname = "b"\ncn = 0\n'
            "[pond]\nbottom_width_m = 3\ndepth_m = 1\nfreeboard_m = 2\n[storage]\nsolids_m3 = 3\n"
            '[balance]\nrain_mm = [1, -2]\nstep = "week"\n'
        )
    ]
    assert set(places) == {
        "ground", "abstraction", "strom", "[storm], rain_mm", "surface 1, area_m2, area_ac",
        "surface 1, coefficient", "surface 2, coefficient", "surface 2, area_m2", "surface 2, cn",
        "[pond], bottom_length_m", "[pond], side_slope", "[pond], freeboard", "[storage], rain_mm",
        "[balance], rain_mm[2]", "[balance], step",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        (STORM, "surface", "under its own [[surface]]"),
        (LOT, "storm", "Write [storm] with rain_mm"),
        (STORM + LOT + LOT, "surface", "a name of its own"),
        (STORM + LOT.replace("cn = 91", ""), "surface 1, kind", "Write cn, or coefficient, or kind: roof"),
        (STORM + LOT.replace("cn = 91", 'kind = "gravle"'), "surface 1, kind", "Likely 'gravel'."),
        (STORM + LOT.replace("cn = 91", 'kind = "gravel"'), "surface 1, soil", "A (sand), B, C or D (clay)"),
        (STORM + LOT + 'soil = "B"\n', "surface 1, soil", "Leave it out"),
        (STORM + LOT + 'kind = "roof"\n', "surface 1, cn", "leave one out"),
        (STORM + LOT.replace("91", "100.5"), "surface 1, cn", "at most 100"),
        (STORM + LOT.replace("area_m2 = 100", "area_m2 = 0"), "surface 1, area_m2", "0.1 or more"),
        (STORM.replace("60", "inf") + LOT, "[storm], rain_mm", "plain number"),
        (STORM.replace("60", "6000") + LOT, "[storm], rain_mm", "at most 5000"),
        (STORM + LOT + "[storage]\nrain_mm = 3\n", "pond", "[storage] asks for it"),
        (STORM + LOT + "[balance]\nrain_mm = [3]\n", "pond", "[balance] asks for it"),
        (STORM + LOT + HOLE + "[balance]\nrain_mm = [3]\n", "[pond], depth_m", "to the rim"),
        (STORM + LOT + HOLE + DEEP + "rain_mm = 3\n", "[balance], rain_mm", "list of numbers"),
        (STORM + LOT + HOLE + DEEP, "[balance], rain_mm", "Or rain_in."),
        (
            STORM + LOT + HOLE + DEEP + "rain_mm = [3, 4]\ntaken_m3 = [1]\n",
            "[balance], taken_m3",
            "as many as there are of rain: 2",
        ),
        (
            STORM + LOT + HOLE + DEEP + "rain_mm = [3]\nnames = [1]\n",
            "[balance], names",
            "list of texts",
        ),
        (
            STORM + LOT + HOLE + "bottom_diameter_m = 3\nshape = 'rectangle'\n",
            "[pond], bottom_diameter",
            "Leave it out",
        ),
        (STORM + LOT + HOLE + "shape = 'oval'\n", "[pond], shape", "rectangle or circle"),
        (
            STORM + LOT + HOLE.replace("slope = 2", "slope = 0").replace("width_m = 10", "width_m = 0"),
            "[pond], side_slope",
            "it holds nothing",
        ),
        ("storm = 3\n" + LOT, "storm", "Write a table"),
        ("surface = 3\n" + STORM, "surface", "under its own [[surface]]"),
    ],
)  # fmt: skip
def test_what_is_refused_and_what_to_do(text: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(text)
    assert where == place and do in what and not more


BALANCE = STORM + LOT + HOLE + "depth_m = 3\n[balance]\nrain_mm = [60, 40]\n"
CLIMATE = (
    "[climate]\nlatitude = 50.8\nday_of_year = [187, 200]\ndays = [31, 31]\nt_max_c = [21.5, 22]\n"
    "t_min_c = [12.3, 12]\nrh_pct = [70, 70]\nwind_m_s = [2, 2]\nsun_h = [9, 8]\n"
)


def test_a_climate_in_either_unit_is_the_same() -> None:
    si = read(BALANCE + CLIMATE)
    us = read(
        BALANCE
        + CLIMATE.replace("t_max_c = [21.5, 22]", "t_max_f = [70.7, 71.6]")
        .replace("wind_m_s = [2, 2]", "wind_mph = [4.47387258, 4.47387258]")
        .replace("rh_pct = [70, 70]", "rh_max_pct = [70, 70]\nrh_min_pct = [70, 70]")
    )
    assert si.climate is not None and us.climate is not None
    for one, two in zip(si.climate.steps, us.climate.steps, strict=True):
        assert one[2].warmest == pytest.approx(two[2].warmest) and one[2].wind == pytest.approx(two[2].wind)
        assert one[:2] == two[:2] and one[2].driest == two[2].driest


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        (STORM + LOT + CLIMATE, "climate", "only [balance] asks"),
        (BALANCE + "evaporation_mm = [9, 9]\n" + CLIMATE, "[balance], evaporation", "both say it"),
        (BALANCE + CLIMATE.replace("latitude = 50.8\n", ""), "[climate], latitude", "below 0 in the south"),
        (BALANCE + CLIMATE.replace("50.8", "71"), "[climate], latitude", "at most 66"),
        (BALANCE + CLIMATE + "solar_mj_m2 = [9, 9]\n", "[climate], sun_h", "one of them"),
        (BALANCE + CLIMATE.replace("rh_pct", "rh_max_pct"), "[climate], rh_min_pct", "one for each step"),
        (BALANCE + CLIMATE.replace("[187, 200]", "[187]"), "[climate], day_of_year", "of rain: 2"),
        (BALANCE + CLIMATE.replace("[12.3, 12]", "[12.3, 23]"), "[climate], t_max[2]", "the coldest, 23"),
        (BALANCE + CLIMATE + "t_max_f = [70, 70]\n", "[climate], t_max_c", "one unit"),
        (
            BALANCE + CLIMATE.replace("rh_pct = [70, 70]", "rh_max_pct = [70, 70]\nrh_min_pct = [60, 80]"),
            "[climate], rh_max_pct[2]",
            "the driest, 80",
        ),
        (BALANCE.replace("[60, 40]", "60") + CLIMATE, "[balance], rain_mm", "list of numbers"),
    ],
)
def test_what_of_a_climate_is_refused(text: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(text)
    assert where == place and do in what and not more


def test_no_toml_and_no_text() -> None:
    assert "turnrow pond --example" in refused("surface = [")[0][1]
    with pytest.raises(Refused, match="UTF-8"):
        read_pond(b"\xff\xfe", "a.toml", pond_figures(), grounds())

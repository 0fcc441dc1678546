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
        (STORM + LOT + HOLE + DEEP, "[balance], rain_mm", "Or in rain_in."),
        (
            STORM + LOT + HOLE + DEEP + "rain_mm = [3, 4]\ntaken_m3 = [1]\n",
            "[balance], taken",
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


def test_no_toml_and_no_text() -> None:
    assert "turnrow pond --example" in refused("surface = [")[0][1]
    with pytest.raises(Refused, match="UTF-8"):
        read_pond(b"\xff\xfe", "a.toml", pond_figures(), grounds())

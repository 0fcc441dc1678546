"""What a pad file may say, and every refusal at once with what to do."""

import pytest

from turnrow.cli.pad import PAD
from turnrow.gate.pad_file import PadFile, read_pad
from turnrow.handbook.figures import pad_figures
from turnrow.yard.wrongs import Refused

ROW = "[row]\nbase_m = 4\nheight_m = 2\nlength_m = 80\n"
BARE = ROW.replace("length_m = 80\n", "")
LANES = "[lanes]\nlane_m = 4\n"
FLOW = "[flow]\nyear_t = 1000\nbulk_density_kg_m3 = 500\nactive_days = 70\n"
CURED = "[curing]\ndays = 9\nmean_depth_m = 2\n"
SIDES = "[pad]\nlength_m = 100\nwidth_m = 50\n"


def read(text: str) -> PadFile:
    return read_pad(text.encode(), "a.toml", pad_figures())


def refused(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as wrong:
        read(text)
    return [(one.where.removeprefix("a.toml, "), one.do) for one in wrong.value.refusals]


def test_the_example_is_read() -> None:
    found = read(PAD)
    assert found.section.area == pytest.approx(5.16) and not found.sloped and not found.lanes.pairs
    assert found.flow is not None and found.flow.left == 0.5
    assert found.curing is not None and found.curing.left == 0.5 and found.curing.section is not None
    assert found.storage is not None and found.storage.left == pytest.approx(0.45)
    assert [(one.name, one.strip, one.base) for one in found.there] == [("R4", 1, 4.3), ("R5", 2, 4.3)]


def test_either_unit_says_the_same() -> None:
    us = read(
        "[row]\nbase_ft = 14\nheight_ft = 6\nlength_ft = 260\n[lanes]\nlane_ft = 15\n"
        "[flow]\nyear_short_ton = 5000\nbulk_density_lb_yd3 = 900\nactive_days = 70\n"
    )
    assert us.section.base == pytest.approx(4.2672) and us.longest == pytest.approx(79.248)
    assert us.flow is not None and us.flow.volume == pytest.approx(5000 * 2000 / 900 * 0.764554857984)
    yards = read(ROW + LANES + "[flow]\nyear_yd3 = 1000\nactive_days = 70\n")
    assert yards.flow is not None and yards.flow.volume == pytest.approx(764.554857984)
    assert yards.tonnes is None and yards.density is None


@pytest.mark.parametrize(
    ("material", "left"), [("mixed", 0.5), ("dense manure", 0.65), ("strawy bedding", 0.4)]
)
def test_what_is_left_goes_by_the_material(material: str, left: float) -> None:
    found = read(ROW + LANES + FLOW + f'material = "{material}"\n')
    assert found.flow is not None and found.flow.left == pytest.approx(left)


def test_the_pad_sets_the_longest_row_where_none_is_said() -> None:
    found = read(BARE + LANES + "headland_m = 12\n" + SIDES)
    assert found.longest == 76.0


def test_a_half_circle_is_half_as_high_as_wide() -> None:
    found = read(ROW.replace("height_m = 2", 'shape = "half circle"') + LANES + SIDES)
    assert found.section.height == 2.0 and found.section.shape == "half ellipse"


def test_every_refusal_at_once() -> None:
    places = [
        place
        for place, _ in refused(
            'paddy = 1\n[row]\nshape = "square"\nends = "round"\n[lanes]\nby = "hand"\n'
            '[flow]\nyear_t = 5\nyear_m3 = 9\nmaterial = "chalk"\n[curing]\ndays = 30\n'
            "[pad]\nlength_m = 50\n[[there]]\nstrip = 1.5\nbase_m = 4\nheight_m = 2\n"
        )
    ]
    assert set(places) == {
        "paddy", "[row], shape", "[row], ends", "[lanes], by", "[lanes], lane_m", "[flow], year_t",
        "[flow], bulk_density_kg_m3", "[flow], active_days", "[flow], material", "[curing], mean_depth_m",
        "[pad], width_m", "there 1, length_m", "there 1, strip",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        (LANES + FLOW, "row", "Write [row] with base_m"),
        (ROW + FLOW, "lanes", "Write [lanes] with lane_m"),
        (ROW + LANES, "flow", "or [pad] with its sides"),
        (BARE + LANES + FLOW, "[row], length_m", "longest row"),
        (BARE + LANES + "headland_m = 50\n" + SIDES, "[pad], length_m", "no row"),
        (ROW.replace("80", "3") + 'ends = "sloped"\n' + LANES + FLOW, "[row], length_m", "as long as wide"),
        (
            ROW + 'ends = "sloped"\n' + LANES + FLOW + "[curing]\ndays = 9\nbase_m = 90\nheight_m = 3\n",
            "[curing], length_m",
            "as long as wide, 90 m",
        ),
        (ROW + "top_m = 1\n" + LANES + FLOW, "[row], top", 'shape = "trapezoid"'),
        (ROW + "shape = 'trapezoid'\ntop_m = 5\n" + LANES + FLOW, "[row], top", "at most the base, 4 m"),
        (ROW + "shape = 'trapezoid'\n" + LANES + FLOW, "[row], top_m", "how wide the flat top is"),
        (ROW + "shape = 'fitted'\n" + LANES + FLOW, "[row], factor", "as loads have shown"),
        (ROW + "factor = 0.6\n" + LANES + FLOW, "[row], factor", 'shape = "fitted"'),
        (ROW + "shape = 'half circle'\n" + LANES + FLOW, "[row], height", "half as high as wide"),
        (ROW + "base_ft = 13\n" + LANES + FLOW, "[row], base_m, base_ft", "one unit"),
        (ROW + LANES + FLOW.replace("500", "5"), "[flow], bulk_density_kg_m3", "above 20"),
        (ROW + LANES + FLOW + CURED + "base_m = 6\n", "[curing], mean_depth_m", "or"),
        (
            ROW + LANES + FLOW + "[storage]\ndays = 9\nmean_depth_m = 2\nleft_pct = 60\n",
            "[storage], left_pct",
            "50 % of what was laid",
        ),
        (ROW + LANES + SIDES + CURED, "flow", "[curing] is reckoned from it"),
        (ROW + LANES + FLOW + "[[there]]\nlength_m = 9\n", "pad", "take room of it"),
        (ROW + LANES + SIDES + "[[there]]\nlength_m = 9\nname = 'a'\n" * 2, "there", "a name of its own"),
        ("row = 3\n" + LANES + FLOW, "row", "Write a table"),
        ("lanes = 3\n" + ROW + FLOW, "lanes", "Write a table"),
    ],
)  # fmt: skip
def test_what_is_refused_and_what_to_do(text: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(text)
    assert where == place and do in what and not more


def test_no_toml_and_no_text() -> None:
    assert "turnrow pad --example" in refused("row = [")[0][1]
    with pytest.raises(Refused, match="UTF-8"):
        read_pad(b"\xff\xfe", "a.toml", pad_figures())

"""A recipe's sentences, picture and paper. The lots are invented; figures are worked by hand where shown."""

import io
import re
from dataclasses import replace
from datetime import UTC, datetime
from xml.etree import ElementTree

import pikepdf
import pytest

from turnrow.blend.explain import Explanation, Purchase
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.layers import layers
from turnrow.blend.problem import Offer, Problem, Targets
from turnrow.blend.recipe import Tie
from turnrow.blend.solve import solve
from turnrow.blend.used import Used
from turnrow.handbook.feedstocks import feedstocks
from turnrow.records import pen, recipe_words
from turnrow.records.press import pages, press
from turnrow.records.recipe_paper import RecipePaper
from turnrow.records.recipe_picture import mix_window, window_picture, window_rows, window_words
from turnrow.records.recipe_sheet import recipe_sheet

LOT = Spread(moisture_wet=0.02, n_dry=0.002, c_dry=0.02, density=30)
MANURE = Ingredient("manure", 0.80, 0.024, 0.456, 0.83, 800.0)
STRAW = Ingredient("straw", 0.10, 0.007, 0.52, 0.93, 120.0)
LEAVES = Ingredient("leaves", 0.40, 0.009, 0.486, 0.85, 270.0)
MOISTURE = feedstocks()["dairy manure"].figure("moisture")


def problem(**more: object) -> Problem:
    offers = (
        Offer(MANURE, 0.0, 2.5, lot=LOT, load=Spread(fill=0.1)),
        Offer(STRAW, 60.0, 2.5, lot=replace(LOT, density=10)),
        Offer(LEAVES, 12.0, 2.5, lot=LOT),
    )
    asked = Problem(offers, Targets((22, 40), (0.5, 0.65), 0.35), total_kg=30_000.0, confidence=0.6)
    return replace(asked, **more)


def paper(asked: Problem | None = None, **more: object) -> RecipePaper:
    asked = asked or problem()
    found = solve(asked, 0, beside=3)
    used = (
        Used("manure", "moisture", 80.0, "%", 79.0, MOISTURE, "dairy manure"),
        Used("manure", "density", 800.0, "kg/m³", 800.0, None),
        Used("straw", "c", 52.0, "% of dry matter", None, None),
    )
    made = datetime(2026, 5, 20, 8, 0, tzinfo=UTC)
    made_of = RecipePaper(
        asked, found, layers(asked, found), None, None, used, {"nraes54-a1": "a table"}, "e" * 12, made
    )
    return replace(made_of, **more)


def test_the_loads_said_are_the_recipes() -> None:
    one = paper()
    said = recipe_words.take_words(one)
    counts = {name: n for name, n in one.recipe.loads.items() if n}
    assert len(counts) >= 2
    for name, count in counts.items():
        assert f"{recipe_words.buckets(count)} of {name}" in said
    tonnes = sum(one.recipe.mass_kg.values()) / 1000
    assert f"{recipe_words.figure(tonnes)} t in all" in said


def test_the_drivers_list_adds_up_to_what_is_taken() -> None:
    one = paper()
    laid: dict[str, int] = {}
    for layer in one.layers:
        laid[layer.ingredient] = laid.get(layer.ingredient, 0) + (layer.loads or 0) * layer.times
    assert laid == {name: count for name, count in one.recipe.loads.items() if count}
    assert len(recipe_words.layer_words(one)) == len(one.layers)


def test_both_air_spaces_are_said_and_the_one_at_the_base() -> None:
    one = paper(height_m=2.0)
    mix = one.recipe.mix
    assert mix is not None and mix.fas is not None and mix.fas_conservative is not None
    said = recipe_words.mix_words(one)
    assert f"{100 * mix.fas:.0f} % of it as freshly mixed" in said
    assert f"{100 * mix.fas_conservative:.0f} % by the more cautious" in said
    assert "under 2 m of its own weight" in said


@pytest.mark.parametrize(
    ("height", "said"),
    [(1.5, "want 40-60 where nobody turns"), (6.0, "% at the base under 6 m")],
)
def test_a_heap_nobody_turns_is_looked_at_more_closely(height: float, said: str) -> None:
    """The floors and the C:N of 40-60 are OWN (`blend/settled.py`); this mix is richer than that."""
    assert recipe_words.unturned_words(paper(height_m=height)) == ""
    found = recipe_words.unturned_words(paper(height_m=height, unturned=True))
    assert found.startswith("Do not leave it unturned") and said in found


def test_why_not_names_what_cannot_hold_together_and_what_would_mend_it() -> None:
    told = Explanation(
        ("moisture at most 65 %", "4 t of straw in stock"), (Purchase("hay", 2_500.0, "drier"),)
    )
    said = " ".join(recipe_words.why_words(paper(told=told, reachable=0.7)))
    assert "moisture at most 65 % and 4 t of straw in stock" in said
    assert "70 of 100" in said and "2.5 t of hay (drier)" in said


def test_a_near_tie_says_what_it_costs_more_and_how_sure_it_is() -> None:
    tie = Tie({"manure": 11, "straw": 0, "leaves": 1}, {"manure": 1.0, "leaves": 1.0}, 10.0, 0.522)
    said = recipe_words.tie_words(tie)
    assert said == "11 buckets of manure and one bucket of leaves; it costs 10.00 more; holds in 52 of 100."


@pytest.mark.parametrize(
    ("value", "said"),
    [(42.06, "42.1"), (865, "865"), (1234.4, "1,230"), (0.0668, "0.0668"), (999.6, "1,000")],
)
def test_figures_carry_three_digits(value: float, said: str) -> None:
    assert recipe_words.figure(value) == said


@pytest.mark.parametrize("width", [284.0, 760.0])
def test_the_picture_keeps_inside_its_sheet_and_says_its_limits(width: float) -> None:
    drawn = window_picture(paper())
    assert drawn is not None
    root = ElementTree.fromstring(mix_window(drawn, width))
    assert root.attrib["aria-label"] == window_words(drawn)
    texts = [(e.text or "", e.attrib) for e in root.iter() if e.tag.endswith("text")]
    for limit in ("50 % or more", "65 % or less", "C:N 40 or less", "C:N 22 or more", "the mix"):
        assert limit in [text for text, _ in texts]
    for text, at in texts:
        anchor, x = at.get("text-anchor", "start"), float(at["x"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * pen.width_of(text)
        assert left >= -1 and left + pen.width_of(text) <= width + 1


@pytest.mark.parametrize(("width", "words"), [(284.0, " more of "), (760.0, " more")])
def test_every_arrow_has_its_words_and_no_label_lies_on_another(width: float, words: str) -> None:
    drawn = window_picture(paper())
    assert drawn is not None
    root = ElementTree.fromstring(mix_window(drawn, width))
    boxes = [
        (
            float(e.attrib["x"]) - pen.width_of(e.text or "") * ("text-anchor" in e.attrib),
            float(e.attrib["y"]),
            pen.width_of(e.text or ""),
        )
        for e in root.iter()
        if e.tag.endswith("text")
        and (words in f"{e.text}" or e.text == "the mix")
        and "or more" not in f"{e.text}"
    ]
    assert len(boxes) == 4
    for i, (x, y, room) in enumerate(boxes):
        for x2, y2, room2 in boxes[i + 1 :]:
            assert abs(y - y2) >= 12 or x + room < x2 or x2 + room2 < x


def test_the_table_says_what_the_picture_draws() -> None:
    one = paper()
    drawn = window_picture(one)
    assert drawn is not None
    rows = {what: (wet, ratio) for what, wet, ratio in window_rows(drawn)}
    assert rows["limit, low"] == ("50", "22") and rows["limit, high"] == ("65", "40")
    assert rows["the mix on the means"] == (f"{drawn.mean[0]:.1f}", f"{drawn.mean[1]:.1f}")
    assert (
        float(rows["one bucket of straw more"][0])
        < drawn.mean[0]
        < float(rows["one bucket of manure more"][0])
    )
    lower, upper = (float(rows[f"nine of ten outcomes, {end}"][0]) for end in ("from", "to"))
    between = ((drawn.points[:, 0] >= lower) & (drawn.points[:, 0] <= upper)).mean()
    assert between == pytest.approx(0.9, abs=0.03)


def test_nothing_is_drawn_of_what_cannot_be_said() -> None:
    assert window_picture(paper(unsaid=frozenset({"cn"}))) is None
    assert window_picture(paper(problem(targets=Targets((22, 23), (0.1, 0.2))))) is None


def test_the_paper_says_the_source_of_every_number_and_how_it_is_known() -> None:
    sheet = recipe_sheet(paper())
    rows = {(one.material, one.quantity): one for one in sheet.numbers}
    assert rows["manure", "moisture"].known == "nraes54-a1, MEMORY"
    assert rows["manure", "moisture"].whence == "79 typed, handbook 81"
    assert rows["manure", "moisture"].range == "67 to 87"
    assert rows["manure", "density"].whence == "typed"
    assert sheet.edition == "e" * 12 and "ammonia" in sheet.caution and "dust" in sheet.caution


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_the_paper_is_pdf_a_2b_and_the_same_twice(size: str) -> None:
    """ISO 19005-2 level B is what the document's own metadata claim."""
    made = press(recipe_sheet(paper()), size)  # type: ignore[arg-type]
    assert made == press(recipe_sheet(paper()), size)  # type: ignore[arg-type]
    with pikepdf.open(io.BytesIO(made)) as pdf, pdf.open_metadata() as xmp:
        assert (xmp.pdfa_status, xmp["dc:title"]) == ("2B", "Recipe, 20 May 2026")
        assert xmp["xmp:CreateDate"].startswith("2026-05-20")


def test_a_recipe_that_cannot_be_is_printed_too() -> None:
    told = Explanation(("moisture at most 20 %",), ())
    sheet = recipe_sheet(paper(problem(targets=Targets((22, 23), (0.1, 0.2))), told=told))
    assert not sheet.found and sheet.layers == () and sheet.why
    assert press(sheet).startswith(b"%PDF")


def test_a_name_with_signs_of_a_program_stays_a_name() -> None:
    tricky = '#panic("no") $x$ *a* <b>&'
    asked = problem(
        offers=(replace(problem().offers[0], what=replace(MANURE, name=tricky)), *problem().offers[1:])
    )
    one = paper(asked)
    drawn = window_picture(one)
    assert drawn is not None
    svg = mix_window(drawn)
    assert "<b>" not in svg and "&lt;b&gt;&amp;" in re.sub(r"\s", "", svg)
    assert len(pages(recipe_sheet(one), ppi=30)) >= 1

"""Blend: the form, its answer, its refusals, its paper; what the page says is what the desk command says."""

import io
import re
from datetime import timedelta
from html import unescape
from urllib.parse import parse_qsl, urlencode

import pikepdf
import pytest
from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk
from turnrow.foreman.recipe_papers import recipe_paper
from turnrow.foreman.recipes import answered, as_keys
from turnrow.gate.recipe_file import read_recipe
from turnrow.handbook.book import handbook
from turnrow.handbook.feedstocks import feedstocks
from turnrow.web.blend import build_url, reckoned
from turnrow.web.blend_fields import EXAMPLE, FIELDS
from turnrow.yard.entries import RowBuilt

from .conftest import NOW

ASKED = "/blend?" + urlencode(EXAMPLE)
BAD = {
    **EXAMPLE,
    "total": "none",
    "moisture_1": "178",
    "cn_low": "50",
    "name_2": "dragon dung",
    "n_2": "<b>9",
}


def said(text: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_the_form_stands_with_its_first_values_and_says_where_they_come_from(pages: TestClient) -> None:
    text = pages.get("/blend").text
    for name, value in (("cn_low", "25"), ("cn_high", "40"), ("moisture_low", "50"), ("air_low", "35")):
        assert re.search(rf'name="{name}"[^>]*value="{value}"', text)
    assert "The Composting Handbook 2021, table 4.2" in said(text)
    assert 'id="answer"' not in text


def test_every_field_of_the_form_is_known(pages: TestClient) -> None:
    text = pages.get("/blend").text
    names = set(re.findall(r'name="([a-z_0-9]+)"', text[text.index("<form") : text.index("Find the mix")]))
    later = {name for name in FIELDS if re.search(r"_(9|[1-6][0-9])(_unit)?$", name)}  # shown once needed
    assert names == FIELDS - later


def test_the_invented_example_is_a_press_away_and_gives_a_mix(pages: TestClient) -> None:
    assert "Fill in an example (invented)" in pages.get("/blend").text
    moved = pages.get("/blend?example=1")
    assert moved.status_code == 303
    answer = pages.get(moved.headers["location"])
    assert answer.status_code == 200 and "Take " in said(answer.text)


def test_the_page_says_what_the_desk_command_says_of_its_file(pages: TestClient) -> None:
    data = pages.get(ASKED.replace("/blend?", "/blend/recipe.toml?")).content
    keys = as_keys(answered(read_recipe(data, "recipe.toml", feedstocks())))
    text = said(pages.get(ASKED).text)
    assert keys["status"] == "optimal"
    for name, count in keys["loads"].items():
        assert (f"{count} buckets of {name}" in text) == bool(count)
    assert f"its C:N is {keys['mix']['cn']:.3g}" in text
    assert f"{keys['mix']['moisture_pct']:.3g} % of its mass is water" in text
    assert f"All limits hold together in {100 * keys['chance']['joint']:.2g} of 100" in text
    assert f"It costs {keys['cost']:.2f}" in text
    assert len(keys["layers"]) == pages.get(ASKED).text.split('class="layers"')[1].split("</ol>")[0].count(
        "<li"
    )


def test_everything_wrong_is_told_beside_its_field_and_what_was_typed_stays(pages: TestClient) -> None:
    answer = pages.get("/blend?" + urlencode(BAD))
    assert answer.status_code == 422
    for name in ("total", "moisture_1", "cn_low", "cn_2", "moisture_2", "density_2", "n_2"):
        assert f'id="wrong-{name}-1"' in answer.text
        assert re.search(rf'name="{name}"[^>]*aria-invalid="true"', answer.text)
    assert 'value="178"' in answer.text and 'value="dragon dung"' in answer.text
    assert 'value="&lt;b&gt;9"' in answer.text and "<b>9" not in answer.text


def test_what_cannot_be_says_why_and_what_would_mend_it(pages: TestClient) -> None:
    asked = {**EXAMPLE, "chance": "", "name_2": "", "stock_2": "", "cost_2": "", "name_3": "", "stock_3": ""}
    asked |= {"moisture_3": "", "cost_3": ""}
    text = said(pages.get("/blend?" + urlencode(asked)).text)
    assert (
        "It cannot be done so" in text
        and "gives this: air space at least 35 %" in text
        and "It would be mended by" in text
    )


def test_looking_writes_nothing(pages: TestClient, laid: Desk) -> None:
    before = laid.book.head()
    for kind in ("", "/recipe.pdf", "/recipe.toml", "/window.csv"):
        assert pages.get(ASKED.replace("/blend?", f"/blend{kind}?")).status_code == 200
    assert laid.book.head() == before


def test_the_paper_is_the_same_twice_and_names_the_yard(pages: TestClient) -> None:
    address = ASKED.replace("/blend?", "/blend/recipe.pdf?")
    first, second = pages.get(address), pages.get(address)
    assert first.content == second.content and first.headers["content-type"] == "application/pdf"
    with pikepdf.open(io.BytesIO(first.content)) as pdf, pdf.open_metadata() as xmp:
        assert (xmp.pdfa_status, xmp["dc:title"][-15:]) == ("2B", ", Larkhill yard")


def test_a_paper_of_a_wrong_form_is_refused(pages: TestClient) -> None:
    assert pages.get("/blend/recipe.pdf?" + urlencode(BAD)).status_code == 422
    assert pages.get("/blend/window.csv?total=1").status_code == 422


def test_the_picture_has_its_table_and_its_csv(pages: TestClient) -> None:
    rows = pages.get(ASKED.replace("/blend?", "/blend/window.csv?")).text.splitlines()
    assert rows[0] == 'what,"moisture, %",C:N'
    text = said(pages.get(ASKED).text)
    assert all(row.split(",")[-1] in text for row in rows[1:])


def test_the_mix_becomes_a_row_through_the_form_it_leads_to(pages: TestClient, laid: Desk) -> None:
    link = unescape(re.findall(r'href="(/write/build\?[^"]+)"', pages.get(ASKED).text)[0])
    form = pages.get(link).text
    fields = dict(parse_qsl(link.partition("?")[2]))
    found = re.findall(r'name="id" value="([^"]+)"', form)[0]
    sent = {**fields, "row": "R50", "who": "Ada", "id": found, "process": "turned"}
    assert pages.post("/write/build", data=sent).status_code == 303
    laid.refresh()
    built = laid.diary.line(laid.diary.head).entry.what
    assert isinstance(built, RowBuilt)
    recipe = reckoned(tuple(sorted(EXAMPLE.items())))[1].recipe
    taken = {name: kg for name, kg in recipe.mass_kg.items() if kg > 0}
    assert {part.material: part.amount.value / 1000 for part in built.parts} == pytest.approx(taken, rel=1e-3)


def test_what_is_on_hand_is_shown_with_its_lines_and_fills_the_form(pages: TestClient, laid: Desk) -> None:
    for number, (material, amount, refused) in enumerate(
        (("Oat straw", "20 t", ""), ("goat bedding", "60 t", ""), ("leaves", "9 t", "plastic in it"))
    ):
        fields = {"load": str(number), "material": material, "amount": amount, "refused": refused}
        fields["happened"] = (NOW - timedelta(hours=1)).isoformat()
        laid.write("load in", fields, now=NOW, who="Ada", device="test")
    text = said(pages.get("/blend").text)
    # each of the three rows took 12 t of bedding and 3 t of straw
    assert "Oat straw : 11 t" in text and "goat bedding : 24 t (not in the handbook" in text
    assert "leaves :" not in text
    filled = dict(parse_qsl(pages.get("/blend?stock=1").headers["location"].partition("?")[2]))
    assert (filled["name_1"], filled["stock_1"], filled["name_2"]) == ("goat bedding", "24", "Oat straw")


def test_an_empty_book_can_make_a_recipe_too(blank: TestClient) -> None:
    assert "Take " in said(blank.get(ASKED).text)
    assert blank.get(ASKED.replace("/blend?", "/blend/recipe.pdf?")).status_code == 200


def test_names_from_outside_stay_text(pages: TestClient) -> None:
    name = '"><script>alert(1)</script>'
    own = {"name_3": name, "moisture_3": "40", "n_3": "1", "cn_3": "50", "density_3": "250"}
    answer = pages.get("/blend?" + urlencode({**EXAMPLE, **own, "stock_3_unit": "t"}))
    assert answer.status_code == 200 and "<script>alert" not in answer.text


def test_the_api_answers_as_the_desk_does(pages: TestClient) -> None:
    asked = {
        "total_t": 30,
        "targets": {"cn": [25, 40], "moisture_pct": [50, 65], "fas_pct_min": 35},
        "ingredient": [
            {"name": "dairy manure", "load_m3": 2.5, "sd_lot": {"moisture_pct": 2}},
            {"name": "leaves", "load_m3": 2.5, "cost_per_t": 15},
        ],
    }
    data = pages.get("/api/openapi.json").json()["paths"]["/api/blend"]["post"]["responses"]
    assert {"200", "400", "422"} <= set(data)
    found = pages.post("/api/blend", json=asked).json()
    toml = (
        "total_t = 30\n[targets]\ncn = [25, 40]\nmoisture_pct = [50, 65]\nfas_pct_min = 35\n[[ingredient]]\n"
        'name = "dairy manure"\nload_m3 = 2.5\nsd_lot = {moisture_pct = 2}\n[[ingredient]]\nname = "leaves"\n'
        "load_m3 = 2.5\ncost_per_t = 15\n"
    )
    keys = as_keys(answered(read_recipe(toml.encode(), "x", feedstocks())))
    assert found["status"] == "optimal"
    assert {key: found[key] for key in ("loads", "mass_t", "cost", "mix", "chance", "layers")} == {
        key: keys[key] for key in ("loads", "mass_t", "cost", "mix", "chance", "layers")
    }


def test_the_api_turns_everything_wrong_away_at_once(pages: TestClient) -> None:
    asked = {
        "targets": {"cn": [40, 25]},
        "ingredient": [{"name": "dragon dung"}, {"name": "straw", "n_pct_dry": 5, "cn": 90}],
    }
    answer = pages.post("/api/blend", json=asked)
    assert answer.status_code == 422
    where = " ".join(one["where"] for one in answer.json()["refusals"])
    assert all(word in where for word in ("[targets], cn", "dragon dung", "(straw)"))
    assert pages.post("/api/blend", content=b"{").status_code in (400, 422)
    assert pages.post("/api/blend", json={"total_t": 1, "ingredient": []}).status_code == 422


def test_a_mix_of_eight_materials_still_fits_the_form() -> None:
    names = [key for key, one in feedstocks().items() if not one.missing][:8]
    fields = {
        **EXAMPLE,
        "chance": "",
        "cn_low": "1",
        "cn_high": "400",
        "moisture_low": "1",
        "moisture_high": "99",
    }
    fields |= {f"name_{n}": name for n, name in enumerate(names, 1)}
    fields |= {f"least_{n}": "3" for n in range(1, 9)}
    fields |= {
        "air_low": "",
        "moisture_1": "",
        "n_1": "",
        "density_1": "",
        "moisture_3": "",
        "stock_3_unit": "t",
    }
    fields = {k: v for k, v in fields.items() if not k.startswith(("stock_", "cost_"))}
    form, found = reckoned(tuple(sorted(fields.items())))
    assert len([kg for kg in found.recipe.mass_kg.values() if kg > 0]) == 8
    assert "material_8=" in build_url(recipe_paper(found, handbook(), NOW, used=form.used))


def test_sixty_materials_and_a_chance_are_answered(pages: TestClient) -> None:
    names = [key for key, one in feedstocks().items() if not one.missing]
    asked = {**EXAMPLE, "chance": "80"}
    for place in range(1, 61):
        asked[f"name_{place}"] = names[place % len(names)] if place <= len(names) else f"pile {place}"
        asked[f"stock_{place}"], asked[f"stock_{place}_unit"] = "30", "t"
        asked[f"cost_{place}"] = str(place % 7 + 1)
        own = {"moisture": str(30 + place % 40), "n": str(0.5 + place % 3), "cn": "22", "density": "400"}
        asked |= {f"{key}_{place}": value if place > len(names) else "" for key, value in own.items()}
    answer = pages.get("/blend?" + urlencode(asked))
    assert answer.status_code == 200
    assert "Take " in said(answer.text) or "search ended" in said(answer.text)

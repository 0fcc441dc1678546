"""Blend: what to mix from what lies there. Everything is in the address, and looking writes nothing."""

from collections.abc import Mapping
from datetime import datetime
from functools import lru_cache
from urllib.parse import urlencode

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import RedirectResponse, Response

from turnrow.foreman.desk import Desk
from turnrow.foreman.lab_samples import lab_samples
from turnrow.foreman.recipe_papers import recipe_paper
from turnrow.foreman.recipes import Answered, answered
from turnrow.foreman.stock import OnHand, on_hand
from turnrow.gate.recipe_form import CHANCES, PLACES, Form, form_from
from turnrow.gate.recipe_lot import Sample
from turnrow.handbook.book import handbook
from turnrow.handbook.feedstocks import Feedstock, feedstocks, find
from turnrow.records import recipe_picture, recipe_words
from turnrow.records.press import press
from turnrow.records.recipe_paper import RecipePaper
from turnrow.records.recipe_sheet import number_rows, recipe_sheet
from turnrow.web.asking import Asked, asked_of, keeper_of
from turnrow.web.blend_fields import EXAMPLE, FIELDS, defaults, plain_number, refusals_by_field, targets
from turnrow.web.links import write_url
from turnrow.web.papers import PDF, sized
from turnrow.web.render import page
from turnrow.web.rows import csv_answer, download
from turnrow.web.rows import sized as at_its_size
from turnrow.yard.wrongs import Refused

router = APIRouter(include_in_schema=False)
WIDE, NARROW = 760, 284  # px
LONGEST = 200  # characters of one field
SHOWN = 8  # materials asked for at first; as many as there are, once there are more
ANSWERS = 64  # kept, so that page, paper and file of one recipe are reckoned once
Typed = tuple[tuple[str, str], ...]


@router.get("/blend")
def blend(request: Request) -> Response:
    """The form, and once it is sent the answer under it."""
    given = given_of(request)
    with keeper_of(request).desk() as desk:
        asked, stock, made = asked_of(request, desk), on_hand(desk), _made(desk, keeper_of(request).clock())
        yard, sampled, start = desk.diary.yard, lab_samples(desk), defaults(desk.settings())
    if "example" in given:
        return RedirectResponse(f"/blend?{urlencode(EXAMPLE)}", 303)
    if "stock" in given:
        return RedirectResponse(f"/blend?{urlencode(from_stock(stock))}", 303)
    known = {**start, **given}
    if "total" not in given:
        return _page(asked, stock, known)
    try:
        form, found = reckoned(tuple(sorted(given.items())), sampled)
    except Refused as wrong:
        return _page(asked, stock, known, wrong=refusals_by_field(wrong.refusals), status=422)
    paper = recipe_paper(
        found, handbook(), made, used=form.used, yard=yard, height_m=form.height_m, unturned=form.unturned
    )
    return _page(asked, stock, known, paper=paper, status=200)


@router.get("/blend/recipe.pdf")
def recipe_pdf(request: Request, size: str = "a4") -> Response:
    """The recipe as a paper, from the same address as the page's."""
    given = given_of(request)
    with keeper_of(request).desk() as desk:
        made, yard = _made(desk, keeper_of(request).clock()), desk.diary.yard
        sampled = lab_samples(desk)
    form, found = reckoned(tuple(sorted(given.items())), sampled)
    paper = recipe_paper(
        found, handbook(), made, used=form.used, yard=yard, height_m=form.height_m, unturned=form.unturned
    )
    return download(press(recipe_sheet(paper), sized(size)), f"recipe {made:%Y-%m-%d}", "pdf", PDF)


@router.get("/blend/recipe.toml")
def recipe_toml(request: Request) -> Response:
    """The recipe as the file `turnrow blend` reads."""
    with keeper_of(request).desk() as desk:
        sampled = lab_samples(desk)
    title = "A recipe; run it with: turnrow blend THIS.toml"
    form = form_from(given_of(request), feedstocks(), title, sampled)
    return download(form.text.encode(), "recipe", "toml", "text/plain; charset=utf-8")


@router.get("/blend/window.csv")
def window_csv(request: Request) -> Response:
    """What the picture draws, as a table."""
    with keeper_of(request).desk() as desk:
        sampled = lab_samples(desk)
    form, found = reckoned(tuple(sorted(given_of(request).items())), sampled)
    made = datetime.fromisoformat("1970-01-01T00:00:00+00:00")
    drawn = recipe_picture.window_picture(recipe_paper(found, handbook(), made, used=form.used))
    if drawn is None:
        raise HTTPException(404, "Nothing can be drawn: there is no plan, or a figure is missing.")
    return csv_answer("window", recipe_picture.WINDOW_HEAD, recipe_picture.window_rows(drawn))


def given_of(request: Request) -> dict[str, str]:
    """The fields in the address, those known alone."""
    found = request.query_params.items()
    return {name: text[:LONGEST] for name, text in found if name in FIELDS or name in ("example", "stock")}


@lru_cache(maxsize=ANSWERS)
def reckoned(typed: Typed, sampled: tuple[Sample, ...] = ()) -> tuple[Form, Answered]:
    """The recipe of a form, lab figures drawing on it; the same of both, the same answer. Raises Refused."""
    form = form_from(dict(typed), feedstocks(), sampled=sampled)
    return form, answered(form.asked)


def from_stock(stock: tuple[OnHand, ...]) -> dict[str, str]:
    """A form with what is on hand filled in, the largest piles first."""
    known = [one for one in stock if (one.tonnes or 0) > 0]
    known.sort(key=lambda one: -(one.tonnes or 0))
    filled: dict[str, str] = {}
    for place, one in enumerate(known[:PLACES], 1):
        filled |= {
            f"name_{place}": one.name,
            f"stock_{place}": plain_number(one.tonnes or 0.0),
            f"stock_{place}_unit": "t",
        }
    return filled


def build_url(paper: RecipePaper) -> str:
    """The form "Build a row" with the recipe's parts filled in."""
    parts: dict[str, str] = {}
    for place, one in enumerate(recipe_words.takes(paper), 1):
        parts |= {
            f"material_{place}": one.name,
            f"part_{place}": plain_number(one.tonnes),
            f"part_{place}_unit": "t",
        }
    if paper.length_m is not None:
        parts |= {"length": plain_number(paper.length_m), "length_unit": "m"}
    if paper.height_m is not None:
        parts |= {"height": plain_number(paper.height_m), "height_unit": "m"}
    mix = paper.recipe.mix
    if mix is not None and mix.volume_m3 is not None:
        parts |= {"volume": plain_number(mix.volume_m3), "volume_unit": "m3"}
    return write_url("build", **parts)


def handbook_words(feedstock: Feedstock) -> str:
    """What the handbook has of a material, each number with how it is known."""
    said = []
    for quantity, word, unit in (("moisture", "moisture", " %"), ("n", "nitrogen", " %"), ("cn", "C:N", "")):
        figure = feedstock.figure(quantity)
        if figure is not None:
            said.append(f"{word} {figure.value:g}{unit} ({figure.known})")
    figure = feedstock.figure("density")
    if figure is not None:
        said.append(f"density {figure.value:g} kg/m³, {figure.form} ({figure.known})")
    return ", ".join(said)


def _made(desk: Desk, now: datetime) -> datetime:
    """A paper's date: when the newest line was written, so that it is the same until the diary changes."""
    head = desk.book.head()
    return desk.diary.line(head.line).written.astimezone(desk.zone) if head.line else now


def _page(
    asked: Asked,
    stock: tuple[OnHand, ...],
    known: Mapping[str, str],
    *,
    wrong: Mapping[str, list[tuple[str, str, str]]] | None = None,
    paper: RecipePaper | None = None,
    status: int = 200,
) -> Response:
    drawn = None if paper is None else recipe_picture.window_picture(paper)
    query = urlencode([(name, text) for name, text in known.items() if name in FIELDS and text])
    last = max((n for n in range(1, PLACES + 1) if known.get(f"name_{n}")), default=0)
    return page(
        asked,
        "blend.html",
        status,
        known=known,
        stock=stock,
        wrong=wrong or {},
        paper=paper,
        say=recipe_words,
        drawn=drawn,
        picture=recipe_picture,
        wide="" if drawn is None else at_its_size(recipe_picture.mix_window(drawn, WIDE), WIDE),
        narrow="" if drawn is None else at_its_size(recipe_picture.mix_window(drawn, NARROW), NARROW),
        query=query,
        build="" if paper is None or not paper.recipe.found else build_url(paper),
        names=[key for key, one in feedstocks().items() if not one.missing],
        table=feedstocks(),
        find_feedstock=lambda name: find(name, feedstocks()) if name else None,
        handbook_words=handbook_words,
        numbers=() if paper is None else number_rows(paper),
        places=range(1, max(SHOWN, min(last + 1, PLACES)) + 1),
        first=max(3, last),
        chances=CHANCES,
        targets=targets(handbook()),
        edition=handbook().edition,
    )

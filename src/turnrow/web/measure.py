"""Measure your own: pail, oven, ash and water reckoned beside the form; a link writes what was found."""

from collections.abc import Mapping

from fastapi import APIRouter, Request
from starlette.responses import Response

from turnrow.blend.basis import KG_PER_LB, LB_YD3, LITRE_PER_US_GALLON
from turnrow.blend.weighed import spread_words
from turnrow.gate.measuring import Ash, Measured, Oven, Pail, measured_from
from turnrow.gate.recipe_form import field_of
from turnrow.records.recipe_words import figure
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.asks import Field
from turnrow.web.enter import open_rows
from turnrow.web.links import write_url
from turnrow.web.measure_fields import BY_NAME, FORMS
from turnrow.web.render import page
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refusal, Refused

router = APIRouter(include_in_schema=False)
LONGEST = 120
OWN_LAB = "own"
Link = tuple[str, str]


@router.get("/measure")
def measure(request: Request, what: str = "pail") -> Response:
    """One form, and once it is sent what it comes to under it. Nothing is written."""
    form = BY_NAME.get(what, FORMS[0])
    names = {field.name for field in form.fields}
    sent = {name: text[:LONGEST] for name, text in request.query_params.items()}
    given = {name: text for name, text in sent.items() if name.removesuffix("_unit") in names}
    wrong: tuple[Refusal, ...] = ()
    found = None
    with keeper_of(request).desk() as desk:
        air = desk.settings()["mix_air_low"].value / MICRO
        try:
            found = measured_from(form.what, given, air)
        except Refused as refused:
            wrong = tuple(refused.refusals)
        return page(
            asked_of(request, desk),
            "measure.html",
            422 if wrong else 200,
            form=form,
            forms=FORMS,
            known=given,
            wrong=[_plain(one, form.fields) for one in wrong],
            beside=_beside(wrong),
            rows=open_rows(desk),
            found=found,
            air=air,
            words=_words(found),
            figure=figure,
            sizes={"lb": KG_PER_LB, "gal": LITRE_PER_US_GALLON, "lb/yd3": LB_YD3},
            links=[] if found is None else links_of(found, given),
        )


def links_of(found: Measured, given: Mapping[str, str]) -> list[Link]:
    """(words, address) of the entry forms that write what was found, filled in; none while it may be wet."""
    row = given.get("row", "").strip()
    of = {name: given.get(name, "").strip() for name in ("material", "load")}
    if isinstance(found, Pail):
        fills = f"pail, fills: {len(found.density.each)}"
        density = f"{found.density.mean:.4g}"
        links = [_figure("bulk density", density, "kg/m3", "pail", fills, row, of)]
        if found.air is not None:
            text = (
                f"Free air space {100 * found.air:.0f} %: water to the brim of a pail, {found.litres:.3g} L."
            )
            links.append(
                ("Write the air space as a note", write_url("note", text=_of_what(text, of), row=row))
            )
        return links
    if isinstance(found, Oven) and found.steady is not False:
        how = f"oven, samples: {len(found.moisture.each)}"
        return [_figure("moisture", f"{100 * found.moisture.mean:.3g}", "%", "oven", how, row, of)]
    if isinstance(found, Ash):
        results = (
            f"ash: {100 * found.ash.mean:.3g} % dry by burning\n"
            f"organic matter: {100 * found.organic:.3g} % dry by burning\n"
            f"C total: {100 * found.carbon.c_dry:.3g} % dry by ash over 1.8"
        )
        return [("Write it as a result", write_url("result", results=results, row=row, **of))]
    return []


def _figure(name: str, value: str, unit: str, method: str, how: str, row: str, of: Mapping[str, str]) -> Link:
    """A figure of a row is a measurement of it; of a material or a load, a result that the blend draws on."""
    if row:
        size = {"amount": value, "amount_unit": "" if unit == "%" else unit}
        return f"Write it as measured of {row}", write_url("measure", row=row, quantity=name, **size, how=how)
    results = f"{name}: {value} {unit} by {method}"
    return "Write it as a result", write_url("result", results=results, lab=OWN_LAB, **of)


def _of_what(text: str, of: Mapping[str, str]) -> str:
    named = [f"{kind} {name}" for kind, name in of.items() if name]
    return f"{text} Of {named[0]}." if named else text


def _words(found: Measured | None) -> str:
    if isinstance(found, Pail):
        return spread_words("density", found.density)
    if isinstance(found, Oven):
        return spread_words("moisture", found.moisture)
    return spread_words("ash", found.ash) if isinstance(found, Ash) else ""


def _beside(wrong: tuple[Refusal, ...]) -> dict[str, list[Refusal]]:
    found: dict[str, list[Refusal]] = {}
    for one in wrong:
        found.setdefault(field_of(one), []).append(one)
    return found


def _plain(one: Refusal, fields: tuple[Field, ...]) -> Refusal:
    """The refusal under the words of its field's label."""
    labels = {field.name: field.label for field in fields}
    return Refusal(labels.get(field_of(one), one.where), one.got, one.do)

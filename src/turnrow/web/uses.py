"""How much of a lot a field, a bed or a potting mix takes."""

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from turnrow.foreman.lot_analysis import lot_analysis
from turnrow.foreman.quality import lot_quality
from turnrow.foreman.uses import answered
from turnrow.gate.use_file import USES
from turnrow.gate.use_form import fields_of_use, use_from
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import page
from turnrow.yard.wrongs import Refusal, Refused

router = APIRouter(include_in_schema=False)
LONGEST = 40


@router.get("/use")
def use_page(request: Request, lot: str = "", use: str = "field") -> Response:
    """The form, and the answer once something is asked."""
    given = {name: text[:LONGEST] for name, text in request.query_params.items()}
    use = use if use in USES else "field"
    with keeper_of(request).desk() as desk:
        try:
            quality = lot_quality(desk, lot, keeper_of(request).clock())
        except KeyError:
            raise HTTPException(404, "There is no such lot.") from None
        analysis, lines = lot_analysis(quality.figures.counted)
        wrong: tuple[Refusal, ...] = ()
        found = None
        fields = fields_of_use(use)
        if analysis is not None and any(given.get(name, "").strip() for name, _, _ in fields):
            try:
                raw = quality.release.can_be != "proven"
                found = answered(use_from({**given, "use": use}, analysis, raw=raw))
            except Refused as refused:
                wrong = tuple(refused.refusals)
        return page(
            asked_of(request, desk),
            "use.html",
            422 if wrong else 200,
            lot=lot,
            use=use,
            uses=USES,
            fields=fields,
            given=given,
            analysis=analysis,
            lines=lines,
            found=found,
            wrong=wrong,
        )

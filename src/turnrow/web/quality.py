"""Quality: what the yard asks of its lots, what is due, which may leave and which must be called back."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from turnrow.foreman.left import left_without_release
from turnrow.foreman.quality import Seen, asked_of_lots, lot_quality
from turnrow.handbook.quality import limit_sets
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.render import page
from turnrow.yard import goods

router = APIRouter(include_in_schema=False)
NEWEST = 30  # lots looked at


@router.get("/quality")
def quality_page(request: Request) -> Response:
    """Samples due, lots by what they may leave as, and lots that failed after they left."""
    now = keeper_of(request).clock()
    with keeper_of(request).desk() as desk:
        line, wanted = asked_of_lots(desk.diary)
        seen = Seen.of(desk, now)
        lots = [lot_quality(desk, lot, now, seen) for lot in reversed(desk.lots.things("lot")[-NEWEST:])]
        told = {what.sample for _, what in desk.diary.all(goods.LabResult)}
        told |= {what.sample for _, what in desk.diary.all(goods.GrowthTest)}
        return page(
            asked_of(request, desk),
            "quality.html",
            line=line,
            wanted=wanted,
            sets=[limit_sets()[name] for name in wanted.limits],
            due=next((one.due for one in lots if one.due), None),
            lots=lots,
            back=desk.stands(now),
            left=left_without_release(desk.diary)[-NEWEST:],
            waiting=[pair for pair in desk.diary.all(goods.Sampled) if pair[1].sample not in told],
        )

"""The API: the same writes as the forms, the same answers as the pages, as JSON."""

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Path, Query, Request
from starlette.responses import JSONResponse, Response

from turnrow.web import shapes
from turnrow.web.asking import keeper_of, name_after
from turnrow.web.shapes import Damaged, Detail, EntryIn, LineOut, Refusals

WRONG: dict[int | str, dict[str, Any]] = {
    400: {"model": Detail, "description": "The request itself cannot be read"},
    422: {"model": Refusals, "description": "Turned away, with every reason; nothing was written"},
    503: {"model": Damaged, "description": "The journal is damaged or in use"},
}
NOT_THERE: dict[int | str, dict[str, Any]] = {404: {"model": Detail, "description": "There is no such thing"}}
router = APIRouter(prefix="/api", responses=WRONG, tags=["diary"])
NUMBER_MOST = 999_999_999


@router.post(
    "/entries",
    status_code=201,
    response_model=shapes.ReceiptOut,
    responses={200: {"model": shapes.ReceiptOut, "description": "Known already; nothing new was written"}},
)
def write_entry(request: Request, entry: EntryIn) -> Response:
    """Write one entry. The same id with the same content is written once."""
    fields = {**entry.fields, **({"happened": entry.happened} if entry.happened else {})}
    with keeper_of(request).desk() as desk:
        receipt = desk.write(
            entry.kind,
            fields,
            now=keeper_of(request).clock(),
            who=entry.who,
            device=entry.device,
            id=entry.id,
        )
        lines = [LineOut.of(line, desk.diary.is_struck(line.number)) for line in receipt.lines]
    answer = shapes.ReceiptOut(lines=lines, known=list(receipt.known))
    return JSONResponse(answer.model_dump(mode="json"), 201 if receipt.lines else 200)


@router.get("/rows")
def rows(request: Request) -> shapes.RowsOut:
    """Every row the diary speaks of, with where it stands."""
    with keeper_of(request).desk() as desk:
        found = []
        for name in desk.diary.rows:
            standing = desk.standing(name).standing
            found.append(
                shapes.RowShort(
                    name=name,
                    verdict=standing.state,
                    rule=standing.rule,
                    hot_days=standing.hot_days,
                    days_needed=standing.days_needed,
                    turns_counted=standing.turns_counted,
                    turns_needed=standing.turns_needed,
                    last_line=desk.diary.history(name).last_line,
                )
            )
        return shapes.RowsOut(rows=found)


@router.get("/rows/{name:path}", responses=NOT_THERE)
def row(request: Request, name: str) -> shapes.RowOut:
    """One row: where it stands, with and without its suspect readings."""
    name = name_after(request, "/api/rows/")
    with keeper_of(request).desk() as desk:
        if name not in desk.diary.rows:
            raise HTTPException(404, "The diary speaks of no such row.")
        return shapes.RowOut.of(desk.diary.history(name), desk.standing(name))


@router.get("/today")
def today(request: Request) -> shapes.TodayOut:
    """The day's jobs, what changed since the sheet, and what was ticked."""
    with keeper_of(request).desk() as desk:
        return shapes.TodayOut.of(desk.today(keeper_of(request).clock()))


@router.get("/lines")
def lines(
    request: Request,
    after: Annotated[int, Query(ge=0, le=NUMBER_MOST, description="Number of the last line you have")] = 0,
) -> shapes.LinesOut:
    """Up to 500 lines after `after`, oldest first."""
    with keeper_of(request).desk() as desk:
        last = min(desk.diary.head, after + shapes.LINES_MOST)
        found = [desk.diary.line(number) for number in range(after + 1, last + 1)]
        return shapes.LinesOut(
            lines=[LineOut.of(line, desk.diary.is_struck(line.number)) for line in found],
            head=desk.diary.head,
        )


@router.get("/lines/{number}", responses=NOT_THERE)
def line(request: Request, number: Annotated[int, Path(ge=1, le=NUMBER_MOST)]) -> LineOut:
    """One line."""
    with keeper_of(request).desk() as desk:
        if number > desk.diary.head:
            raise HTTPException(404, f"The diary stands at line {desk.diary.head}.")
        return LineOut.of(desk.diary.line(number), desk.diary.is_struck(number))


@router.get("/verify")
def verify(request: Request) -> shapes.VerifyOut:
    """Walk the whole chain of seals."""
    with keeper_of(request).desk() as desk:
        faults = desk.book.verify()
        head = desk.book.head()
    return shapes.VerifyOut(
        ok=not faults,
        lines=head.line,
        head=head.seal,
        faults=[shapes.FaultOut(line=one.line, check=one.check, what=one.what) for one in faults],
    )

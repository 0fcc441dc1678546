"""Jobs of the day about lots: a release that stands no more is said on the day's sheet, so that it is on
record what was said that morning."""

from collections.abc import Iterable, Sequence

from turnrow.foreman.stands import Stands, Unproven
from turnrow.quality.release import Ask
from turnrow.yard.entries import Advice

CALL_BACK, JUDGE_AGAIN = "call back", "judge again"
WHY_BACK = (
    "What failed can carry germs, metals or weed killers to whoever has it, and each day it lies with a "
    "buyer some of it may be spread or sold on."
)
WHY_AGAIN = (
    "A release rests on what the diary shows. The lot may still be sound, but nobody can say so until what "
    "is wanting is shown."
)


def lot_jobs(found: Stands) -> list[Advice]:
    """One job of no row for each release that stands no more."""
    return [
        *(_call_back(lot, asks, customers) for lot, asks, customers in found.failed),
        *(_judge_again(one) for one in found.unproven),
    ]


def of_lots(said: Sequence[Advice]) -> list[Advice]:
    """Those of a sheet: of an earlier day only what was said then is known."""
    return [job for job in said if job.job in (CALL_BACK, JUDGE_AGAIN)]


def _call_back(lot: str, asks: Sequence[Ask], customers: Sequence[str]) -> Advice:
    text = (
        f"Call lot {lot} back: it was released and has failed since. "
        f"{' '.join(ask.sentence for ask in asks)} {_tell(customers)}"
    )
    lines = (line for ask in asks for line in ask.lines)
    return _job(lot, CALL_BACK, text, WHY_BACK, lines)


def _judge_again(one: Unproven) -> Advice:
    text = (
        f"Let none of lot {one.lot} leave before it is judged again: it was released as proven and is not "
        f"shown to be now. {' '.join(ask.sentence for ask in one.missing)} {one.lies}"
    )
    lines = (one.line.number, *(line.number for line in one.changed))
    return _job(one.lot, JUDGE_AGAIN, text, WHY_AGAIN, lines)


def _job(lot: str, job: str, text: str, why: str, lines: Iterable[int]) -> Advice:
    because = tuple(sorted({line for line in lines if line}))
    return Advice(key=f"lot {lot} {job}", row="", job=job, text=text, why=why, because=because, urgent=True)


def _tell(customers: Sequence[str]) -> str:
    return f"Tell {', '.join(customers)}." if customers else "No buyer has any of it."

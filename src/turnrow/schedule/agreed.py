"""One row's jobs chosen together, so that no order contradicts another."""

from collections.abc import Sequence

from msgspec.structs import replace

from turnrow.yard.entries import Advice

SHUT = "Until then nobody opens the row."  # of a number that only a broken sensor says
OPENS = ("turn", "cool", "water", "cure", "wait")
WETS = (("Turning and wetting brings", "Turning brings"), ("turn and wet it, and", "turn it and"))
Jobs = Sequence[Advice]


def agreed(jobs: Jobs) -> list[Advice]:
    """The jobs that can all be followed: where two cannot, the one that does less harm stays.

    A row whose sensor talks nonsense is read again before it is opened, unless a sound place is so hot that
    it is acted on. A row that is turned or cooled today is not moved to curing. A row too wet is not wetted.
    """
    kinds = {job.job for job in jobs}
    shut = any(SHUT in job.text for job in jobs)
    if shut and "cool" in kinds:
        jobs = [replace(job, text=job.text.replace(f" {SHUT}", "")) for job in jobs]
    elif shut:
        hot = any(job.job == "turn" and job.urgent for job in jobs)
        jobs = [_then_turn(job) if hot and job.job == "probe" else job for job in jobs if not _opens(job)]
    if kinds & {"turn", "cool", "wait", "restart"}:
        jobs = [job for job in jobs if job.job != "cure"]
    if "hold water" in kinds:
        jobs = [_unwetted(job) for job in jobs]
    return list(jobs)


def _opens(job: Advice) -> bool:
    """Whether doing it opens the row."""
    return job.job in OPENS or (job.job in ("look", "restart") and any(old in job.text for old, _ in WETS))


def _then_turn(job: Advice) -> Advice:
    return replace(job, text=f"{job.text} The sound stations are over the turning limit: turn it after that.")


def _unwetted(job: Advice) -> Advice:
    for old, new in WETS:
        job = replace(job, text=job.text.replace(old, new)) if old in job.text else job
    return job

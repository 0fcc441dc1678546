"""What counts as a contradiction among one row's orders; law tests hold every row-day to it."""

from collections.abc import Callable, Sequence

from turnrow.schedule.agreed import OPENS, SHUT, WETS
from turnrow.yard.entries import Advice

Jobs = Sequence[Advice]


def contradictions(jobs: Jobs) -> list[str]:
    """Each contradiction among one row's jobs, in a word and the jobs it lies between; empty for none."""
    return [f"{name}: {', '.join(job.key for job in jobs)}" for name, wrong in RULES.items() if wrong(jobs)]


def _kinds(jobs: Jobs) -> set[str]:
    return {job.job for job in jobs}


def _texts(jobs: Jobs, *words: str) -> bool:
    return any(word in job.text for job in jobs for word in words)


def _same_said_twice(jobs: Jobs) -> bool:
    said = [sentence.strip() for job in jobs for sentence in job.text.split(". ")]
    return len({job.key for job in jobs}) < len(jobs) or len(set(said)) < len(said)


RULES: dict[str, Callable[[Jobs], bool]] = {
    "opened and kept shut": lambda jobs: _texts(jobs, SHUT, "nobody opens") and bool(_kinds(jobs) & {*OPENS}),
    "worked on while it may burn": lambda jobs: (
        bool(_kinds(jobs) & {"fire"}) and len(_kinds(jobs) - {"fire", "alarm", "answer"}) > 0
    ),
    "left alone and worked on": lambda jobs: "leave" in _kinds(jobs) and len(jobs) > 1,
    "cured and worked on": lambda jobs: (
        "cure" in _kinds(jobs) and bool(_kinds(jobs) & {"turn", "cool", "wait"})
    ),
    "cured and begun anew": lambda jobs: {"cure", "restart"} <= _kinds(jobs),
    "cured and not likely": lambda jobs: "cure" in _kinds(jobs) and _texts(jobs, "curing is not likely"),
    "watered and held dry": lambda jobs: (
        "hold water" in _kinds(jobs)
        and ("water" in _kinds(jobs) or _texts(jobs, "water it while turning", *(old for old, _ in WETS)))
    ),
    "turned twice": lambda jobs: len(_kinds(jobs) & {"turn", "cool", "wait"}) > 1,
    "a turn to cool it that warms it": lambda jobs: (
        "cool" in _kinds(jobs) and _texts(jobs, "Turn it with water") and _texts(jobs, "makes it warmer")
    ),
    "said twice": _same_said_twice,
}

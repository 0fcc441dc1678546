"""A worm bed in frost and heat, and what is said of a slow heap.

Limits of 4 and 30 °C: Earthworm Ecology (ed. Edwards), table 18.3, READ."""

from collections.abc import Callable
from typing import Any

import pytest

Diary = Callable[[str], Any]


@pytest.mark.parametrize(
    ("read", "urgent", "word"),
    [
        ("-0.5", True, "Frost in worm bed R7"),
        ("0", True, "Frost in worm bed R7"),
        ("4", False, "Keep the cold from worm bed R7"),
        ("4.1", None, ""),
        ("29.9", None, ""),
        ("30", True, "Cool worm bed R7"),
    ],
)
def test_a_bed_at_its_limits(diary: Diary, read: str, urgent: bool | None, word: str) -> None:
    jobs = diary(f"d0 built stations=1 process=worm\nd1 {read}").jobs(1)
    watch = next((job for job in jobs.values() if job.job == "watch"), None)
    assert (watch.urgent if watch else None) is urgent
    if watch:
        assert watch.text.startswith(word) and "curing" not in watch.text
    else:
        assert "curing" not in next(iter(jobs.values())).text


def test_a_slow_heap_of_three_weeks_is_not_said_to_cure(diary: Diary) -> None:
    jobs = diary("d0 built stations=1 process=slow\nd20-21 40\nd20 cure").jobs(21)
    assert "It is curing" not in " ".join(job.text for job in jobs.values())

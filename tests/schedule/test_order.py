"""Jobs in order of the harm done if they are left, as docs/today.md gives it."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from turnrow.schedule.jobs import ORDER, day_jobs
from turnrow.schedule.words import advice, count, many, place

Diary = Callable[[str], Any]


def test_a_day_is_ordered_by_harm(diary: Diary) -> None:
    told = diary(
        """
        R1 d0 built stations=1
        R2 d0 built stations=1
        R3 d0 built stations=1
        R4 d0 built stations=1
        R5 d0 built stations=1
        R6 d0 built stations=1
        R1 d1 60
        R2 d1 60
        R2 d1 squeeze 1
        R3 d1-3 60
        R4 d1 66
        R5 d1 73
        R6 d1 81
        """
    )
    rows = [list(told.jobs(1, row=f"R{n}").values()) for n in range(1, 7)]
    order = [(job.row, job.job) for job in day_jobs(rows)]
    assert order == [
        ("R6", "fire"),
        ("R5", "cool"),
        ("R4", "turn"),
        ("R2", "water"),
        ("R1", "leave"),
        ("R3", "leave"),
    ]


def test_a_row_that_may_burn_says_once_that_nothing_beside_it_is_worked(diary: Diary) -> None:
    told = diary("R1 d0 built stations=1\nR2 d0 built stations=1\nR1 d1 66\nR2 d1 81")
    day = {
        job.key: job.text for job in day_jobs([list(told.jobs(1, row=row).values()) for row in ("R1", "R2")])
    }
    assert "nothing beside it is turned, watered or probed" in day["R2 fire"]
    assert "R2" not in day["R1 turn"]


def test_equal_harm_keeps_the_order_of_the_diary() -> None:
    jobs = [[advice(row, "probe", "", "")] for row in ("B", "A")]
    assert [job.row for job in day_jobs(jobs)] == ["B", "A"]


def test_the_order_is_the_one_the_docs_give() -> None:
    text = (Path(__file__).resolve().parents[2] / "docs" / "today.md").read_text("utf-8")
    table = re.findall(r"^\| \d+ \| (.+?) \| (yes|no) \|", text, re.MULTILINE)
    assert [(job, urgent == "yes") for job, urgent in table] == list(ORDER)


def test_every_advice_says_why_in_whole_sentences(diary: Diary) -> None:
    told = diary("d0 built stations=1,2\nd1-5 30 31\nd5 squeeze 1")
    for job in told.jobs(5).values():
        assert job.text.endswith(".") and job.why.endswith(".") and len(job.why) > 40
        assert job.because and all(0 < line <= told.diary.head for line in job.because)


def test_numbers_in_words() -> None:
    assert [place(n) for n in (1, 2, 5, 11, 12, 21, 22, 23, 111)] == [
        "first", "second", "fifth", "11th", "12th", "21st", "22nd", "23rd", "111th",
    ]  # fmt: skip
    assert (count(5), count(15), many(1, "day"), many(15, "day")) == ("five", "15", "one day", "15 days")

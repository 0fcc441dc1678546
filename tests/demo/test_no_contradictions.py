"""Over the invented year no row is given orders that contradict each other."""

from tests.contradictions import contradictions

EVERY = 6  # days


def test_no_day_of_the_year_has_a_row_with_orders_that_contradict(built) -> None:
    first = built.desk.diary.line(1).entry.happened.date().toordinal()
    bad, rows = {}, 0
    for day in range(built.day(0), first, -EVERY):
        by_row: dict[str, list[object]] = {}
        for job in built.desk.morning_of(type(built.morning.date()).fromordinal(day)).advice:
            by_row.setdefault(job.row, []).append(job)
        by_row.pop("", None)
        rows += len(by_row)
        for row, jobs in by_row.items():
            if found := contradictions(jobs):
                bad[row, day] = found, [job.text for job in jobs]
    assert bad == {} and rows > 300

"""The last morning: the yard is alive, and its day sheet asks for every sort of work."""

from turnrow.schedule.jobs import JOBS
from turnrow.yard import entries


def _jobs(built) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for advice in built.desk.today(built.morning).advice:
        found.setdefault(advice.job, set()).add(advice.row)
    return found


def test_the_morning_asks_for_every_sort_of_work(built) -> None:
    """All but a fire, an alarm and a wind to wait for, which would hush the rest, and a lot to judge or call
    back: the bad one has been called back by then."""
    jobs = _jobs(built)
    assert set(jobs) == set(JOBS) - {"alarm", "fire", "wait", "call back", "judge again"}
    named = {
        "cool": "R37",
        "turn": "R35",
        "watch": "H2",
        "water": "R34",
        "hold water": "R38",
        "look": "R36",
        "cure": "R31",
        "probe": "R39",
        "restart": "R34",
    }
    assert {job: row for job, row in named.items() if row not in jobs[job]} == {}


def test_what_is_urgent_comes_first(built) -> None:
    advice = built.desk.today(built.morning).advice
    assert advice[0].row == "R37"
    assert advice[0].urgent
    assert "71.5 °C at station 2" in advice[0].text


def test_rows_stand_in_every_phase(built) -> None:
    diary = built.desk.diary
    alive = [row for row in diary.rows if not diary.history(row).merged_into]
    verdicts = {row: built.desk.standing(row).standing.verdict for row in alive}
    assert {"PASS", "NOT_PROVEN"} <= set(verdicts.values())
    assert any(diary.history(row).curing for row in alive)
    assert len([row for row in alive if not diary.history(row).curing]) >= 6
    assert len(diary.rows) - len(alive) >= 14


def test_the_sheets_were_ticked_and_once_put_off(built) -> None:
    sheets = built.desk.diary.sheets()
    assert len(sheets) == 7
    ticks = [line.entry.what for line in built.lines if isinstance(line.entry.what, entries.JobDone)]
    numbers = {line.number: {job.key for job in what.advice} for line, what in sheets}
    assert all(tick.key in numbers[tick.sheet] for tick in ticks)
    assert any(tick.done and tick.entries for tick in ticks)
    assert any(not tick.done and tick.reason for tick in ticks)
    ids = {line.entry.id for line in built.lines}
    assert all(set(tick.entries) <= ids for tick in ticks)


def test_too_windy_to_turn_nine_days_ago(built) -> None:
    gale = next(what for _, what in built.desk.diary.sheets() if what.day.toordinal() == built.day(9))
    assert "wait" in {job.job for job in gale.advice}


def test_looking_writes_nothing(built) -> None:
    before = built.book.head()
    built.desk.today(built.morning)
    assert built.book.head() == before == type(before)(len(built.lines), built.lines[-1].seal)

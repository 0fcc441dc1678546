"""A yard's row under a rule: what is pushed in, what is laid on, what is not the heap's."""

from turnrow.handbook.book import handbook
from turnrow.sanitation.ledger import row_standing
from turnrow.yard import entries as e
from turnrow.yard.goods import RowSplit
from turnrow.yard.numbers import parse_micro

from . import rows

WINDROW = "US-503-PFRP-WINDROW"


def stand(told, row, rule=WINDROW, **kinds):
    return row_standing(handbook().rules[rule], told.diary.history(row), told.diary.history, **kinds)


def proven(told, row, first=1):
    told.build(row, first - 1)
    told.hot(row, first, first + 14)
    told.turned(row, *(first + k for k in (1, 4, 7, 10, 13)))


def test_a_row_stands_on_its_lines():
    told = rows.Told()
    proven(told, "R1")
    found = stand(told, "R1")
    assert found.standing.verdict == "PASS"
    assert found.since == 0
    assert found.standing.lines == tuple(range(2, 22))
    assert found.without_suspects is None


def test_a_new_raw_load_starts_the_proof_anew():
    told = rows.Told()
    proven(told, "R1")
    line = told.build("R1", 16)
    found = stand(told, "R1")
    assert (found.standing.verdict, found.since) == ("NOT_PROVEN", line)
    told.hot("R1", 17, 30)
    assert stand(told, "R1").standing.hot_days == 14
    assert stand(told, "R1").standing.verdict == "FAIL"


def test_a_new_load_already_proven_does_not():
    told = rows.Told()
    proven(told, "R1")
    told.build("R1", 16, raw=False)
    assert stand(told, "R1").standing.verdict == "PASS"


def test_a_less_proven_row_pushed_in_takes_the_proof_away():
    told = rows.Told()
    proven(told, "R1")
    told.build("R2", 10)
    told.hot("R2", 11, 15)
    line = told.merge("R1", 16, "R1", "R2")
    found = stand(told, "R1")
    assert (found.standing.verdict, found.since) == ("FAIL", line)
    assert any("R2" in sentence for sentence in found.standing.because)
    told.hot("R1", 17, 31)
    told.turned("R1", 18, 21, 24, 27, 30)
    assert stand(told, "R1").standing.verdict == "PASS"


def test_readings_of_the_day_of_a_dated_merge_do_not_count_after_it():
    told = rows.Told()
    proven(told, "R1")
    told.build("R2", 10)
    told.say(16, e.Merged(row="R1", sources=("R2",)), 12, day_only=True)
    told.hot("R1", 16, 16)
    told.hot("R1", 17, 18)
    assert stand(told, "R1").standing.hot_days == 2


def test_two_proven_rows_pushed_together_stay_proven():
    told = rows.Told()
    proven(told, "R1")
    proven(told, "R2")
    told.merge("R9", 17, "R1", "R2")
    found = stand(told, "R9")
    assert (found.standing.verdict, found.since) == ("PASS", 0)
    told.hot("R9", 18, 19, "30")
    assert stand(told, "R9").standing.verdict == "PASS"


def test_a_row_laid_out_with_raw_material_is_not_proven_by_what_is_pushed_in():
    told = rows.Told()
    proven(told, "R1")
    told.build("R9", 10)
    told.merge("R9", 17, "R1")
    assert stand(told, "R9").standing.verdict == "NOT_PROVEN"


def test_a_source_is_judged_as_it_stood_at_the_merge():
    told = rows.Told()
    told.build("R2", 0)
    told.hot("R2", 1, 14)
    told.turned("R2", 2, 5, 8, 11, 14)
    line = told.merge("R9", 14, "R2")
    told.hot("R2", 15, 15)
    assert stand(told, "R9").since == line


def test_a_source_the_diary_does_not_know_is_not_proven():
    told = rows.Told()
    proven(told, "R1")
    line = told.merge("R1", 17, "old heap")

    def histories(row):
        if row == "old heap":
            raise KeyError(row)
        return told.diary.history(row)

    found = row_standing(handbook().rules[WINDROW], told.diary.history("R1"), histories)
    assert (found.standing.verdict, found.since) == ("NOT_PROVEN", line)


def test_rows_pushed_into_each_other_at_one_moment_end_the_search():
    told = rows.Told()
    proven(told, "R1")
    proven(told, "R2")
    told.merge("R1", 17, "R2")
    told.merge("R2", 17, "R1")
    assert stand(told, "R1").standing.verdict == "NOT_PROVEN"
    assert stand(told, "R2").standing.verdict == "NOT_PROVEN"


def test_a_struck_merge_never_happened():
    told = rows.Told()
    proven(told, "R1")
    told.build("R2", 10)
    line = told.merge("R1", 16, "R2")
    told.say(17, e.Struck(line=line, reason="wrong row"))
    assert stand(told, "R1").standing.verdict == "PASS"


def test_suspect_readings_count_and_are_also_left_out():
    told = rows.Told()
    proven(told, "R1")
    told.say(8, e.Round(row="R1", unit="C", readings=(e.Reading("1", 600, parse_micro("-127")),)), 8)
    found = stand(told, "R1")
    assert found.standing.verdict == "FAIL"
    assert found.without_suspects is not None
    assert found.without_suspects.verdict == "PASS"
    assert found.suspects


def test_a_laid_out_station_never_read_leaves_the_days_unknown():
    told = rows.Told()
    told.build("R1", 0, stations=("1", "2", "3"))
    told.hot("R1", 1, 15)
    told.turned("R1", 2, 5, 8, 11, 14)
    found = stand(told, "R1").standing
    assert (found.verdict, found.hot_days) == ("NOT_PROVEN", 0)


def test_a_logger_beside_the_laid_out_stations_is_not_asked_for_every_day():
    told = rows.Told()
    told.build("R1", 0, stations=("1", "2"))
    told.hot("R1", 1, 15)
    told.turned("R1", 2, 5, 8, 11, 14)
    told.hot("R1", 5, 8, "60", ("logger",))
    assert stand(told, "R1").standing.verdict == "PASS"
    told.hot("R1", 9, 9, "50", ("logger",))
    assert stand(told, "R1").standing.verdict == "FAIL"


def test_records_of_ones_own_compost_ask_for_a_supervisor():
    """Further case (e): 21 CFR 112.161(b), READ: own-compost records are reviewed and signed."""
    told = rows.Told()
    proven(told, "R1")
    facts = {"curing_recorded": "true"}
    found = stand(told, "R1", "US-FSMA-TURNED", facts=facts).standing
    assert found.verdict == "PASS"
    assert any("112.161(b)" in warning for warning in found.warnings)
    told.say(17, e.Reviewed(row="R1", upto=told.diary.head))
    found = stand(told, "R1", "US-FSMA-TURNED", facts=facts).standing
    assert not any("112.161(b)" in warning for warning in found.warnings)


def split(told, day, row="R1", new="R2", length="5"):
    return told.say(day, RowSplit(row=row, new=new, length=e.Amount(parse_micro(length), "m")), 12)


def test_a_part_of_a_proven_row_is_proven_and_stays_so():
    told = rows.Told()
    proven(told, "R1")
    line = split(told, 17)
    found = stand(told, "R2")
    assert (found.standing.verdict, found.since) == ("PASS", 0)
    assert line in found.standing.lines and "part of row R1, proven" in found.standing.because[0]
    told.hot("R2", 18, 20, "30")
    assert stand(told, "R2").standing.verdict == "PASS"
    assert stand(told, "R1").standing.verdict == "PASS"


def test_a_part_moved_apart_too_soon_carries_that_and_proves_by_its_own_readings():
    told = rows.Told()
    told.build("R1", 0)
    told.hot("R1", 1, 8)
    told.turned("R1", 2, 5, 8)
    line = split(told, 8)
    told.hot("R1", 9, 15)
    told.turned("R1", 11, 14)
    assert stand(told, "R1").standing.verdict == "PASS"
    assert (stand(told, "R2").standing.verdict, stand(told, "R2").since) == ("FAIL", line)
    told.hot("R2", 9, 23)
    assert stand(told, "R2").standing.verdict == "FAIL"  # hot for 15 days, and turned never
    told.turned("R2", 10, 13, 16, 19, 22)
    assert stand(told, "R2").standing.verdict == "PASS"


def test_a_part_is_judged_as_its_row_stood_at_the_split():
    """What is pushed into the row afterwards does not touch the part, nor the part's raw load the row."""
    told = rows.Told()
    proven(told, "R1")
    split(told, 17)
    told.build("raw", 17)
    told.merge("R1", 18, "R1", "raw")
    assert stand(told, "R2").standing.verdict == "PASS"
    assert stand(told, "R1").standing.verdict != "PASS"
    told.build("R2", 19)
    assert stand(told, "R2").standing.verdict != "PASS"


def test_a_part_pushed_into_another_row_brings_its_standing():
    told = rows.Told()
    told.build("R1", 0)
    told.hot("R1", 1, 4)
    split(told, 5)
    proven(told, "R3")
    told.merge("R3", 17, "R3", "R2")
    assert stand(told, "R3").standing.verdict != "PASS"


def test_parts_of_each_other_end_the_search():
    told = rows.Told()
    split(told, 5, "R1", "R2")
    told.say(5, RowSplit(row="R2", new="R1", length=e.Amount(parse_micro("5"), "m")), 12)
    assert stand(told, "R1").standing.verdict != "PASS"


def test_raw_material_laid_on_what_was_only_pushed_together_starts_anew():
    told = rows.Told()
    proven(told, "R1")
    told.merge("R9", 17, "R1")
    assert stand(told, "R9").standing.verdict == "PASS"
    told.build("R9", 18)
    assert stand(told, "R9").standing.verdict != "PASS"

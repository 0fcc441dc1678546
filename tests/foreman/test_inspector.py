"""What an inspector asks next of a lot is answered from the diary, or told as not on record.

Held against 21 CFR 112.161 (who wrote, dated and signed), 112.60(b)(1) (certificates of bought compost),
112.51 (kept from contamination after treatment) and 7 CFR 205.203(c)(1) (90 and 120 days from
incorporation), READ in copies of the texts."""

from datetime import date

import pytest

from turnrow.foreman.inspector import Answer, answers
from turnrow.foreman.lot_papers import lot_paper
from turnrow.foreman.papers import row_paper
from turnrow.foreman.quality import release_fields
from turnrow.handbook.quality import made_inputs
from turnrow.lots.bought import is_made
from turnrow.records.lot_papers import lot_sheet
from turnrow.records.missing import missing as missing_of
from turnrow.yard import entries as e
from turnrow.yard import evidence as v
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount

from .conftest import Yard
from .test_quality import GOOD, T30, hot, lift, look, sheet, write

WHO, SIGNED, PROBE, LAB, MADE, CLEAN, FIELD = (
    "Who wrote, and were they trained",
    "Who signed",
    "Was the probe right that day",
    "Which lab, by which method, accredited",
    "What was made of something already",
    "What was cleaned between raw and finished",
    "Which field, worked in when",
)


def asked(yard: Yard, about: str, day: int = 60) -> list[Answer]:
    found = look(yard, day=day)
    every = answers(yard.desk, "26-04", (one.line for one in found.figures.counted))
    return [one for one in every if one.asked == about]


def test_nothing_on_record_is_said_and_each_can_be_put_on_record(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    for about in (WHO, SIGNED, PROBE, CLEAN):
        assert [one.shown for one in asked(yard, about)] == [False], about
    yard.say(0, v.Trained(name="Ana Ni Invented", short="ana", subject="probing", until=date(2027, 5, 1)), 4)
    yard.say(0, e.ProbeChecked(probe="P1", bath=Amount(0, "C"), read=Amount(100_000, "C")), 4)
    yard.say(39, v.Cleaned(what="loader bucket", how="washed", after="raw manure", before="lot 26-04"))
    yard.say(40, e.Reviewed(row="R7", upto=40))
    for about in (WHO, SIGNED, PROBE, CLEAN):
        (one,) = asked(yard, about)
        assert one.shown and one.lines, about
    assert "Ana Ni Invented" in asked(yard, WHO)[0].sentence
    assert "0 °C" in asked(yard, PROBE)[0].sentence and "0.1 °C" in asked(yard, PROBE)[0].sentence


def test_a_cleaning_after_the_lot_was_made_or_long_before_says_nothing(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(2, v.Cleaned(what="loader bucket", how="washed"))
    yard.say(41, v.Cleaned(what="loader bucket", how="washed"))
    (one,) = asked(yard, CLEAN)
    assert not one.shown and "No cleaning" in one.sentence


def test_training_that_ended_before_the_work_is_said(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(0, v.Trained(name="Ana Ni Invented", short="ana", subject="probing", until=date(2026, 5, 10)), 4)
    (one,) = asked(yard, WHO)
    assert not one.shown and "ended 2026-05-10" in one.sentence


def test_a_lab_sheet_without_method_or_accreditation_is_said(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(50, sheet(*GOOD, lot="26-04", lab="A lab"))
    (one,) = asked(yard, LAB)
    assert not one.shown and "no accreditation" in one.sentence and "no method" in one.sentence
    result = g.Result(analyte="Pb", amount=Amount(4_000_000, "mg/kg"), basis="dry", method="EPA 6010")
    yard.say(51, g.LabResult(results=(result,), lot="26-04", lab="A lab", accredited="ISO 17025, no. 4"))
    assert [one.shown for one in asked(yard, LAB)] == [False, True]


@pytest.mark.parametrize(
    ("soil", "harvest", "late"),
    [(True, date(2026, 10, 7), True), (True, date(2026, 10, 8), False), (False, date(2026, 9, 8), False)],
)
def test_days_from_working_in_to_harvest_of_what_counts_as_raw(
    yard: Yard, soil: bool, harvest: date, late: bool
) -> None:
    """120 days from 10 June 2026 are 8 October, 90 days are 8 September (counted on a calendar)."""
    hot(yard, unread=(7, 8, 9))
    lift(yard)
    write(yard, release_fields(look(yard), "Ana Ni Invented"))
    yard.say(41, v.Spread(
        lot="26-04", field="North", worked_in=date(2026, 6, 10), crop="leeks", harvest=harvest,
        touches_soil=soil,
    ))  # fmt: skip
    (one,) = asked(yard, FIELD, day=61)
    assert ("too early" in one.sentence) is late and one.shown is not late
    assert ("2026-10-08" if soil else "2026-09-08") in one.sentence


def bought(yard: Yard, material: str, load: str = "B1", **part: str) -> None:
    yard.say(0, e.LoadIn(load="B1", material=material, amount=T30, how="weighed"), 5)
    yard.say(0, e.RowBuilt(row="R7", parts=(e.Part(material, T30, load, **part),), stations=("1", "2")), 6)
    lift(yard)


@pytest.mark.parametrize("material", ["compost of R6 (proven hot)", "bought compost", "pre-composted manure"])
def test_a_name_shows_nothing_of_what_it_was_made_of(yard: Yard, material: str) -> None:
    bought(yard, material, load="")
    (one,) = asked(yard, MADE)
    assert not one.shown and material in one.sentence


def test_a_certificate_or_a_lot_shows_it_while_it_holds(yard: Yard) -> None:
    bought(yard, "bought compost")
    assert not asked(yard, MADE)[0].shown
    vouches = {"issuer": "Elsewhere", "words": "15 days at 55 °C, five turns"}
    yard.say(0, v.Certificate(material="bought compost", until=date(2026, 4, 29), **vouches), 5)
    (one,) = asked(yard, MADE)
    assert not one.shown and "did not hold" in one.sentence
    yard.say(0, v.Certificate(load="B1", until=date(2027, 4, 29), **vouches), 5)
    (one,) = asked(yard, MADE)
    assert one.shown and "Elsewhere" in one.sentence and len(one.lines) == 2


def test_fresh_materials_ask_for_no_certificate() -> None:
    words = made_inputs()
    assert not [
        one for one in ("horse manure", "straw", "shrub trimmings", "hot pepper haulm") if is_made(one, words)
    ]


def test_the_lot_paper_answers_each_question(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.desk.refresh()
    titles = [part.title for part in lot_sheet(lot_paper(yard.desk, "26-04")).parts]
    assert {WHO, SIGNED, PROBE, CLEAN} <= set(titles)


def test_the_row_sheet_says_what_is_not_linked_and_whose_name_is_wanting(yard: Yard) -> None:
    bought(yard, "bought compost")
    yard.desk.refresh()
    said = missing_of(row_paper(yard.desk, "R7"))
    assert any("bought compost" in one and "no certificate" in one for one in said)
    assert any("full names" in one and "ana" in one for one in said)
    yard.say(0, v.Certificate(load="B1", issuer="Elsewhere", words="15 days at 55 °C"), 5)
    yard.say(0, v.Trained(name="Ana Ni Invented", short="ana", subject="probing"), 4)
    yard.desk.refresh()
    said = missing_of(row_paper(yard.desk, "R7"))
    assert not [one for one in said if "certificate" in one or "full names" in one]


@pytest.mark.parametrize(("read", "shown"), [(1_000_000, True), (1_100_000, False)])
def test_a_probe_off_by_more_than_is_allowed_is_said(yard: Yard, read: int, shown: bool) -> None:
    """1 °C in ice water is allowed (common practice, from MEMORY), and a tenth more is not."""
    hot(yard)
    lift(yard)
    yard.say(0, e.ProbeChecked(probe="P1", bath=Amount(0, "C"), read=Amount(read, "C")), 4)
    (one,) = asked(yard, PROBE)
    assert one.shown is shown and ("off by more" in one.sentence) is not shown

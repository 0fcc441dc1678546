"""A lot's figures, samples and heat from a real book, and a release that may not be is not written."""

from datetime import date

import pytest

from turnrow.foreman.left import left_without_release
from turnrow.foreman.quality import LotQuality, lot_quality, release_fields, to_call_back
from turnrow.quality.release import Ask
from turnrow.yard import entries as e
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import parse_micro
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at

T30 = Amount(30_000_000, "t")
SET = "ca-germs"
LIFTED = 40


def sheet(*figures: str, **of: object) -> g.LabResult:
    """ "fecal coliform <20 MPN/g dry" and so on."""
    found = []
    for text in figures:
        name, number, unit, basis = text.rsplit(" ", 3)
        amount = Amount(parse_micro(number.lstrip("<")), unit)
        basis = {"-": "", "received": "as received"}.get(basis, basis)
        found.append(g.Result(analyte=name, amount=amount, basis=basis, below=number[0] == "<"))
    return g.LabResult(results=tuple(found), **of)  # type: ignore[arg-type]


GOOD = ("fecal coliform <20 MPN/g dry", "Salmonella <1 MPN/4g dry")


def hot(yard: Yard, row: str = "R7", material: str = "horse manure", unread: tuple[int, ...] = ()) -> None:
    """Sixteen days at 60 °C with five turns, under 40 CFR 257's wording for turned rows; cured from day 20.
    Part 503, which asks more than heat of what leaves, has its own tests."""
    yard.say(0, e.RuleChosen(rule="US-257-PFRP-WINDROW", policies={"continuity": "consecutive"}), 5)
    yard.say(0, e.LoadIn(load=f"L-{row}", material=material, amount=T30, how="weighed"))
    yard.say(0, e.RowBuilt(row=row, parts=(e.Part(material, T30, f"L-{row}"),), stations=("1", "2")), 6)
    for day in range(1, 17):
        if day not in unread:
            yard.read(row, day, "60", "61")
        if day in (3, 6, 9, 12, 14):
            yard.say(day, e.Turned(row=row), 9)
    yard.say(20, e.MovedToCuring(row=row))


def lift(yard: Yard, lot: str = "26-04", *rows: str) -> None:
    yard.say(LIFTED, g.LotMade(lot=lot, sources=tuple(g.Share(row=row) for row in rows or ("R7",))))


def look(yard: Yard, lot: str = "26-04", day: int = 60) -> LotQuality:
    yard.desk.refresh()
    return lot_quality(yard.desk, lot, at(day))


def missing(found: LotQuality) -> list[str]:
    return [ask.what for ask in found.release.of("missing")]


def write(yard: Yard, fields: dict[str, str], day: int = 60) -> int:
    return yard.desk.write("released", fields, now=at(day), who="ana").lines[0].number


def refused(yard: Yard, fields: dict[str, str]) -> dict[str, str]:
    before = yard.book.head()
    with pytest.raises(Refused) as caught:
        write(yard, fields)
    assert yard.book.head() == before
    return {one.where: one.do for one in caught.value.refusals}


def fields(found: LotQuality, **other: str) -> dict[str, str]:
    return {**release_fields(found, "Ana Ni Invented"), **other}


def test_a_hot_lot_with_nothing_else_asked_is_proven_by_its_heat_alone(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    found = look(yard)
    assert found.verdict == "PASS" and found.release.can_be == "proven"
    assert any("Only its heat" in one for one in found.release.limits)
    assert found.herbicide.advised and "horse manure" in found.herbicide.inputs[0]


def test_what_the_yard_asks_is_missing_until_it_is_tested(yard: Yard) -> None:
    hot(yard, material="zoo sweepings")  # nothing is known of its moisture
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,), maturity={"CCME maturity": "mature"}, plan="us-503-16"))
    found = look(yard)
    assert found.release.can_be == "treated as raw"
    assert missing(found) == ["fecal coliform", "Salmonella", "maturity", "sampling"]
    yard.say(42, g.Sampled(sample="S1", lot="26-04", increments=20, plan="us-503-16"))
    rise = "self-heating rise 7 C -"
    yard.say(50, sheet(*GOOD, rise, sample="S1", lot="26-04", sampled=date(2026, 6, 11)))
    found = look(yard)
    assert missing(found) == ["sampling"]
    assert "does not tell" in found.release.of("missing")[0].sentence


def test_the_plan_is_answered_once_the_lot_is_weighed_with_its_moisture(yard: Yard) -> None:
    hot(yard)
    yard.say(39, g.Weighed(row="R7", amount=T30, moisture=Amount(40_000_000, "%")))
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,), plan="us-503-16"))
    yard.say(42, g.Sampled(sample="S1", lot="26-04", increments=20, plan="us-503-16"))
    yard.say(50, sheet(*GOOD, sample="S1", lot="26-04"))
    found = look(yard)
    assert found.due is not None and found.due.due == date(2027, 6, 11) and found.release.can_be == "proven"


def test_proven_is_written_and_only_as_it_stands(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    result = yard.say(50, sheet(*GOOD, lot="26-04")).lines[0].number
    found = look(yard)
    assert found.newest == result
    said = refused(yard, fields(found, upto="3", rule="OTHER", verdict="REVIEW"))
    assert set(said) == {"field upto", "field rule", "field verdict"}
    assert write(yard, fields(found)) == result + 1


def test_what_failed_is_never_released_and_every_reason_is_told(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    good = look(yard)
    yard.say(50, sheet("fecal coliform 1000 MPN/g dry", "Salmonella 3 MPN/4g dry", lot="26-04"))
    found = look(yard)
    assert found.release.can_be == "not at all"
    with pytest.raises(ValueError, match="may not leave"):
        release_fields(found, "Ana")
    for how in ("proven", "treated as raw"):
        before = yard.book.head()
        with pytest.raises(Refused) as caught:
            write(yard, fields(good, how=how, upto=str(found.newest)))
        assert [one.where for one in caught.value.refusals] == ["field lot", "field lot"]
        assert yard.book.head() == before


def test_heat_that_is_not_proven_leaves_as_raw_and_heat_that_failed_not_at_all(yard: Yard) -> None:
    hot(yard, unread=(7, 8, 9))
    lift(yard)
    found = look(yard)
    assert found.verdict == "NOT_PROVEN"
    assert "not proven" in refused(yard, fields(found, how="proven"))["field how"]
    assert any("120 days" in one for one in found.release.limits)
    assert write(yard, fields(found)) == found.newest + 1
    yard.say(0, e.RowBuilt(row="R8", stations=("1", "2")), 6)
    for day in range(1, 20):
        yard.read("R8", day, "40", "41")
    lift(yard, "26-05", "R8")
    cold = look(yard, "26-05")
    assert (cold.verdict, cold.release.can_be) == ("FAIL", "not at all")


def test_a_lot_that_leaves_raw_must_print_every_limit(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    found = look(yard)
    assert found.release.can_be == "treated as raw"
    assert "not proven" in refused(yard, fields(found, how="proven"))["field how"]
    short = "\n".join(found.release.limits[1:])
    assert "Print with it: Treated as raw" in refused(yard, fields(found, limits=short))["field limits"]
    number = write(yard, fields(found))
    told = yard.desk.diary.line(number).entry.what
    assert (
        isinstance(told, g.Released) and told.how == "treated as raw" and told.limits == found.release.limits
    )


def test_a_rows_figures_count_after_its_last_turn_and_not_before(yard: Yard) -> None:
    hot(yard)
    yard.say(30, sheet(*GOOD, row="R7", sampled=date(2026, 5, 14)))  # d14: the day of the last turn
    late = yard.say(31, sheet(*GOOD, row="R7", sampled=date(2026, 5, 25))).lines[0].number
    lift(yard)
    yard.say(45, sheet(*GOOD, row="R7", sampled=date(2026, 6, 12)))  # after it was lifted on d40
    found = look(yard).figures
    assert {one.line for one in found.counted} == {late}
    notes = " ".join(found.notes)
    assert "last turn" in notes and "after the lot was lifted" in notes and "count for the lot" in notes


def test_figures_of_one_of_several_rows_count_only_where_they_fail(yard: Yard) -> None:
    for row in ("R7", "R8"):
        hot(yard, row)
    yard.say(30, sheet(*GOOD, row="R7", sampled=date(2026, 5, 25)))
    lift(yard, "26-04", "R7", "R8")
    yard.say(41, g.QualityAsked(limits=(SET,)))
    assert missing(look(yard)) == ["fecal coliform", "Salmonella"]
    yard.say(42, sheet("fecal coliform 5000 MPN/g dry", row="R8", sampled=date(2026, 5, 25)))
    found = look(yard)
    assert found.release.can_be == "not at all"
    assert [ask.what for ask in found.release.of("failed")] == ["fecal coliform"]


def test_a_part_that_fails_as_received_fails_by_its_own_moisture(yard: Yard) -> None:
    """600 MPN/g as received at 50 % moisture is 1200 of dry matter; the other row's figures do not help."""
    for row in ("R7", "R8"):
        hot(yard, row)
    wet = ("fecal coliform 600 MPN/g received", "moisture 50 % received")
    yard.say(42, sheet(*wet, row="R8", sampled=date(2026, 5, 25)))
    yard.say(30, sheet(*GOOD, row="R7", sampled=date(2026, 5, 25)))
    lift(yard, "26-04", "R7", "R8")
    yard.say(43, g.QualityAsked(limits=(SET,)))
    failed = look(yard).release.of("failed")
    assert [ask.what for ask in failed] == ["fecal coliform"] and "1200 MPN/g" in failed[0].sentence


def test_screening_makes_a_lot_that_is_tested_anew(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    yard.say(42, sheet(*GOOD, lot="26-04", sampled=date(2026, 6, 11)))
    yard.say(43, g.Screened(sources=(g.Share(lot="26-04"),), fines="26-04F", overs="26-04O"))
    assert look(yard).release.can_be == "proven"
    fines = look(yard, "26-04F")
    assert missing(fines) == ["fecal coliform", "Salmonella"] and fines.verdict == "PASS"


def test_a_released_lot_that_fails_later_is_to_be_called_back(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    yard.say(50, sheet(*GOOD, lot="26-04"))
    write(yard, fields(look(yard)))
    assert to_call_back(yard.desk, at(60)) == ()
    yard.say(61, sheet("Salmonella 9 MPN/4g dry", lot="26-04"))
    yard.desk.refresh()
    ((lot, failed),) = to_call_back(yard.desk, at(62))
    assert lot == "26-04" and isinstance(failed[0], Ask) and failed[0].what == "Salmonella"
    yard.say(63, g.Recalled(lot="26-04", reason="Salmonella found"))
    yard.desk.refresh()
    assert to_call_back(yard.desk, at(64)) == ()
    assert look(yard, day=64).release.can_be == "not at all"


def out(yard: Yard, ticket: str, day: int) -> None:
    yard.say(day, g.LoadOut(ticket=ticket, lot="26-04", amount=Amount(1_000_000, "t"), customer="Mill"))


def test_a_load_that_left_unreleased_or_called_back_is_named(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    out(yard, "T1", 45)
    write(yard, fields(look(yard, day=50)), 50)
    out(yard, "T2", 51)
    yard.say(55, g.Recalled(lot="26-04", reason="glass"))
    out(yard, "T3", 56)
    yard.desk.refresh()
    found = left_without_release(yard.desk.diary)
    assert [(one.ticket, one.customer) for one in found] == [("T1", "Mill"), ("T3", "Mill")]
    assert "before anybody" in found[0].sentence and "called back" in found[1].sentence


def test_a_struck_result_counts_no_more(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    bad = yard.say(50, sheet("Salmonella 9 MPN/4g dry", lot="26-04")).lines[0].number
    assert look(yard).release.can_be == "not at all"
    yard.say(51, e.Struck(line=bad, reason="another lot's sheet"))
    assert look(yard).release.can_be == "treated as raw"


def test_looking_writes_nothing(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    before = yard.book.head()
    assert look(yard).lot == "26-04"
    assert yard.book.head() == before

"""A release that stands no more, and one that never could: named with lines and buyers, and no recall.

What must then be done is common practice, no source.
"""

import json
from datetime import date
from pathlib import Path

import msgspec
import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.foreman.desk import Desk
from turnrow.foreman.lot_papers import labelled, lot_paper
from turnrow.foreman.papers import day_paper
from turnrow.foreman.quality import to_call_back
from turnrow.foreman.stands import Unproven, against_record
from turnrow.foreman.trade_papers import trade_paper
from turnrow.journal.book import Book
from turnrow.records.day_sheet import day_sheet
from turnrow.records.label import label_sheet
from turnrow.records.lot_papers import lot_sheet, story_sheet
from turnrow.web.app import create_app
from turnrow.yard import entries as e
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at
from .test_quality import GOOD, SET, fields, hot, lift, look, sheet, write

LOAD = {"ticket": "T9", "lot": "26-04", "amount": "1 t", "customer": "Mill"}


@pytest.fixture
def sold(yard: Yard) -> Yard:
    """Proven, tested, released on day 60, and a load of it out on day 61."""
    hot(yard)
    lift(yard)
    yard.say(41, g.Weighed(lot="26-04", amount=Amount(12_000_000, "t")))
    yard.say(42, g.QualityAsked(limits=(SET,)))
    yard.say(50, sheet(*GOOD, lot="26-04", sampled=date(2026, 6, 11)))
    yard.say(50, g.CustomerNamed(customer="Mill"))
    write(yard, fields(look(yard)))
    yard.say(61, g.LoadOut(ticket="T1", lot="26-04", amount=Amount(2_000_000, "t"), customer="Mill"))
    return yard


def lost(yard: Yard, day: int = 65) -> tuple[Unproven, ...]:
    yard.desk.refresh()
    assert to_call_back(yard.desk, at(day)) == ()  # it is no recall
    return yard.desk.stands(at(day)).unproven


def number(yard: Yard, kind: type[e.Kind]) -> int:
    yard.desk.refresh()
    return next(line.number for line, _ in yard.desk.diary.all(kind))


def day_eight(yard: Yard) -> int:
    yard.desk.refresh()
    rounds = yard.desk.diary.all(e.Round)
    return next(line.number for line, _ in rounds if line.entry.happened == at(8))


def one(yard: Yard) -> str:
    (found,) = lost(yard)
    assert found.lot == "26-04" and found.customers == ("Mill",)
    said = " ".join(text for text, _ in found.sentences)
    assert "no recall" in said and "Ana Ni Invented" in said and "10 t of it still lie there" in said
    return said


def test_nothing_is_said_while_it_stands(sold: Yard) -> None:
    sold.read("R8", 62, "20", "21")
    sold.say(63, g.LoadBack(ticket="T1", amount=Amount(1_000_000, "t")))
    assert lost(sold) == ()


def test_a_round_struck_after_release(sold: Yard) -> None:
    read = day_eight(sold)
    struck = sold.say(63, e.Struck(line=read, reason="it was row R6")).lines[0].number
    said = one(sold)
    assert f"line {struck} struck line {read} (it was row R6)" in said
    (found,) = lost(sold)
    assert [line.number for line in found.changed] == [struck]
    assert [ask.what for ask in found.missing] == ["heat"]


def test_a_result_struck_after_release(sold: Yard) -> None:
    tested = number(sold, g.LabResult)
    sold.say(63, e.Struck(line=tested, reason="another yard's"))
    assert f"struck line {tested}" in one(sold)
    (found,) = lost(sold)
    assert {ask.what for ask in found.missing} == {"fecal coliform", "Salmonella"}


def test_a_late_cold_reading_is_a_failure_and_a_call_back(sold: Yard) -> None:
    """Written on day 63 of day 8, 40 °C: fewer than 15 days at 131 °F (503 App. B). Known to have failed."""
    late = sold.book.head().line + 1
    cold = tuple(e.Reading(one, 600, 40_000_000) for one in "12")
    entry = e.Entry(
        id=f"e{late}", happened=at(8, 12), who="ana", what=e.Round(row="R7", unit="C", readings=cold)
    )
    sold.book.append([entry], written=at(63))
    sold.desk.refresh()
    assert [lot for lot, _ in to_call_back(sold.desk, at(65))] == ["26-04"]
    assert sold.desk.stands(at(65)).unproven == ()
    with pytest.raises(Refused) as caught:
        sold.desk.write("load out", LOAD, now=at(65), who="ana")
    assert "may not leave as that now" in caught.value.refusals[0].do


def test_an_unproven_row_found_to_have_been_pushed_in(sold: Yard) -> None:
    sold.say(0, e.RowBuilt(row="R9", stations=("1", "2")), 6)
    merged = sold.say(30, e.Merged(row="R7", sources=("R9",))).lines[0].number
    assert f"line {merged}" in one(sold)


def test_a_lot_whose_proof_is_lost_does_not_leave_as_proven(sold: Yard) -> None:
    """Refused for what is to leave; what left before it could be known, or with a reason, is written."""
    sold.say(63, e.Struck(line=day_eight(sold), reason="it was row R6"))
    sold.desk.refresh()
    with pytest.raises(Refused) as caught:
        sold.desk.write("load out", LOAD, now=at(64), who="ana")
    assert "may not leave as that now" in caught.value.refusals[0].do
    early = {**LOAD, "ticket": "T8", "happened": "2026-07-01T09:00"}
    sold.desk.write("load out", early, now=at(64), who="ana")
    sold.desk.write("load out", {**LOAD, "unreleased": "was loaded already"}, now=at(64), who="ana")
    write(sold, fields(look(sold, day=66)), 66)
    assert lost(sold, 67) == ()
    sold.desk.write("load out", {**LOAD, "ticket": "T10"}, now=at(68), who="ana")


def test_every_paper_of_it_says_so(sold: Yard) -> None:
    read = day_eight(sold)
    sold.say(63, e.Struck(line=read, reason="it was row R6"))
    sold.desk.refresh()
    paper = lot_paper(sold.desk, "26-04")
    facts = [fact for part in lot_sheet(paper).parts for fact in part.facts]
    assert any(f"struck line {read}" in fact.text and fact.lines for fact in facts)
    story = " ".join(fact.text for part in story_sheet(paper).parts for fact in part.facts)
    assert "not shown any more" in story and "Mill" not in story
    label = label_sheet(paper)
    assert label.raw and label.state == "To be judged again: not for sale"
    for said in (story, " ".join(label.limits)):  # whoever has some keeps 7 CFR 205.203(c)(1)'s waiting days
        assert "120 days" in said and "90 days" in said


def test_papers_of_a_lot_nobody_released_say_what_holds_for_raw(yard: Yard) -> None:
    """A load that left without a release rides with the 90 and 120 days of 7 CFR 205.203(c)(1)."""
    hot(yard)
    lift(yard)
    yard.say(41, g.LoadOut(ticket="T9", lot="26-04", amount=Amount(1_000_000, "t"), customer="Mill",
                           unreleased="it left by mistake"))  # fmt: skip
    yard.desk.refresh()
    ticket = trade_paper(yard.desk, "ticket", "T9")
    assert ticket is not None
    said = " ".join(fact.text for part in ticket.parts for fact in part.facts)
    assert "120 days" in said and "90 days" in said and "Treated as raw" in said


def test_no_paper_of_what_failed_or_was_called_back_says_how_to_use_it(sold: Yard) -> None:
    """Released as proven, then Salmonella 9 MPN/4 g (503.32(a): less than 3), then called back."""
    sold.desk.refresh()
    assert (
        story_of(sold)[0] == [] and label_sheet(lot_paper(sold.desk, "26-04")).state == "Compost, proven hot"
    )
    sold.say(63, sheet("Salmonella 9 MPN/4g dry", lot="26-04", sampled=date(2026, 7, 3)))
    sold.desk.refresh()
    label, (urgent, use) = label_sheet(lot_paper(sold.desk, "26-04")), story_of(sold)
    assert label.raw and label.state.startswith("Failed since its release") and label.limits == ()
    assert "Do not use it" in urgent[0] and use == ["Nothing: it was found to fail after it was released."]
    sold.say(64, g.LoadBack(ticket="T1", amount=Amount(1_500_000, "t")))
    sold.say(65, g.Recalled(lot="26-04", reason="germs"))
    sold.desk.refresh()
    label, (urgent, use) = label_sheet(lot_paper(sold.desk, "26-04")), story_of(sold)
    assert label.state.startswith("Called back") and (label.limits, label.gives) == ((), ())
    assert "called back" in urgent[0] and use == ["Nothing: it has been called back."]
    went = next(
        part for part in lot_sheet(lot_paper(sold.desk, "26-04")).parts if part.title == "Where it went"
    )
    assert "1.5 t of load out T1 came back" in went.after[0].text and went.after[0].lines
    ticket = trade_paper(sold.desk, "ticket", "T1")
    assert ticket is not None and "What may be done with it" not in [part.title for part in ticket.parts]
    said = [fact.text for fact in ticket.parts[0].facts]
    assert any("called back: germs. Do not use it." in text for text in said)
    assert any("1.5 t of load out T1 came back" in text for text in said)


def test_nothing_private_stands_on_story_or_label(sold: Yard) -> None:
    """No buyer, person, ticket or price, whether it is sold, called back or complained of."""
    price, holds = Amount(28_500_000, "EUR/m3"), Amount(40_000_000, "L")
    sold.say(61, g.ProductNamed(product="fine", price=price, bag=holds))
    sold.say(61, g.Bagged(lot="26-04", product="fine", bags=7))
    sold.say(62, g.LoadBack(ticket="T1", amount=Amount(500_000, "t"), reason="Mill was not in"))
    private = ("Mill", "Ana Ni", '"ana"', "T1", "28.5", "EUR", "was not in", "found glass")
    for _ in ("sold", "called back"):
        sold.desk.refresh()
        paper = lot_paper(sold.desk, "26-04")
        product, bag = labelled(sold.desk, "26-04")
        told = msgspec.json.encode((story_sheet(paper), label_sheet(paper, product, "", bag))).decode()
        assert "Lot 26-04" in told and "fine" in told and "40 L" in told
        assert [one for one in private if one in told] == []
        sold.say(65, g.Recalled(lot="26-04", reason="Mill found glass", told=("Mill",)))


def story_of(yard: Yard) -> tuple[list[str], list[str]]:
    """What its public story says loudest, and what it says of its use."""
    parts = story_sheet(lot_paper(yard.desk, "26-04")).parts
    urgent = [fact.text for part in parts for fact in part.facts if fact.urgent]
    return urgent, [fact.text for part in parts if part.title == "What it is good for" for fact in part.facts]


def test_the_days_sheet_says_it_and_keeps_what_was_said(sold: Yard) -> None:
    """A round struck on day 63 and read again later: said on the sheet of day 64, and no longer on day 66."""
    assert "lot 26-04 judge again" not in sold.today(62)
    read = day_eight(sold)
    struck = sold.say(63, e.Struck(line=read, reason="it was row R6")).lines[0].number
    sold.desk.refresh()
    line = sold.desk.issue(at(64), "ana")
    job = line.entry.what.advice[0]  # type: ignore[union-attr]
    assert (job.key, job.row, job.urgent) == ("lot 26-04 judge again", "", True)
    assert "10 t of it still lie there" in job.text and struck in job.because
    sold.desk.tick(job.key, at(64, 10), "ana", done=False, reason="the other book is in town")
    said = [one.text for one in day_sheet(day_paper(sold.desk, at(64).date())).jobs]
    assert job.text in said
    sold.read("R7", 8, "60", "61")
    assert job.key not in sold.today(66)
    then = sold.desk.morning_of(at(64).date())
    assert then.job(job.key) == job and then.since is not None and then.since.gone == ()


def test_the_days_sheet_says_to_call_back_what_failed_until_it_was(sold: Yard) -> None:
    sold.say(63, sheet("Salmonella 9 MPN/4g dry", lot="26-04", sampled=date(2026, 7, 3)))
    job = sold.today(64)["lot 26-04 call back"]
    assert "Salmonella 9 MPN/4g dry" in job.text and "Tell Mill." in job.text
    sold.desk.tick(job.key, at(64, 10), "ana")
    assert list(sold.desk.today(at(64, 11)).done) == [job.key]
    sold.say(65, g.Recalled(lot="26-04", reason="germs"))
    assert job.key not in sold.today(66)


def test_a_release_that_could_not_have_been_written_is_named(yard: Yard) -> None:
    """Brought in by another book: the lot failed its limits that day. Kept as given, and named."""
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    yard.say(50, sheet("Salmonella 9 MPN/4g dry", lot="26-04", sampled=date(2026, 6, 11)))
    rule, verdict = look(yard).rule, look(yard).verdict
    what = g.Released(lot="26-04", name="Ana", how="proven", rule=rule, verdict=verdict, upto=99)  # type: ignore[arg-type]
    line = yard.say(60, what).lines[0]
    yard.desk.refresh()
    said = against_record(yard.desk.then(line.number), line)
    assert any("Salmonella" in one for one in said)
    facts = [fact.text for part in lot_sheet(lot_paper(yard.desk, "26-04")).parts for fact in part.facts]
    assert any("stands against what was on record" in text for text in facts)


def test_it_is_named_in_a_book_that_took_it_in_from_a_file(yard: Yard, tmp_path: Path) -> None:
    """The release stands in the copy as it was given; `verify`, the lot's page, paper and label name it."""
    hot(yard)
    lift(yard)
    yard.say(41, g.QualityAsked(limits=(SET,)))
    yard.say(50, sheet("Salmonella 9 MPN/4g dry", lot="26-04", sampled=date(2026, 6, 11)))
    given = g.Released(lot="26-04", name="Ana", how="proven", rule="none", verdict="PASS", upto=2)
    line = yard.say(60, given).lines[0]
    file, copy = str(tmp_path / "yard.jsonl"), str(tmp_path / "copy.journal")

    def said(*words: str) -> str:
        answer = CliRunner().invoke(app, [*words], env={"TURNROW_YARD": None})
        assert answer.exit_code == 0, answer.output
        return answer.output

    said("export", "-o", file, "--yard", str(tmp_path / "yard.turnrow"))
    said("import", file, "--yard", copy)
    (found,) = json.loads(said("verify", "--yard", copy, "--json"))["releases"]
    assert found["line"] == line.number and "Salmonella" in found["what"]
    with Book.open(copy) as book:
        desk = Desk(book)
        assert desk.diary.line(line.number) == line
        facts = [fact.text for part in lot_sheet(lot_paper(desk, "26-04")).parts for fact in part.facts]
        assert any("stands against what was on record" in text for text in facts)
        pages = TestClient(create_app(desk, clock=lambda: at(65)), base_url="http://127.0.0.1:8017")
        assert "stands against what was on record" in pages.get("/lots/26-04").text
        assert label_sheet(lot_paper(desk, "26-04")).state.startswith("Failed since its release")


def test_a_release_written_at_the_desk_stands_with_its_record(sold: Yard) -> None:
    """Also after what came later: it is held against what was known then."""
    sold.say(63, sheet("Salmonella 9 MPN/4g dry", lot="26-04"))
    released = sold.desk.diary.line(number(sold, g.Released))
    assert against_record(sold.desk.then(released.number), released) == ()


def test_commands_and_pages_name_it(sold: Yard, tmp_path: Path) -> None:
    """`today`, `recall` (also from the buyer), `verify`, and the pages Today, Quality, Lots and the lot's."""
    read = day_eight(sold)
    sold.say(63, e.Struck(line=read, reason="it was row R6"))
    sold.desk.refresh()
    path = str(tmp_path / "yard.turnrow")

    def said(*words: str) -> str:
        answer = CliRunner().invoke(app, [*words, "--yard", path], env={"TURNROW_YARD": None})
        assert answer.exit_code == 0, answer.output
        return answer.output

    for words in (("today",), ("recall", "lot 26-04"), ("recall", "customer Mill")):
        text = said(*words)
        assert "no recall" in text and f"struck line {read}" in text and "Mill" in text
    (found,) = json.loads(said("recall", "ticket T1", "--json"))["not_proven_now"]
    assert found["lot"] == "26-04" and found["customers"] == ["Mill"]
    assert json.loads(said("verify", "--json"))["releases"] == []
    pages = TestClient(create_app(sold.desk, clock=lambda: at(65)), base_url="http://127.0.0.1:8017")
    for where in ("/", "/quality", "/lots?recall=lot+26-04", "/lots/26-04"):
        assert f"struck line {read}" in pages.get(where).text, where
    assert "not shown to be so now" in pages.get("/lots").text


def test_verify_names_a_release_that_could_not_have_been_written(yard: Yard, tmp_path: Path) -> None:
    hot(yard)
    lift(yard)
    what = g.Released(lot="26-04", name="Ana", how="proven", rule="none", verdict="PASS", upto=2)
    line = yard.say(60, what).lines[0].number
    path = str(tmp_path / "yard.turnrow")
    answer = CliRunner().invoke(app, ["verify", "--yard", path, "--json"], env={"TURNROW_YARD": None})
    (found,) = json.loads(answer.output)["releases"]
    assert found["line"] == line and "stands against what was on record" in found["what"]

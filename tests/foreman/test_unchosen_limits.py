"""A result that fails a limit known for the lot's use stops it, although nobody chose that limit.

Salmonella under 3 MPN/4 g: 40 CFR 503.32(a), 21 CFR 112.55 (READ in copies). Lead 840 mg/kg at most: 503.13
Table 1 (READ)."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.foreman.in_stock import stock
from turnrow.web.app import create_app
from turnrow.yard import goods as g
from turnrow.yard.entries import Amount
from turnrow.yard.wrongs import Refused

from .conftest import Yard, at
from .test_quality import T30, fields, hot, lift, look, sheet, write

SALMONELLA = "Salmonella 8 MPN/4g dry"


def sold(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    yard.say(41, g.Sampled(sample="S1", lot="26-04", increments=12))
    write(yard, fields(look(yard)))
    yard.say(61, g.LoadOut(ticket="T-1", lot="26-04", amount=T30, customer="A buyer", all=True))


def test_a_late_salmonella_stops_the_lot_and_names_its_buyers_everywhere(yard: Yard) -> None:
    sold(yard)
    line = yard.say(62, sheet(SALMONELLA, sample="S1")).lines[0].number
    found = look(yard, day=63)
    assert found.release.can_be == "not at all"
    (failed,) = found.release.of("failed")
    assert failed.what == "Salmonella" and failed.lines == (line,) and "not chosen" in failed.sentence
    job = yard.today(63)["lot 26-04 call back"]
    assert job.urgent and "A buyer" in job.text and "Salmonella 8" in job.text
    (lot, asks, customers) = yard.desk.stands(at(63)).failed[0]
    assert (lot, asks[0].what, customers) == ("26-04", "Salmonella", ("A buyer",))


def test_pages_and_recall_say_it_and_name_the_buyer(yard: Yard, tmp_path: Path) -> None:
    """Stock, Lots, the lot's page and `turnrow recall`, of a lot that was released and has failed since."""
    sold(yard)
    yard.say(62, g.LoadBack(ticket="T-1", amount=Amount(2_000_000, "t")))
    yard.say(63, sheet(SALMONELLA, sample="S1"))
    yard.desk.refresh()
    client = TestClient(create_app(yard.desk, clock=lambda: at(64)), base_url="http://127.0.0.1:8017")
    for path in ("/", "/stock", "/lots", "/lots/26-04", "/lots?recall=lot+26-04", "/quality"):
        said = " ".join(client.get(path).text.split())
        assert "ailed since" in said or "may not leave now" in said, path
        if path not in ("/stock", "/lots"):
            assert "Salmonella 8" in said and "A buyer" in said, path
    told = CliRunner().invoke(app, ["recall", "lot 26-04", "--yard", str(tmp_path / "yard.turnrow")])
    assert "Call lot 26-04 back" in " ".join(told.output.split()) and "A buyer" in told.output


def test_it_stops_before_release_too(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    before = look(yard)
    yard.say(62, sheet(SALMONELLA, lot="26-04"))
    with pytest.raises(Refused) as caught:
        write(yard, fields(before), day=63)
    assert any("Salmonella" in one.do for one in caught.value.refusals)
    assert [one.lot for one in stock(yard.desk, at(63))] == ["26-04"]


@pytest.mark.parametrize(("lead", "can_be"), [("840", "proven"), ("841", "not at all")])
def test_lead_over_the_ceiling_stops_it_and_at_the_ceiling_does_not(
    yard: Yard, lead: str, can_be: str
) -> None:
    hot(yard)
    lift(yard)
    yard.say(50, sheet(f"Pb {lead} mg/kg dry", lot="26-04"))
    assert look(yard).release.can_be == can_be


def test_a_limit_of_another_country_does_not_stop_it(yard: Yard) -> None:
    """Copper 310 mg/kg is over the EU's 300 and Germany's 100, and far under the ceiling of 4300."""
    hot(yard)
    lift(yard)
    yard.say(50, sheet("Cu 310 mg/kg dry", lot="26-04"))
    assert look(yard).release.can_be == "proven"


def test_either_germ_will_do_where_the_text_says_or(yard: Yard) -> None:
    """503.32(a): fecal coliform OR Salmonella; many coliforms beside a good Salmonella are no failure."""
    hot(yard)
    lift(yard)
    yard.say(50, sheet("fecal coliform 1200 MPN/g dry", "Salmonella <1 MPN/4g dry", lot="26-04"))
    assert look(yard).release.can_be == "proven"


def test_germs_in_what_is_not_proven_hot_are_said_and_it_leaves_as_raw(yard: Yard) -> None:
    hot(yard, unread=(7, 8, 9))
    lift(yard)
    yard.say(50, sheet(SALMONELLA, lot="26-04"))
    found = look(yard)
    assert found.release.can_be == "treated as raw"
    assert any("Salmonella" in one for one in found.release.limits)


def test_release_says_which_limits_were_never_chosen(yard: Yard) -> None:
    hot(yard)
    lift(yard)
    (never,) = [one for one in look(yard).release.limits if "never chosen" in one]
    assert "503.13 Table 1" in never and "Class A germs" in never
    yard.say(41, g.QualityAsked(limits=("us-503-table1", "us-503-class-a")))
    good = ("As 1", "Cd 1", "Cu 1", "Pb 1", "Hg 1", "Mo 1", "Ni 1", "Se 1", "Zn 1")
    yard.say(50, sheet(*(f"{one} mg/kg dry" for one in good), "Salmonella <1 MPN/4g dry", lot="26-04"))
    found = look(yard)
    assert found.release.can_be == "proven" and not [one for one in found.release.limits if "never" in one]

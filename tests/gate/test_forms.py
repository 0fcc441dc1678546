"""Entries from fields of text: every kind a person writes, and all that is wrong told at once."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any, get_args

import msgspec
import pytest

from turnrow.gate.forms import FORMS, KINDS, entry_from, fields_of
from turnrow.yard import entries, goods
from turnrow.yard.entries import Amount, Entry, Reading
from turnrow.yard.wrongs import Refusal, Refused


def write(desk: Any, kind: str, who: str = "office", id: str = "", **fields: str) -> Entry:
    named = {name.replace("__", "."): text for name, text in fields.items()}
    return entry_from(kind, named, diary=desk.diary, now=datetime(2026, 6, 1, 8, tzinfo=UTC), who=who, id=id)


def refused(desk: Any, kind: str, **fields: str) -> tuple[Refusal, ...]:
    with pytest.raises(Refused) as caught:
        write(desk, kind, **fields)
    return caught.value.refusals


GOOD: dict[str, Mapping[str, str]] = {
    "yard laid out": {"name": "Low Field", "zone": "Europe/Dublin"},
    "load in": {"load": "L1", "material": "horse manure", "amount": "12 t"},
    "row built": {
        "row": "R9",
        "length": "62 m",
        "stations": "1..3",
        "parts": "straw: 10 m3: L1; dung: 30 m3",
    },
    "round": {"row": "R7", "readings": "1@90:54.9,2@90:61 C"},
    "turned": {"row": "R7", "passes": "2", "water": "500 L"},
    "watered": {"row": "R7", "water": "10 m3"},
    "measured": {"row": "R7", "quantity": "squeeze", "amount": "3"},
    "merged": {"row": "R7", "sources": "R8"},
    "moved to curing": {"row": "R7"},
    "covered": {"row": "R7", "taken_off": "yes"},
    "note": {"text": "steam at the north end\nand flies"},
    "complaint": {"nature": "smell at the fence"},
    "incident": {"what": "belt guard off"},
    "weather": {"air": "11 C", "wind": "25 mph"},
    "job done": {"key": "R7 turn", "done": "no", "reason": "wind"},
    "rule chosen": {"rule": "US-503-PFRP-WINDROW", "policy.station": "min", "fact.cn_initial": "28"},
    "setting chosen": {"name": "turn_limit", "amount": "66 C"},
    "probe checked": {"probe": "P2", "bath": "0 C", "read": "0.4 C"},
    "reviewed": {"row": "R7", "upto": "2"},
    "lot made": {"lot": "26-02", "sources": "row R7: 30 t @ 45 %; lot 26-01: 2,5 m3", "amount": "32 t"},
    "screened": {"sources": "row R8", "fines": "26-F1", "overs": "26-O1", "opening": "15 mm"},
    "row split": {"row": "R7", "new": "R7b", "length": "20 m"},
    "weighed": {"lot": "26-01", "amount": "31.2 t", "how": "survey"},
    "sampled": {"sample": "S2", "lot": "26-01", "increments": "12", "mass": "3 kg", "cooled": "yes"},
    "lab result": {
        "sample": "S1",
        "sampled": "2026-06-01",
        "results": "N total: 1.53 % dry; fecal coliform: <10 MPN/g dry by SM 9221; EC: 7 dS/m",
    },
    "growth test": {
        "lot": "26-01",
        "plant": "cress",
        "sown": "10",
        "up": "9, 8 10",
        "control_up": "10 10 9",
        "weights": "12,5 11 13 g",
        "control_weights": "13 12.5 14 g",
        "abnormal": "0",
        "leaves": "sound",
        "grown": "14",
    },
    "quality asked": {
        "limits": "us-503-class-a, us-503-table3",
        "maturity.CO2 classes": "stable",
        "plan": "us-503-16",
    },
    "released": {
        "lot": "26-01",
        "name": "Maire Ni Invented",
        "rule": "US-503-PFRP-WINDROW",
        "verdict": "PASS",
        "upto": "3",
    },
    "recalled": {"lot": "26-01", "reason": "glass", "told": "Hollow Nursery"},
    "product": {"product": "fine", "price": "28.50 eur/m³", "bag": "40 L"},
    "customer": {"customer": "Hollow Nursery", "use": "pots"},
    "ordered": {
        "order": "O2",
        "customer": "Hollow Nursery",
        "product": "fine",
        "amount": "12 bag",
        "wanted": "2026-07-01",
    },
    "load out": {
        "ticket": "T2",
        "lot": "26-01",
        "amount": "9 t",
        "customer": "Hollow Nursery",
        "order": "O1",
    },
    "load back": {"ticket": "T1", "amount": "500 kg", "reason": "too wet"},
    "bagged": {"lot": "26-01", "product": "fine", "bags": "200", "amount": "4 t"},
    "invoiced": {"invoice": "I1", "customer": "Hollow Nursery", "tickets": "T1"},
    "spent": {"cost": "machine", "amount": "2.5 h", "row": "R7", "what": "turner", "task": "turning"},
    "rate": {"cost": "machine", "rate": "85 EUR/h", "what": "turner"},
    "certified": {"lot": "26-01", "name": "Maire Ni Invented", "words": "us-503-17"},
    "certificate": {"material": "bought compost", "issuer": "Elsewhere", "words": "15 days at 55 °C"},
    "trained": {"name": "Maire Ni Invented", "subject": "probing", "short": "maire"},
    "cleaned": {"what": "loader", "how": "washed", "after": "raw manure", "before": "lot 26-01"},
    "spread": {"lot": "26-01", "field": "North", "ticket": "T1", "amount": "9 t", "touches_soil": "no"},
    "struck": {"line": "2", "reason": "wrong day"},
}


@pytest.fixture
def desk(desk: Any) -> Any:
    """A yard that has sold something, so that every kind has what it speaks of."""
    tonnes = Amount(30_000_000, "t")
    desk.write(goods.LotMade(lot="26-01", sources=(goods.Share(row="R8", amount=tonnes),)))
    desk.write(goods.CustomerNamed(customer="Hollow Nursery"))
    desk.write(goods.ProductNamed(product="fine"))
    desk.write(goods.Ordered(order="O1", customer="Hollow Nursery", product="fine", amount=tonnes))
    desk.write(goods.LoadOut(ticket="T1", lot="26-01", amount=tonnes, customer="Hollow Nursery"))
    desk.write(goods.Sampled(sample="S1", lot="26-01"))
    return desk


def test_every_kind_but_what_the_yard_itself_writes_has_a_form() -> None:
    tags = {kind.__struct_config__.tag for kind in get_args(entries.What)}
    assert tags - set(FORMS) == {"logger block", "advice given"}
    assert set(GOOD) == set(FORMS)


@pytest.mark.parametrize("kind", GOOD)
def test_a_kind_is_written_by_its_tag_or_with_hyphens_and_stores(kind: str, desk: Any) -> None:
    for name in (kind, kind.replace(" ", "-")):
        given = {key.replace(".", "__"): text for key, text in GOOD[kind].items()}
        entry = write(desk, name, id="e1", **given)
        assert entry.what.__struct_config__.tag == kind
        assert msgspec.json.decode(msgspec.json.encode(entry), type=Entry) == entry


@pytest.mark.parametrize("kind", GOOD)
def test_a_form_lists_its_fields_and_needs_what_it_says(kind: str, desk: Any) -> None:
    needed = {field.name for field in fields_of(kind) if field.needed}
    if kind in ("note", "weather", "round", "job done", "spent"):  # one of several will do
        needed = set()
    where = {wrong.where for wrong in refused(desk, kind, colour="red")}
    assert {f"field {name}" for name in needed | {"colour"}} <= where


def test_amounts_keep_number_and_unit_as_typed(desk: Any) -> None:
    what = write(desk, "row-built", row="R9", length="203 ft", height="1,5 m", volume="40 yd³").what
    assert isinstance(what, entries.RowBuilt)
    assert (what.length, what.height) == (Amount(203_000_000, "ft"), Amount(1_500_000, "m"))
    assert what.volume == Amount(40_000_000, "yd3")
    split = write(desk, "watered", row="R7", water="10", water_unit="m3").what
    assert isinstance(split, entries.Watered) and split.water == Amount(10_000_000, "m3")


@pytest.mark.parametrize(
    ("kind", "field", "text"),
    [
        ("row-built", "length", "0 m"), ("row-built", "length", "5000 m"), ("row-built", "length", "62"),
        ("row-built", "length", "62 kg"), ("row-built", "length", "long"), ("row-built", "height", "1,500 m"),
        ("row-built", "row", "R7"), ("row-built", "row", "=cmd"), ("row-built", "stations", "1,1"),
        ("row-built", "parts", "straw"), ("row-built", "process", "boiled"), ("watered", "water", "-5 L"),
        ("turned", "passes", "0"), ("turned", "passes", "1.5"), ("turned", "row", "R77"),
        ("merged", "sources", "R7"), ("merged", "sources", "R99"), ("note", "text", "bell\x07"),
        ("note", "text", "a" * 2001), ("note", "photo", "abc"), ("weather", "wind", "900 m/s"),
        ("rule-chosen", "rule", "NO-SUCH"), ("rule-chosen", "policy__station", "max"),
        ("rule-chosen", "policy__continuity", "blocks"), ("rule-chosen", "fact__cn_inital", "28"),
        ("setting-chosen", "name", "turn_limits"), ("setting-chosen", "amount", "20 C"),
        ("reviewed", "upto", "99"), ("struck", "line", "99"), ("struck", "line", "0"),
        ("struck", "reason", ""),
        ("lot-made", "lot", "26-01"), ("lot-made", "sources", "row R99: 3 t"), ("lot-made", "sources", "R7"),
        ("lot-made", "sources", "row R7: 3 t; row R7"), ("lot-made", "sources", "row R7: 3 t @ 120 %"),
        ("screened", "overs", "26-F1"), ("row-split", "new", "R8"), ("weighed", "row", "R7"),
        ("weighed", "amount", "31"), ("sampled", "sample", "s1"), ("sampled", "row", "R7"),
        ("lab-result", "results", "N total: 2.5 % dry; C:N: 40 ratio"),
        ("lab-result", "results", "N total: 1.53"), ("lab-result", "results", "N total 1.53 %"),
        ("lab-result", "sample", "S9"), ("lab-result", "sampled", "2026-06-20"), ("lab-result", "lot", "X"),
        ("released", "name", ""), ("released", "lot", "26-99"), ("product", "price", "28"),
        ("product", "price", "28 EUR"), ("product", "price", "28 EUR/hogshead"), ("ordered", "amount", "0 t"),
        ("ordered", "wanted", "1.7.2026"), ("ordered", "customer", "Nobody"), ("load-out", "ticket", "t1"),
        ("load-out", "lot", "26-09"), ("load-back", "ticket", "T9"), ("bagged", "bags", "0"),
        ("invoiced", "tickets", "T9"), ("spent", "amount", "2.5"), ("spent", "money", "12 EUR/h"),
        ("spent", "lot", "26-01"), ("rate", "rate", "85 EUR"),
        ("job-done", "sheet", "2"), ("yard-laid-out", "zone", "Mars/Base"), ("load-in", "how", "guessed"),
    ],
)  # fmt: skip
def test_nonsense_is_refused_at_its_field(kind: str, field: str, text: str, desk: Any) -> None:
    base = {key.replace(".", "__"): value for key, value in GOOD[kind.replace("-", " ")].items()}
    wrongs = refused(desk, kind, **{**base, field: text})
    assert f"field {field.replace('__', '.')}" in {wrong.where for wrong in wrongs}


def test_a_rule_that_could_not_be_judged_as_told_is_refused(desk: Any) -> None:
    """Every wrong fact and policy at once: a yard's rule must never stop its own standing."""
    told = {"fact__cn_initial": "thirty", "policy__continuity": "blocks"}
    wrongs = refused(desk, "rule-chosen", rule="US-NOP-WINDROW", **told)
    assert {wrong.where for wrong in wrongs} == {"field fact.cn_initial", "field policy.continuity"}
    assert write(desk, "rule-chosen", rule="US-NOP-WINDROW", fact__cn_initial="30")
    assert write(desk, "rule-chosen", rule="US-503-PFRP-WINDROW", fact__high_risk="yes")


@pytest.mark.parametrize(
    ("quantity", "good", "bad"),
    [
        ("squeeze", ("1", "5"), ("0", "6")),
        ("moisture", ("0", "100 %"), ("-1", "100.1")),
        ("pH", ("14",), ("15",)),
    ],
)
def test_a_measure_has_its_own_bounds(
    quantity: str, good: tuple[str, ...], bad: tuple[str, ...], desk: Any
) -> None:
    for text in good:
        assert write(desk, "measured", row="R7", quantity=quantity, amount=text)
    for text in bad:
        assert refused(desk, "measured", row="R7", quantity=quantity, amount=text)


def test_a_round_in_one_text_or_a_field_a_station_is_the_same(desk: Any) -> None:
    want = (Reading("1", 900, 54_900_000), Reading("2", 900, 61_000_000))
    one = write(desk, "round", row="R7", readings="1@90:54.9,2@90:61 C").what
    comma = write(desk, "round", row="R7", unit="C", readings="1@90: 54,9; 2@90cm=61")
    web = entry_from(
        "round",
        {"row": "R7", "unit": "C", "depth_cm": "90", "station.1": "54.9", "station.2": "61", "station.3": ""},
        diary=desk.diary, now=datetime(2026, 6, 1, 8, tzinfo=UTC), who="office",
    ).what  # fmt: skip
    for what in (one, comma.what, web):
        assert isinstance(what, entries.Round) and (what.readings, what.unit) == (want, "C")


def test_an_impossible_reading_is_kept_and_what_is_no_number_is_not(desk: Any) -> None:
    what = write(desk, "round", row="R7", unit="C", readings="1:-127, 2:999").what
    assert isinstance(what, entries.Round) and [r.value for r in what.readings] == [-127_000_000, 999_000_000]
    for text in ("1:hot", "1:nan", "1", "1:54.9", "1:54 C,2:130 F", "1:54 C,1:55 C", "1@-5:54 C", "1:1e3 C"):
        assert refused(desk, "round", row="R7", readings=text)


def test_happened_is_now_a_moment_or_a_day(desk: Any) -> None:
    assert write(desk, "turned", row="R7").happened == datetime(2026, 6, 1, 8, tzinfo=UTC)
    at = write(desk, "turned", row="R7", happened="2026-05-03T07:40")
    assert at.happened.isoformat() == "2026-05-03T07:40:00+01:00" and not at.day_only
    day = write(desk, "turned", row="R7", happened="2026-05-03")
    assert day.day_only and day.happened.isoformat() == "2026-05-03T12:00:00+01:00"
    zoned = write(desk, "turned", row="R7", happened="2026-05-03T07:40-05:00")
    assert zoned.happened.utcoffset() == timedelta(hours=-5)


@pytest.mark.parametrize(
    "text",
    [
        "2026-06-02T08:00:01Z",
        "1989-12-31",
        "yesterday",
        "2026-02-30",
        "2026-03-29T01:30",
        "2025-10-26T01:30",
        "03/05/2026",
    ],
)
def test_a_time_that_cannot_be(text: str, desk: Any) -> None:
    (wrong,) = refused(desk, "turned", row="R7", happened=text)
    assert wrong.where == "field happened"


def test_a_day_ahead_to_the_second_is_let_be(desk: Any) -> None:
    assert write(desk, "turned", row="R7", happened="2026-06-02T08:00:00Z")


def test_an_unknown_kind_or_field_is_told_what_there_is(desk: Any) -> None:
    (kind,) = refused(desk, "turnd", row="R7")
    assert "turned" in kind.do and KINDS[0] in kind.do
    (field,) = refused(desk, "turned", row="R7", depth="9")
    assert "passes" in field.do
    (near,) = refused(desk, "turned", row="R6")
    assert "R7" in near.do


def test_a_row_pushed_into_another_takes_nothing_later(desk: Any) -> None:
    desk.write(entries.Merged(row="R7", sources=("R8",)), happened=datetime(2026, 5, 1, tzinfo=UTC))
    (wrong,) = refused(desk, "turned", row="R8")
    assert "R7" in wrong.do
    assert write(desk, "turned", row="R8", happened="2026-04-30")


def test_weather_asks_for_something_only_where_nothing_was_said(desk: Any) -> None:
    (unit,) = refused(desk, "weather", rain="3")
    assert unit.where == "field rain" and "mm" in unit.do
    (nothing,) = refused(desk, "weather")
    assert nothing.do == "Write air, rain or wind."


def test_an_invoice_is_of_the_customer_its_tickets_went_to(desk: Any) -> None:
    tonne = Amount(1_000_000, "t")
    desk.write(goods.CustomerNamed(customer="Mill"))
    desk.write(goods.LoadOut(ticket="T2", lot="26-01", amount=tonne, customer="Mill"))
    desk.write(goods.LoadOut(ticket="T3", lot="26-01", amount=tonne, customer="Mill"))
    for ticket, buyer in (("T1", "Hollow Nursery"), ("T2, T3", "Mill")):
        assert write(desk, "invoiced", invoice="I1", tickets=ticket).what.customer == buyer
    (apart,) = refused(desk, "invoiced", invoice="I1", tickets="T1, T2")
    assert apart.where == "field customer" and "Hollow Nursery and Mill" in apart.do
    (other,) = refused(desk, "invoiced", invoice="I1", tickets="T1", customer="Mill")
    assert other.where == "field tickets" and "Hollow Nursery" in other.do
    for missing in ("", "T9"):
        assert [one.where for one in refused(desk, "invoiced", invoice="I1", tickets=missing)] == [
            "field tickets"
        ]


def test_a_strike_needs_a_line_in_force(desk: Any) -> None:
    struck = desk.write(entries.Struck(line=2, reason="wrong"))
    assert "struck already" in refused(desk, "struck", line="2", reason="x")[0].do
    assert "itself a strike" in refused(desk, "struck", line=str(struck), reason="x")[0].do


def test_who_and_id_are_checked_with_the_rest(desk: Any) -> None:
    wrongs = refused(desk, "turned", who="\x1b[31m", id="a b", row="R99", colour="red")
    assert {wrong.where for wrong in wrongs} == {"who", "id", "field row", "field colour"}
    assert write(desk, "turned", row="R7").id != write(desk, "turned", row="R7").id


def test_nothing_happens_to_a_row_before_it_was_built(desk: Any) -> None:
    built = desk.diary.history("R7").built[0]
    day = date.fromordinal(built.day)
    assert write(desk, "turned", row="R7", happened=day.isoformat()).what.row == "R7"
    before = (day - timedelta(days=1)).isoformat()
    for kind, more in (("turned", {}), ("watered", {"water": "2 m3"}), ("round", {"readings": "1:50 C"})):
        (wrong,) = refused(desk, kind, row="R7", happened=before, **more)
        assert wrong.where == "field happened" and day.isoformat() in wrong.do


def test_two_rows_do_not_differ_by_capitals_alone(desk: Any) -> None:
    (wrong,) = refused(desk, "row built", row="r7")
    assert wrong.where == "field row" and "R7" in wrong.do

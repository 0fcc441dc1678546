# ruff: noqa: E501
"""Pins: the stored bytes of every kind of entry. They guard against drift and prove nothing.

A pin that breaks means that books already written would read otherwise: raise FORMAT, keep the old
pin for the old format, and give `journal/upgrade.py` the step.
"""

from datetime import date, datetime
from typing import get_args

import msgspec
import pytest

from turnrow.journal import seal, upgrade
from turnrow.yard import entries, goods
from turnrow.yard.entries import Amount, Entry, Reading, What

from .evidence import EVIDENCE
from .growth import GROWTH

HAPPENED = datetime.fromisoformat("2026-05-03T07:40:00+01:00")
TONNES = Amount(12_500_000, "t")
PER_CENT = Amount(45_000_000, "%")

# what is said, and its bytes; each with every field filled
PINS: list[tuple[What, str]] = [
    (
        entries.YardLaidOut(name="Low Field", zone="Europe/Dublin", place="Carrow", invented=True),
        '{"invented":true,"kind":"yard laid out","name":"Low Field","place":"Carrow","zone":"Europe/Dublin"}',
    ),
    (
        entries.LoadIn(
            load="L12",
            material="horse bedding",
            amount=Amount(12_500_000, "m3"),
            how="counted",
            came_from="stables",
            refused="glass in it",
        ),
        '{"amount":[12500000,"m3"],"came_from":"stables","how":"counted","kind":"load in","load":"L12","material":"horse bedding","refused":"glass in it"}',
    ),
    (
        entries.RowBuilt(
            row="R7",
            parts=(entries.Part("straw", Amount(4_000_000, "t"), "L12", "24-O1"),),
            length=Amount(30_000_000, "m"),
            width=Amount(3_000_000, "m"),
            height=Amount(1_500_000, "m"),
            volume=Amount(68_000_000, "m3"),
            stations=("1", "2"),
            strip="N3",
            process="static",
            raw=False,
        ),
        '{"height":[1500000,"m"],"kind":"row built","length":[30000000,"m"],"parts":[{"amount":[4000000,"t"],"load":"L12","lot":"24-O1","material":"straw"}],"process":"static","raw":false,"row":"R7","stations":["1","2"],"strip":"N3","volume":[68000000,"m3"],"width":[3000000,"m"]}',
    ),
    (
        entries.Round(
            row="R7",
            unit="F",
            readings=(Reading("1", 900, 131_000_000), Reading("2", -1, 130_800_000)),
            skipped=("3",),
            probe="P1",
            confirmed=("1",),
        ),
        '{"confirmed":["1"],"kind":"round","probe":"P1","readings":[["1",900,131000000],["2",-1,130800000]],"row":"R7","skipped":["3"],"unit":"F"}',
    ),
    (
        entries.LoggerBlock(
            row="R7",
            blob="ab" * 32,
            count=2,
            first=HAPPENED,
            last=HAPPENED,
            file="probe.csv",
            file_hash="cd" * 32,
            probe="P1",
        ),
        '{"blob":"abababababababababababababababababababababababababababababababab","count":2,"file":"probe.csv","file_hash":"cdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcdcd","first":"2026-05-03T07:40:00+01:00","kind":"logger block","last":"2026-05-03T07:40:00+01:00","probe":"P1","row":"R7"}',
    ),
    (
        entries.Turned(row="R7", passes=2, machine="turner", water=Amount(800_000_000, "L")),
        '{"kind":"turned","machine":"turner","passes":2,"row":"R7","water":[800000000,"L"]}',
    ),
    (
        entries.Watered(row="R7", water=Amount(1_200_000, "m3")),
        '{"kind":"watered","row":"R7","water":[1200000,"m3"]}',
    ),
    (
        entries.Measured(
            row="R7",
            quantity="squeeze",
            amount=Amount(3_000_000, "score"),
            station="1",
            depth_mm=300,
            how="by hand",
        ),
        '{"amount":[3000000,"score"],"depth_mm":300,"how":"by hand","kind":"measured","quantity":"squeeze","row":"R7","station":"1"}',
    ),
    (entries.Merged(row="R9", sources=("R7", "R8")), '{"kind":"merged","row":"R9","sources":["R7","R8"]}'),
    (entries.MovedToCuring(row="R7", place="C2"), '{"kind":"moved to curing","place":"C2","row":"R7"}'),
    (
        entries.Covered(row="R7", cover="fleece", taken_off=True),
        '{"cover":"fleece","kind":"covered","row":"R7","taken_off":true}',
    ),
    (
        entries.Note("steam at dawn, 5 °C", "R7", "ef" * 32, "image/jpeg", "2026-05-03 07:40:12"),
        '{"kind":"note","photo":"efefefefefefefefefefefefefefefefefefefefefefefefefefefefefefefef","photo_kind":"image/jpeg","photo_taken":"2026-05-03 07:40:12","row":"R7","text":"steam at dawn, 5 °C"}',
    ),
    (
        entries.Complaint(nature="smell", by="neighbour", wind="SW", done="turned later"),
        '{"by":"neighbour","done":"turned later","kind":"complaint","nature":"smell","wind":"SW"}',
    ),
    (
        entries.Incident(
            what="smoke",
            row="R7",
            done="pulled apart",
            danger="fire",
        ),
        '{"danger":"fire","done":"pulled apart","kind":"incident","row":"R7","what":"smoke"}',
    ),
    (
        entries.Weather(
            air=Amount(48_200_000, "F"),
            rain=Amount(200_000, "in"),
            wind=Amount(11_000_000, "m/s"),
            wind_from="SW",
        ),
        '{"air":[48200000,"F"],"kind":"weather","rain":[200000,"in"],"wind":[11000000,"m/s"],"wind_from":"SW"}',
    ),
    (
        entries.SheetIssued(
            day=date(2026, 5, 3),
            advice=(
                entries.Advice(
                    key="R7 turn",
                    row="R7",
                    job="turn",
                    text="66.1 °C at station 3, limit 65.5",
                    why="over the limit",
                    because=(3, 4),
                    urgent=True,
                    rule="US-NOP-WINDROW",
                ),
            ),
            upto=11,
            edition="0f3c",
        ),
        '{"advice":[{"because":[3,4],"job":"turn","key":"R7 turn","row":"R7","rule":"US-NOP-WINDROW","text":"66.1 °C at station 3, limit 65.5","urgent":true,"why":"over the limit"}],"day":"2026-05-03","edition":"0f3c","kind":"advice given","upto":11}',
    ),
    (
        entries.JobDone(key="R7 turn", sheet=12, done=False, reason="wind", entries=("a", "b")),
        '{"done":false,"entries":["a","b"],"key":"R7 turn","kind":"job done","reason":"wind","sheet":12}',
    ),
    (
        entries.RuleChosen(
            rule="US-NOP-WINDROW",
            row="R7",
            policies={"day": "calendar", "continuity": "consecutive"},
            facts={"cn_initial": "30"},
        ),
        '{"facts":{"cn_initial":"30"},"kind":"rule chosen","policies":{"continuity":"consecutive","day":"calendar"},"row":"R7","rule":"US-NOP-WINDROW"}',
    ),
    (
        entries.SettingChosen(name="turn_limit", amount=Amount(65_500_000, "C"), reason="wet winters"),
        '{"amount":[65500000,"C"],"kind":"setting chosen","name":"turn_limit","reason":"wet winters"}',
    ),
    (
        entries.ProbeChecked(probe="P1", bath=Amount(0, "C"), read=Amount(-62_500, "C")),
        '{"bath":[0,"C"],"kind":"probe checked","probe":"P1","read":[-62500,"C"]}',
    ),
    (entries.Reviewed(row="R7", upto=40), '{"kind":"reviewed","row":"R7","upto":40}'),
    (
        goods.LotMade(
            lot="26-01",
            sources=(
                goods.Share(row="R7", amount=TONNES, moisture=PER_CENT),
                goods.Share(lot="25-09"),
                goods.Share(load="L3"),
            ),
            amount=TONNES,
            moisture=PER_CENT,
            material="mulch",
            place="bay 2",
        ),
        '{"amount":[12500000,"t"],"kind":"lot made","lot":"26-01","material":"mulch","moisture":[45000000,"%"],"place":"bay 2","sources":[{"amount":[12500000,"t"],"moisture":[45000000,"%"],"row":"R7"},{"lot":"25-09"},{"load":"L3"}]}',
    ),
    (
        goods.Screened(
            sources=(goods.Share(row="R7"),),
            fines="26-F1",
            fines_amount=TONNES,
            fines_moisture=PER_CENT,
            overs="26-O1",
            overs_amount=TONNES,
            overs_moisture=PER_CENT,
            opening=Amount(15_000_000, "mm"),
        ),
        '{"fines":"26-F1","fines_amount":[12500000,"t"],"fines_moisture":[45000000,"%"],"kind":"screened","opening":[15000000,"mm"],"overs":"26-O1","overs_amount":[12500000,"t"],"overs_moisture":[45000000,"%"],"sources":[{"row":"R7"}]}',
    ),
    (
        goods.RowSplit(row="R7", new="R7b", amount=TONNES, length=Amount(20_000_000, "m")),
        '{"amount":[12500000,"t"],"kind":"row split","length":[20000000,"m"],"new":"R7b","row":"R7"}',
    ),
    (
        goods.Weighed(
            amount=TONNES, load="L1", row="R7", lot="26-01", moisture=PER_CENT, how="buckets", ticket="W1"
        ),
        '{"amount":[12500000,"t"],"how":"buckets","kind":"weighed","load":"L1","lot":"26-01","moisture":[45000000,"%"],"row":"R7","ticket":"W1"}',
    ),
    (
        goods.Sampled(
            sample="S1",
            row="R7",
            lot="26-01",
            increments=12,
            mass=Amount(3_000_000, "kg"),
            container="bag",
            cooled=True,
            sent_to="a lab",
            plan="US-503",
        ),
        '{"container":"bag","cooled":true,"increments":12,"kind":"sampled","lot":"26-01","mass":[3000000,"kg"],"plan":"US-503","row":"R7","sample":"S1","sent_to":"a lab"}',
    ),
    (
        goods.LabResult(
            results=(
                goods.Result(
                    analyte="N total",
                    amount=Amount(1_530_000, "%"),
                    basis="dry",
                    method="combustion",
                    below=True,
                    above=True,
                ),
            ),
            sample="S1",
            load="L1",
            material="straw",
            row="R7",
            lot="26-01",
            sampled=date(2026, 5, 3),
            lab="a lab",
            report="9",
            file="sheet.csv",
            blob="ab" * 32,
            accredited="ISO 17025, no. 4",
        ),
        '{"accredited":"ISO 17025, no. 4","blob":"abababababababababababababababababababababababababababababababab","file":"sheet.csv","kind":"lab result","lab":"a lab","load":"L1","lot":"26-01","material":"straw","report":"9","results":[{"above":true,"amount":[1530000,"%"],"analyte":"N total","basis":"dry","below":true,"method":"combustion"}],"row":"R7","sample":"S1","sampled":"2026-05-03"}',
    ),
    GROWTH,
    *EVIDENCE,
    (
        goods.Released(
            lot="26-01",
            name="Ana Reyes",
            how="treated as raw",
            rule="US-NOP-WINDROW",
            verdict="NOT_PROVEN",
            upto=40,
            limits=("120 days before harvest",),
            remark="for the maize",
        ),
        '{"how":"treated as raw","kind":"released","limits":["120 days before harvest"],"lot":"26-01","name":"Ana Reyes","remark":"for the maize","rule":"US-NOP-WINDROW","upto":40,"verdict":"NOT_PROVEN"}',
    ),
    (
        goods.Recalled(lot="26-01", reason="glass", told=("Hollow Nursery",)),
        '{"kind":"recalled","lot":"26-01","reason":"glass","told":["Hollow Nursery"]}',
    ),
    (
        goods.ProductNamed(
            product="fine",
            material="castings",
            price=Amount(28_500_000, "EUR/m3"),
            bag=Amount(40_000_000, "L"),
            moisture=PER_CENT,
            words="sieved",
            ended=True,
        ),
        '{"bag":[40000000,"L"],"ended":true,"kind":"product","material":"castings","moisture":[45000000,"%"],"price":[28500000,"EUR/m3"],"product":"fine","words":"sieved"}',
    ),
    (
        goods.CustomerNamed("Hollow Nursery", address="the mill", contact="post", use="pots", ended=True),
        '{"address":"the mill","contact":"post","customer":"Hollow Nursery","ended":true,"kind":"customer","use":"pots"}',
    ),
    (
        goods.Ordered(
            order="O1",
            customer="Hollow Nursery",
            product="fine",
            amount=TONNES,
            wanted=date(2026, 7, 1),
            promised=date(2026, 7, 8),
            price=Amount(28_500_000, "EUR/m3"),
            called_off=True,
        ),
        '{"amount":[12500000,"t"],"called_off":true,"customer":"Hollow Nursery","kind":"ordered","order":"O1","price":[28500000,"EUR/m3"],"product":"fine","promised":"2026-07-08","wanted":"2026-07-01"}',
    ),
    (
        goods.LoadOut(
            ticket="T1",
            lot="26-01",
            amount=TONNES,
            customer="Hollow Nursery",
            product="fine",
            order="O1",
            bags=10,
            moisture=PER_CENT,
            vehicle="trailer",
            price=Amount(28_500_000, "EUR/m3"),
            unreleased="taken by mistake",
            all=True,
        ),
        '{"all":true,"amount":[12500000,"t"],"bags":10,"customer":"Hollow Nursery","kind":"load out","lot":"26-01","moisture":[45000000,"%"],"order":"O1","price":[28500000,"EUR/m3"],"product":"fine","ticket":"T1","unreleased":"taken by mistake","vehicle":"trailer"}',
    ),
    (
        goods.LoadBack(ticket="T1", amount=TONNES, reason="too wet"),
        '{"amount":[12500000,"t"],"kind":"load back","reason":"too wet","ticket":"T1"}',
    ),
    (
        goods.Bagged(lot="26-01", product="fine", bags=200, amount=TONNES),
        '{"amount":[12500000,"t"],"bags":200,"kind":"bagged","lot":"26-01","product":"fine"}',
    ),
    (
        goods.Invoiced(
            invoice="I1",
            customer="Hollow Nursery",
            tickets=("T1",),
            due=date(2026, 8, 1),
            remark="with thanks",
        ),
        '{"customer":"Hollow Nursery","due":"2026-08-01","invoice":"I1","kind":"invoiced","remark":"with thanks","tickets":["T1"]}',
    ),
    (
        goods.Spent(
            cost="machine",
            amount=Amount(2_500_000, "h"),
            money=Amount(90_000_000, "EUR"),
            row="R7",
            lot="26-01",
            what="turner",
            task="turning",
        ),
        '{"amount":[2500000,"h"],"cost":"machine","kind":"spent","lot":"26-01","money":[90000000,"EUR"],"row":"R7","task":"turning","what":"turner"}',
    ),
    (
        goods.RateSet(cost="machine", rate=Amount(85_000_000, "EUR/h"), what="turner"),
        '{"cost":"machine","kind":"rate","rate":[85000000,"EUR/h"],"what":"turner"}',
    ),
    (entries.Struck(line=3, reason="probe broken"), '{"kind":"struck","line":3,"reason":"probe broken"}'),
]
KINDS = {type(what) for what, _ in PINS}


def test_every_kind_of_entry_has_its_pin():
    assert set(get_args(What)) == KINDS
    assert len(PINS) == len(KINDS)


@pytest.mark.parametrize(("what", "pinned"), PINS, ids=[type(what).__name__ for what, _ in PINS])
def test_a_kind_is_stored_and_read_back_as_it_always_was(what, pinned):
    entry = Entry(id="7f", happened=HAPPENED, who="Ana", device="phone 2", what=what)
    raw = (
        '{"device":"phone 2","happened":"2026-05-03T07:40:00+01:00","id":"7f","v":1,'
        f'"what":{pinned},"who":"Ana"}}'
    ).encode()
    assert seal.canonical(entry) == raw
    assert upgrade.entry_of(raw) == entry


@pytest.mark.parametrize("what", [what for what, _ in PINS], ids=[type(what).__name__ for what, _ in PINS])
def test_a_pin_fills_every_field_of_its_kind(what):
    """So that no field can be renamed or dropped unseen."""
    said = msgspec.json.decode(seal.canonical(what))
    assert set(said) == {*what.__struct_fields__, "kind"}


def test_an_entry_with_nothing_but_what_it_must_say_is_stored_as_it_always_was():
    entry = Entry(id="7f", happened=HAPPENED, who="Ana", what=entries.Turned(row="R7"), day_only=True)
    raw = (
        b'{"day_only":true,"happened":"2026-05-03T07:40:00+01:00","id":"7f","v":1,'
        b'"what":{"kind":"turned","row":"R7"},"who":"Ana"}'
    )
    assert seal.canonical(entry) == raw
    assert upgrade.entry_of(raw) == entry


def test_the_first_seals_of_a_book_are_as_they_always_were():
    raw = b'{"happened":"2026-05-03T07:40:00+01:00","id":"7f","v":1,"what":{"kind":"turned","row":"R7"},"who":"Ana"}'
    first = seal.seal(seal.GENESIS, 1, 1_777_792_800_000_000, raw)
    assert seal.GENESIS.hex() == "eb087c6e6c9543ec0bbef3539a08f4323c7e68ffc1fa9b483d4a4a238f453033"
    assert first.hex() == "bb30685341eed9e660a4ea798b1ff01a8d716c293f916593b595c6312e45a202"

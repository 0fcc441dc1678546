"""Every kind of entry about goods is said in a phrase that names its thing and its figures."""

from typing import get_args

import pytest

from turnrow.records.said import saying
from turnrow.yard import goods
from turnrow.yard.entries import Amount

TONNES = Amount(9_500_000, "t")
SAID = [
    (goods.LotMade(lot="A", sources=(goods.Share(row="R7", amount=TONNES),)), "lot A made of row R7 (9.5 t)"),
    (
        goods.Screened(
            sources=(goods.Share(lot="A"),), fines="F", overs="O", opening=Amount(15_000_000, "mm")
        ),
        "lot A screened at 15 mm: fines are lot F; overs are lot O",
    ),
    (goods.RowSplit(row="R7", new="R9", amount=TONNES), "a part of R7 (9.5 t) moved apart as R9"),
    (goods.Weighed(amount=TONNES, load="L1"), "load L1 held 9.5 t, by scale"),
    (goods.Sampled(sample="S", lot="A", increments=12), "sample S of lot A from 12 places"),
    (goods.Sampled(sample="S", lot="A", increments=1), "sample S of lot A from 1 place"),
    (
        goods.LabResult(
            results=(
                goods.Result(analyte="pH", amount=Amount(7_400_000, "pH")),
                goods.Result(analyte="C:N", amount=Amount(14_000_000, "ratio")),
            ),
            sample="S",
        ),
        "lab result on sample S: pH 7.4; C:N 14",
    ),
    (
        goods.LabResult(
            results=(
                goods.Result(analyte="lead", amount=Amount(9_000_000, "mg/kg"), basis="dry", below=True),
            ),
            sample="S",
            lab="a lab",
        ),
        "lab result on sample S by a lab: lead <9 mg/kg dry",
    ),
    (
        goods.GrowthTest(
            plant="cress", sown=10, up=(9, 8), control_up=(10, 9), abnormal=1, leaves="sound", lot="A"
        ),
        "growth test of lot A with cress: of 10 seeds a pot 9, 8 came up, in the control 10, 9; 1 plant not "
        "as they should be; leaves sound",
    ),
    (
        goods.QualityAsked(limits=("us-503-class-a",), maturity={"CO2 classes": "stable"}, plan="us-503-16"),
        "asked of lots from here on: us-503-class-a, CO2 classes: stable; samples by us-503-16",
    ),
    (
        goods.Released(lot="A", name="Ana", how="proven", rule="US", verdict="PASS", upto=3),
        "lot A released by Ana as proven (US: PASS)",
    ),
    (goods.Recalled(lot="A", reason="glass"), "lot A called back: glass"),
    (goods.ProductNamed(product="fine", price=Amount(28_500_000, "EUR/m3")), "product fine at 28.5 EUR/m3"),
    (goods.CustomerNamed(customer="Mill", ended=True), "customer Mill buys no more"),
    (
        goods.Ordered(order="O1", customer="Mill", product="fine", amount=TONNES),
        "order O1: 9.5 t of fine for Mill",
    ),
    (
        goods.LoadOut(ticket="T", lot="A", amount=TONNES, customer="Mill"),
        "load out T: 9.5 t of lot A to Mill",
    ),
    (goods.LoadBack(ticket="T", amount=TONNES, reason="wet"), "9.5 t of load out T came back (wet)"),
    (goods.Bagged(lot="A", product="fine", bags=9), "9 bags of fine filled from lot A"),
    (goods.Invoiced(invoice="I", customer="Mill", tickets=("T", "U")), "invoice I to Mill for T, U"),
    (goods.Spent(cost="water", money=Amount(5_000_000, "EUR"), row="R7"), "water: 5 EUR for row R7"),
    (goods.RateSet(cost="machine", rate=Amount(85_000_000, "EUR/h"), what="turner"), "turner costs 85 EUR/h"),
]


@pytest.mark.parametrize(("what", "said"), SAID, ids=[type(what).__name__ for what, _ in SAID])
def test_a_line_about_goods_is_said_in_a_phrase(what: goods.Goods, said: str) -> None:
    assert saying(what) == said


def test_every_kind_about_goods_is_among_them() -> None:
    assert {type(what) for what, _ in SAID} == set(get_args(goods.Goods))

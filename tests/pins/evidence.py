"""The stored bytes of what an inspector asks for, and of what the yard asks of its lots."""

from datetime import date

from turnrow.yard import evidence, goods
from turnrow.yard.entries import Amount

EVIDENCE = (
    (
        goods.QualityAsked(
            limits=("us-503-class-a",),
            maturity={"CO2 classes": "stable"},
            plan="us-503-16",
            edge="better",
            reason="the buyer asks",
            part_503="heat alone",
        ),
        '{"edge":"better","kind":"quality asked","limits":["us-503-class-a"],"maturity":'
        '{"CO2 classes":"stable"},"part_503":"heat alone","plan":"us-503-16","reason":"the buyer asks"}',
    ),
    (
        evidence.Certified(lot="26-01", name="Ana Ni", words="I certify", clause="40 CFR 503.17(a)"),
        '{"clause":"40 CFR 503.17(a)","kind":"certified","lot":"26-01","name":"Ana Ni","words":"I certify"}',
    ),
    (
        evidence.Certificate(
            words="15 days at 55 C",
            issuer="Elsewhere",
            load="L12",
            material="bought compost",
            number="7",
            issued=date(2026, 5, 3),
            until=date(2027, 5, 2),
        ),
        '{"issued":"2026-05-03","issuer":"Elsewhere","kind":"certificate","load":"L12","material":'
        '"bought compost","number":"7","until":"2027-05-02","words":"15 days at 55 C"}',
    ),
    (
        evidence.Trained(
            name="Ana Ni", subject="probing", short="ana", by="the adviser", until=date(2027, 5, 2)
        ),
        '{"by":"the adviser","kind":"trained","name":"Ana Ni","short":"ana","subject":"probing",'
        '"until":"2027-05-02"}',
    ),
    (
        evidence.Cleaned(what="loader", how="washed", after="raw manure", before="lot 26-01"),
        '{"after":"raw manure","before":"lot 26-01","how":"washed","kind":"cleaned","what":"loader"}',
    ),
    (
        evidence.Spread(
            lot="26-01",
            field="North",
            amount=Amount(12_000_000, "t"),
            ticket="T1",
            worked_in=date(2026, 5, 3),
            crop="lettuce",
            harvest=date(2026, 9, 3),
            touches_soil=False,
        ),
        '{"amount":[12000000,"t"],"crop":"lettuce","field":"North","harvest":"2026-09-03","kind":"spread",'
        '"lot":"26-01","ticket":"T1","touches_soil":false,"worked_in":"2026-05-03"}',
    ),
)

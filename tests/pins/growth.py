"""The stored bytes of a growth test."""

from datetime import date

from turnrow.yard import goods
from turnrow.yard.entries import Amount

GROWTH = (
    goods.GrowthTest(
        plant="cress",
        sown=10,
        up=(9, 8),
        control_up=(10, 9),
        weights=(Amount(12_500_000, "g"), Amount(11_000_000, "g")),
        control_weights=(Amount(13_000_000, "g"), Amount(12_000_000, "g")),
        abnormal=0,
        leaves="cupped or twisted",
        sample="S1",
        row="R7",
        lot="26-01",
        sampled=date(2026, 5, 3),
        grown=14,
        mix="one in four",
        control="peat",
    ),
    '{"abnormal":0,"control":"peat","control_up":[10,9],"control_weights":[[13000000,"g"],[12000000,'
    '"g"]],"grown":14,"kind":"growth test","leaves":"cupped or twisted","lot":"26-01",'
    '"mix":"one in four","plant":"cress","row":"R7","sample":"S1","sampled":"2026-05-03","sown":10,'
    '"up":[9,8],"weights":[[12500000,"g"],[11000000,"g"]]}',
)

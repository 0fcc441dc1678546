"""Lots sold by volume: what is known of them is a bound that holds, and a density nobody measured is said."""

import pytest

from turnrow.lots.matter import Typical
from turnrow.lots.moves import Account
from turnrow.yard.goods import LoadBack, LotMade, Weighed

from .conftest import Told, much, of
from .test_ledger import chain
from .test_wrongs import against, out

LIGHT, HEAVY = 500.0, 900.0  # kg/m3, the ends of what a handbook gives for finished compost


def typical(material: str) -> Typical | None:
    """Finished compost as Agnew and Leonard (2003) are quoted: 500 to 900 kg/m3, wet."""
    if material != "finished compost":
        return None
    middle = (LIGHT + HEAVY) / 2
    return Typical("the handbook", None, middle / 1000, (HEAVY - LIGHT) / 2 / middle)


def volume_only(told: Told) -> None:
    told.say(0, Weighed(row="R1", amount=much("20 t")))
    told.say(1, LotMade(lot="V", sources=(of("row R2"),), amount=much("35 m3")))


def test_a_volume_alone_bounds_what_leaves_by_volume(told: Told) -> None:
    """35 m3 counted in buckets, which may be off by an eighth: after 10 m3, 25 are there, and 60 are not."""
    volume_only(told)
    told.say(2, out("T1", "10 m3", "V"))
    assert against(told, 3, out("T2", "25 m3", "V")) == []
    ((where, do),) = against(told, 3, out("T2", "60 m3", "V"))
    assert where == "amount" and "holds 25 m3" in do


def test_what_left_by_volume_and_came_back_is_there_again(told: Told) -> None:
    volume_only(told)
    told.say(2, out("T1", "30 m3", "V"))
    assert against(told, 3, out("T2", "20 m3", "V"))
    told.say(3, LoadBack(ticket="T1", amount=much("30 m3")))
    assert against(told, 4, out("T2", "35 m3", "V")) == []


def test_a_mass_known_before_a_sale_by_volume_is_the_most_there_can_be(told: Told) -> None:
    """75.83 t weighed; how much 20 m3 were is not known, so at most 75.83 t are left, and 100 t are not."""
    chain(told)
    told.say(160, out("T1", "20 m3"))
    assert against(told, 161, out("T2", "70 t")) == []
    ((where, do),) = against(told, 161, out("T2", "100 t"))
    assert where == "amount" and "at most 75.83 t" in do and "is not known" in do
    told.say(161, out("T2", "70 t"))
    ((_, do),) = against(told, 162, out("T3", "10 t"))
    assert "at most 5.83 t" in do


def test_matter_of_unknown_mass_that_came_in_lifts_the_bound(told: Told) -> None:
    chain(told)
    told.say(160, out("T1", "20 m3"))
    told.say(161, LoadBack(ticket="T1", amount=much("20 m3")))
    assert against(told, 162, out("T2", "100 t")) == []


def test_a_weighed_lot_sold_by_volume_keeps_a_mass_with_the_doubt_of_its_density() -> None:
    """20 m3 are 10 to 18 t, so 14 t left, give or take 4."""
    told = Told(typical)
    chain(told)
    before = told.ledger.of("lot", "F")
    told.say(160, out("T1", "20 m3"))
    held = told.ledger.of("lot", "F")
    assert held.wet_known and held.wet == pytest.approx(before.wet - 14.0)
    assert any("700 kg/m3 (the handbook)" in one.said for one in told.ledger.opens)
    told.say(161, Weighed(lot="F", amount=much(f"{before.wet - 17.5:.3f} t")))
    assert told.ledger.differences_of(Account("lot", "F"))[
        -1
    ].explained  # 17.5 t is within the density's range


def test_mass_by_volume_is_a_lots_own_density(told: Told) -> None:
    """75.83 t that measured 151.66 m3 weigh 500 kg/m3: 20 m3 are 10 t."""
    chain(told)
    told.say(159, Weighed(lot="F", amount=much("151.66 m3"), how="survey"))
    before = told.ledger.of("lot", "F").wet
    told.say(160, out("T1", "20 m3"))
    held = told.ledger.of("lot", "F")
    assert held.wet_known and held.wet == pytest.approx(before * (1 - 20 / 151.66))
    assert held.room == pytest.approx(131.66)

"""A chain that does not close says where."""

import pytest

from turnrow.handbook.book import handbook
from turnrow.lots.chain import Chain, Load, Screen, Stage, chain
from turnrow.lots.matter import Tolerance

TOLERANCE = Tolerance.of({name: one.amount for name, one in handbook().settings.items()})


def made(*stages: Stage, screen: Screen | None = None, water: float = 0.0) -> Chain:
    loads = [
        Load("a", 100, 0.7, {"ash": 0.2, "phosphorus": 0.01}),
        Load("b", 20, 0.5, {"ash": 0.05, "phosphorus": 0.002}),
    ]
    return chain(loads, stages, screen, 0.4, TOLERANCE, water)


def test_a_stage_known_by_its_ash_alone() -> None:
    """Ash of 40 t: (30 x 0.2 + 10 x 0.05) / 40 = 16.25 %; at 32.5 % half is left."""
    found = made(Stage("cured", 0.4, found={"ash": 0.325}))
    assert found.steps[-1].dry == pytest.approx(20)
    assert found.steps[-1].wet == pytest.approx(20 / 0.6)
    assert found.shares == pytest.approx({"a": 100 / 120, "b": 20 / 120})


def test_water_given_goes_into_the_air_too() -> None:
    found = made(Stage("cured", 0.4, wet=50), water=10)
    assert found.sky == pytest.approx((10, 130 - 40 - 20))


@pytest.mark.parametrize(
    ("stage", "said"),
    [
        (Stage("cured", 0.2, wet=60), "more dry matter than at row"),
        (Stage("cured", 0.7, wet=130), "more water than at row"),
        (Stage("cured", 0.5, wet=60, found={"ash": 0.35}), "25 % by weight, 53.6 % by ash"),
        (Stage("cured", 0.5, wet=60, found={"phosphorus": 0.021}), "Phosphorus: 197 %"),
    ],
)
def test_what_cannot_be_is_named_with_its_stage(stage: Stage, said: str) -> None:
    found = " ".join(made(stage).said)
    assert said in found and "cured" in found


@pytest.mark.parametrize(
    ("screen", "said"),
    [
        (Screen(fines=70), "more came out than went in"),
        (Screen(fines=30, overs=40), "more came out than went in"),
        (Screen(fines=20, overs=10), "came out less than went in"),
        (
            Screen(fines=30, overs=20, fines_moisture=0.1, overs_moisture=0.1),
            "more dry matter came off the screen",
        ),
        (Screen(share=0.8), ""),
    ],
)
def test_the_screen(screen: Screen, said: str) -> None:
    found = made(Stage("cured", 0.4, wet=50), screen=screen).said
    assert said in " ".join(found) and bool(found) is bool(said)


def test_a_stage_that_says_nothing_is_a_broken_promise() -> None:
    with pytest.raises(ValueError, match="want one of them"):
        made(Stage("cured", 0.4))

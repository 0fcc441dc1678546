"""What is asked of an outlook: read as meant, or turned away with everything wrong in it at once."""

from datetime import date

import pytest

from turnrow.gate.what_if_form import WhatIfAsked, depth_from, what_if_from
from turnrow.yard.wrongs import Refused

TODAY = date(2026, 5, 20)


@pytest.mark.parametrize(
    ("fields", "meant"),
    [
        ({}, WhatIfAsked()),
        ({"turn": "no", "water": "0", "cover": "no"}, WhatIfAsked()),
        ({"turn": "now", "water": "10"}, WhatIfAsked(0, 10.0)),
        ({"turn": "2026-05-22", "water": "10 yd3"}, WhatIfAsked(2, 7.64554857984)),
        ({"water": "2500 L", "cover": "yes"}, WhatIfAsked(None, 2.5, True)),
        ({"turn": "2026-06-02"}, WhatIfAsked(13)),
    ],
)
def test_what_is_asked_is_read_as_meant(fields: dict[str, str], meant: WhatIfAsked) -> None:
    assert what_if_from(fields, TODAY) == meant


def test_all_that_is_wrong_is_said_at_once() -> None:
    with pytest.raises(Refused) as told:
        what_if_from({"turn": "2026-05-19", "water": "-3", "cover": "perhaps"}, TODAY)
    assert [one.where for one in told.value.refusals] == ["turn", "water", "cover"]


@pytest.mark.parametrize("water", ["much", "10 dragons", "9999 m3", "501", "1e3"])
def test_water_that_is_none_is_turned_away(water: str) -> None:
    with pytest.raises(Refused):
        what_if_from({"water": water}, TODAY)


def test_a_depth_is_one_of_those_there_are() -> None:
    assert depth_from("", (30.0, 60.0)) == 60.0
    assert depth_from("30", (30.0, 60.0)) == 30.0
    with pytest.raises(Refused):
        depth_from("45", (30.0, 60.0))

"""A lot's family drawn: every name once, links to the right, many alike said together."""

import re

from turnrow.records.family import MOST, Link, Member, family

LOADS = [Member(f"load L{n}", f"L{n}", "bedding, 12 t") for n in range(1, 4)]
ROW, LOT = Member("row R7", "R7", "36 t"), Member("lot A", "A", "20 t", asked=True)
TICKET = Member("ticket T1", "T1", "9 t to Hollow & Sons")
LINKS = [
    *(Link(one.key, "row R7", 1 / 3) for one in LOADS),
    Link("row R7", "lot A", 1.0),
    Link("lot A", "ticket T1", None),
]


def test_every_thing_stands_once_and_later_things_stand_further_right() -> None:
    drawn = family([*LOADS, ROW, LOT, TICKET], LINKS, "of lot A")
    place = {text: float(x) for x, text in re.findall(r'<text x="([\d.]+)"[^>]*>([^<]+)</text>', drawn)}
    assert {"L1", "L2", "L3", "R7", "A", "T1", "9 t to Hollow &amp; Sons"} <= set(place)
    assert place["L1"] == place["L3"] < place["R7"] < place["A"] < place["T1"]


def test_a_share_nobody_knows_is_dotted_and_the_rest_is_drawn_through() -> None:
    drawn = family([*LOADS, ROW, LOT, TICKET], LINKS, "of lot A")
    assert drawn.count("stroke-dasharray") == 1
    assert drawn.count("stroke-linecap") == len(LINKS)  # four links and the frame around the asked one


def test_many_loads_of_one_row_are_said_together() -> None:
    loads = [Member(f"load L{n:02}", f"L{n:02}", "bedding") for n in range(MOST + 5)]
    drawn = family([*loads, ROW], [Link(one.key, "row R7", 1 / len(loads)) for one in loads], "s")
    assert f">{len(loads)} loads<" in drawn and "L00 to L18" in drawn
    assert "L07<" not in drawn


def test_a_thing_alone_is_a_picture_too() -> None:
    assert ">A<" in family([LOT], [], "lot A alone")

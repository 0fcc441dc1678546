"""Whatever numbers stand in a file of a pad or a pond: an answer that is finite, or a refusal."""

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.cli.pad import PAD, POND
from turnrow.foreman import pads, ponds
from turnrow.gate.pad_file import read_pad
from turnrow.gate.pond_file import read_pond
from turnrow.handbook.figures import pad_figures, pond_figures
from turnrow.handbook.ground import grounds
from turnrow.yard.wrongs import Refused

NUMBER = re.compile(r"(?<== )-?\d[\d.]*(?=\s)|(?<=[\[ ])\d[\d.]*(?=[,\]])")
ODD = (
    "0",
    "-1",
    "1e-320",
    "1e-9",
    "0.05",
    "0.1",
    "1",
    "7.5",
    "100",
    "5000",
    "1e7",
    "1e300",
    "9" * 400,
    "inf",
    "nan",
)
FULL = POND.replace('kind = "unpaved lot"', "cn = 91\ncoefficient = 0.6")
for key in ("intensity", "freeboard", "runoff"):
    FULL = FULL.replace(f"# {key}", key)
SLOPED = PAD.replace("# ends", "ends").replace("# peak", "peak").replace("# left_pct", "left_pct")
ASK = {
    "pond": lambda text: ponds.answered(read_pond(text.encode(), "a.toml", pond_figures(), grounds())),
    "pad": lambda text: pads.answered(read_pad(text.encode(), "a.toml", pad_figures())),
}


def changed(text: str, places: list[int], odd: list[str]) -> str:
    """The file with some of its numbers replaced."""
    spans = [hit.span() for hit in NUMBER.finditer(text)]
    put = {spans[place % len(spans)]: value for place, value in zip(places, odd, strict=False)}
    for (start, end), value in sorted(put.items(), reverse=True):
        text = text[:start] + value + text[end:]
    return text


@pytest.mark.parametrize(
    ("command", "text"),
    [("pond", POND), ("pond", FULL), ("pad", PAD), ("pad", SLOPED)],
    ids=["a", "b", "c", "d"],
)
@settings(max_examples=150, deadline=None)
@given(
    places=st.lists(st.integers(0, 99), min_size=1, max_size=4),
    odd=st.lists(st.sampled_from(ODD), min_size=4),
)
def test_odd_numbers_are_answered_or_refused(
    command: str, text: str, places: list[int], odd: list[str]
) -> None:
    try:
        found = ASK[command](changed(text, places, odd))
    except Refused as wrong:
        assert all(one.where and one.do for one in wrong.refusals)
    else:
        assert json.loads(json.dumps(found, allow_nan=False)) == found

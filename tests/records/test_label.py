"""What a label says of a bag, in both kinds of unit, by pencil from sizes by definition; and that nothing
of a label is cut off, whatever its names are."""

import io
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from turnrow.records.label import CARE, NAMED, LabelSheet, bag_words, code, materials_said
from turnrow.records.press import Size, pages
from turnrow.yard.entries import Amount

DPI = 100
MM = DPI / 25.4
MARGIN = 3  # mm inside the cutting line that must stay white; the inset is 5


def label(product: str = "Compost", made_of: str = "", limits: tuple[str, ...] = ()) -> LabelSheet:
    return LabelSheet(
        title="Label of lot 26-04",
        yard="Larkhill yard",
        place="",
        invented=True,
        lot="26-04",
        product=product,
        bag="40 L (1.41 ft³)",
        what=f"Lot {product}",
        made_of=made_of,
        state="Called back: do not sell, do not use",
        beside=("15 of 15 readings that it rests on were written late (lines 3 … 17)",),
        raw=True,
        limits=limits,
        gives=("A tonne as it lies holds 11 kg of nitrogen, about 1.7 kg of it for the first crop.",) * 2,
        care=CARE,
        address="",
        qr=code("lot 26-04"),
        seal_short="",
        made="2026-11-25T08:00:00+00:00",
    )


def inked(sheet: LabelSheet, size: Size) -> np.ndarray:
    (picture,) = pages(sheet, size, DPI)
    return np.asarray(Image.open(io.BytesIO(picture)).convert("L")) < 235


def runs(lines: np.ndarray) -> list[int]:
    return [int(n) for n in np.flatnonzero(lines) if not lines[n - 1]]


MANY = [f"straw of the {'very ' * 5}far field {n}" for n in range(40)]
NAMES = {
    "plain": "Compost",
    "wide letters without a blank": "W" * 40,
    "from right to left": "קומפוסט של החווה הגדולה בעמק",
    "typesetting words": '#image("x") *b* $x$ <a> \\\\ // @b',
    "markup": "<script>alert(1)</script>&amp;",
}


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
@pytest.mark.parametrize(
    "limits", [(), ("It is handled and spread as raw manure is. " * 3,) * 6], ids=["", "limits"]
)
def test_nothing_of_a_label_is_cut_off(size: Size, name: str, limits: tuple[str, ...]) -> None:
    """No ink but the cutting lines themselves comes near them: cut-off text would run through the white."""
    ink = inked(label(name, materials_said(MANY), limits), size)
    _, *cuts, _ = runs(ink.mean(axis=1) > 0.75)  # less the lines of the running head and the foot
    assert len(cuts) >= 2
    sides = runs(ink[cuts[0] + 3 : cuts[1] - 2].mean(axis=0) > 0.95)
    assert len(sides) == 3
    white = round(MARGIN * MM)
    for upper, lower in pairwise(cuts):
        for left, right in pairwise(sides):
            cell = ink[upper + 3 : lower - 2, left + 3 : right - 2]
            assert cell.any()
            assert not cell[-white:].any() and not cell[:, -white:].any()
            assert not cell[:white].any() and not cell[:, :white].any()


def test_a_long_list_of_materials_says_how_many_it_leaves_out() -> None:
    assert materials_said([]) == ""
    assert materials_said(MANY[:NAMED]).endswith(f"{MANY[NAMED - 1]}.")
    assert materials_said(MANY).endswith("and 28 more, told in its story.")  # 40 less 12


@pytest.mark.parametrize(
    ("much", "unit", "said"),
    [
        (40, "L", "40 L (1.41 ft³)"),  # 40 / 28.316846592
        (1.5, "ft3", "1.5 ft³ (42.5 L)"),
        (1, "bu", "1 US bu (35.2 L)"),
        (20, "kg", "20 kg (44.1 lb)"),  # 20 / 0.45359237
        (50, "lb", "50 lb (22.7 kg)"),
    ],
)
def test_a_bag_in_both_kinds_of_unit(much: float, unit: str, said: str) -> None:
    assert bag_words(Amount(int(much * 1_000_000), unit)) == said

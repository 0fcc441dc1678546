"""The tables of pads and ponds: sound, and no figure without a use."""

import inspect

from turnrow.foreman import pads, ponds
from turnrow.gate import pad_file, pond_file
from turnrow.handbook.figures import pad_figures, pond_figures
from turnrow.handbook.ground import grounds
from turnrow.pad import pond, runoff
from turnrow.pad.runoff import GROUND


def test_no_figure_is_without_a_use() -> None:
    code = "".join(inspect.getsource(one) for one in (pads, ponds, pad_file, pond_file, pond, runoff))
    built = {f"{ground}_{part}" for ground in GROUND for part in ("top", "fixed", "each")}
    unused = [key for key in (*pad_figures(), *pond_figures()) if f'"{key}"' not in code and key not in built]
    assert unused == []


def test_every_kind_of_ground_can_be_reckoned_with() -> None:
    for kind in grounds().values():
        assert kind.numbers or kind.coefficient is not None, kind.kind
        assert set(kind.numbers) in ({""}, set("ABCD"), set()), kind.kind


def test_heavier_soil_has_the_higher_number() -> None:
    for kind in grounds().values():
        in_order = [kind.numbers[soil] for soil in "ABCD" if soil in kind.numbers]
        assert in_order == sorted(in_order), kind.kind

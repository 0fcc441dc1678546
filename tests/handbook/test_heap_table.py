"""The heap's table: every parameter of the model is a row with a range, and none is without a use."""

import inspect

from turnrow.handbook.heap import heap_parameters
from turnrow.heap import ahead, events, fit, material


def test_every_row_of_the_model_is_in_the_table() -> None:
    assert set(material.ROWS) <= set(heap_parameters())


def test_no_parameter_is_without_a_use() -> None:
    code = "".join(inspect.getsource(one) for one in (material, events, fit, ahead))
    assert [key for key in heap_parameters() if f'"{key}"' not in code] == []


def test_what_is_to_be_fitted_has_room_on_both_sides() -> None:
    for key, row in heap_parameters().items():
        assert row.low <= row.value <= row.high, key
        if row.prior != "fix":
            assert row.low < row.value < row.high or row.low == 0.0, key

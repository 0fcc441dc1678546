"""Many heaps described at once are the heaps described one by one."""

import numpy as np

from turnrow.heap import events
from turnrow.heap.material import Heap, column, columns, parameters
from turnrow.heap.run import steps_an_hour, steps_each

EACH = {
    "moisture": np.array([0.5, 0.62, 0.7]),
    "cn": np.array([20.0, 27.0, 45.0]),
    "temp_c": np.array([-5.0, 12.0, 30.0]),
    "height_m": np.array([1.2, 1.7, 2.1]),
    "overburden": np.array([0.0, 0.2, 0.4]),
    "hot": np.array([68.0, 71.5, 75.0]),
    "k1": np.array([0.1, 0.25, 0.4]),
    "pore_size": np.array([1.0, 2.0, 4.0]),
    "mix_turn": np.array([0.7, 0.85, 0.95]),
}
FIELDS = ("moisture", "cn", "temp_c", "height_m")


def one(i: int) -> Heap:
    own = {key: float(values[i]) for key, values in EACH.items() if key not in FIELDS}
    return Heap(**{key: float(EACH[key][i]) for key in FIELDS}, own=own)


def test_columns_side_by_side_are_the_columns_one_by_one() -> None:
    made = columns(Heap(), EACH, 3)
    for i in range(3):
        np.testing.assert_allclose(made[:, i], column(one(i)), rtol=1e-13)
        assert steps_each(made)[i] == steps_an_hour(column(one(i))[:, None])


def test_a_turn_takes_each_heaps_own_parameters() -> None:
    made = columns(Heap(), EACH, 3)
    made[:4] += 5e6
    turned, crossing = events.turn(made, 10.0, {**parameters({}), **EACH})
    for i in range(3):
        alone, own = events.turn(made[:, i : i + 1], 10.0, parameters(one(i).own))
        np.testing.assert_allclose(turned[:, i], alone[:, 0], rtol=1e-12)
        np.testing.assert_allclose(crossing.energy[i], own.energy[0], rtol=1e-12)

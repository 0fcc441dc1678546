"""Many heaps marched side by side: columns into blocks, blocks through the steps, columns out."""

from collections.abc import Callable, Iterable, Iterator

import numpy as np

from turnrow.heap import kernel as k
from turnrow.heap.material import Floats

Each = Callable[[Callable[[int], Floats], Iterable[int]], Iterable[Floats]]


def one_after_another(work: Callable[[int], Floats], numbers: Iterable[int]) -> Iterator[Floats]:
    return map(work, numbers)


def blocks(columns: Floats) -> Floats:
    """(GIVEN, n) into (ceil(n / B), ROWS, B); the last block is filled up with copies of its last heap."""
    n = columns.shape[1]
    count = -(-n // k.B)
    filled = columns[:, np.minimum(np.arange(count * k.B), n - 1)]
    made = np.zeros((count, k.ROWS, k.B))
    made[:, : k.GIVEN] = filled.reshape(len(columns), count, k.B).transpose(1, 0, 2)
    return made


def columns(made: Floats, n: int) -> Floats:
    """(GIVEN, n): states, accounts and parameters of the first n heaps in the blocks."""
    return np.ascontiguousarray(made[:, : k.GIVEN].transpose(1, 0, 2).reshape(k.GIVEN, -1)[:, :n])


def carry(
    made: Floats, table: Floats, *, fresh: bool, every: int = 1, each: Each = one_after_another
) -> Floats:
    """March all blocks, in place, through the steps of `table`; temperatures (steps // every, 4, heaps) [°C].

    fresh  True at the start and after an event. Nothing passes between heaps, so the same numbers come
    whatever `each` is: a pool's map uses the other cores, for the march holds no lock.
    """

    def work(number: int) -> Floats:
        out = np.empty((len(table) // every, 4, k.B))
        k.march(made[number], table, fresh, out, every)
        return out

    return np.concatenate(list(each(work, range(len(made)))), axis=2)

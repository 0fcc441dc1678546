"""The half cross-section as squares under an arch, and the draught that warm light gas drives through it.

The arch is y = 1 - x², in parts of height and half width; (0, 0) is the middle of the foot. Arrays are
(y, x, section), with one square more at the top and outside, which hold the weather. Slumping keeps the
shape.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
NX, NY = 9, 10
_Y, _X = np.meshgrid((np.arange(NY + 1) + 0.5) / NY, (np.arange(NX + 1) + 0.5) / NX, indexing="ij")
INSIDE = (_Y < 1 - _X**2) & (_Y < 1) & (_X < 1)
CELLS = int(INSIDE.sum())
IN = INSIDE[:, :, None].astype(np.float64)
ACROSS_IN = (INSIDE[:, :-1] & INSIDE[:, 1:])[:, :, None].astype(np.float64)
ACROSS_SKIN = (INSIDE[:, :-1] ^ INSIDE[:, 1:])[:, :, None].astype(np.float64)
UP_IN = (INSIDE[:-1] & INSIDE[1:])[:, :, None].astype(np.float64)
UP_SKIN = (INSIDE[:-1] ^ INSIDE[1:])[:, :, None].astype(np.float64)
TOP = np.zeros_like(IN)  # squares rain falls on
for _x in range(NX):
    TOP[int(INSIDE[:, _x].sum()) - 1, _x] = 1.0


def gathered(across: Floats, up: Floats) -> Floats:
    """What flows into each square, less what flows out; flows count outward and upward (y, x, n)."""
    out = np.zeros((NY + 1, NX + 1, across.shape[2]))
    out[:, :-1] -= across
    out[:, 1:] += across
    out[:-1] -= up
    out[1:] += up
    return out


@dataclass(frozen=True, eq=False)
class Draught:
    """Darcy's law with Boussinesq's lift, no flow through foot and middle line, open skin.

    slope    width of a square over its height, by section (n,)
    inverse  of the pressure's equations (n, cells, cells)
    """

    slope: Floats
    inverse: Floats

    @classmethod
    def of(cls, slope: Floats) -> "Draught":
        number = np.full(INSIDE.shape, -1)
        number[INSIDE] = np.arange(CELLS)
        system = np.zeros((len(slope), CELLS, CELLS))
        for axis, factor in ((1, 1 / slope), (0, slope)):
            last = INSIDE.shape[axis] - 1
            near = number.take(range(last), axis).ravel()
            far = number.take(range(1, last + 1), axis).ravel()
            for a, b in zip(near, far, strict=True):
                if a >= 0 and b >= 0:
                    system[:, a, b] -= factor
                    system[:, b, a] -= factor
                    system[:, a, a] += factor
                    system[:, b, b] += factor
                elif a >= 0:
                    system[:, a, a] += 2 * factor
        return cls(slope, np.asarray(np.linalg.inv(system), dtype=np.float64))

    def flows(self, lift: Floats) -> tuple[Floats, Floats]:
        """Flows through upright and level faces for a lift [Pa/m] in the squares, per unit of mobility and of
        a square's height times lift: multiply by permeability, density over viscosity and the height [m].
        """
        faced = 0.5 * (lift[:-1] + lift[1:]) * UP_IN + lift[:-1] * UP_SKIN
        push = faced * self.slope
        source = gathered(np.zeros((NY + 1, NX, lift.shape[2])), push)[INSIDE]
        solved = np.matmul(self.inverse, source.T[:, :, None])[:, :, 0].T
        pressure = np.zeros_like(lift)
        pressure[INSIDE] = solved
        across = (pressure[:, :-1] - pressure[:, 1:]) * (ACROSS_IN + 2 * ACROSS_SKIN) / self.slope
        up = (pressure[:-1] - pressure[1:]) * (UP_IN + 2 * UP_SKIN) * self.slope + push
        return across, up

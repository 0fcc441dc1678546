"""HiGHS, silent: a linear program or one in whole numbers, its rows added as they are found."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from turnrow.blend.budget import NODES, Budget
from turnrow.blend.limits_linear import Floats

INFINITY = float(highspy.kHighsInf)
PROVEN = (  # the first: solved, the others: nothing to solve
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)
STEPS = 20_000  # of the simplex in one linear program: hundreds are usual, one that circles has no end (OWN)
SECONDS, SHORT = 10.0, 2.0  # the last resort where a run does not come to its next node; SHORT if few nodes


class _Silent(highspy.Highs):
    """Highs as wrapped turns callbacks on when it is made, and that prints a banner; this does not."""

    def __init__(self) -> None:
        super(highspy.Highs, self).__init__()
        self.setOptionValue("output_flag", False)

    def go(self) -> None:
        super(highspy.Highs, self).run()


@dataclass(frozen=True, eq=False)
class Solved:
    """status: optimal, infeasible or limit; x, reduced (columns,) and duals (rows,), empty without a plan.

    bound  what no plan costs less than: the cost itself where it is proven least
    """

    status: str
    x: Floats
    cost: float
    bound: float
    reduced: Floats
    duals: Floats


class Program:
    """min cost . x,  row_low <= rows x <= row_high,  low <= x <= high,  x whole where `whole`.

    Runs in whole numbers are paid for from `budget`; without one, each may take NODES nodes.
    """

    def __init__(
        self,
        cost: Floats,
        low: Floats,
        high: Floats,
        rows: Floats,
        row_low: Floats,
        row_high: Floats,
        whole: Sequence[bool] | None = None,
        seed: int = 0,
        budget: Budget | None = None,
    ) -> None:
        self._columns = len(cost)
        self._index = np.arange(self._columns, dtype=np.int32)
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(cost), len(rows)
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, low, high
        lp.row_lower_, lp.row_upper_ = row_low, row_high
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.arange(len(rows) + 1) * len(cost)
        lp.a_matrix_.index_ = np.tile(np.arange(len(cost)), len(rows))
        lp.a_matrix_.value_ = np.ascontiguousarray(rows).ravel()
        kinds = highspy.HighsVarType
        self._whole = whole is not None and any(whole)
        if whole is not None and self._whole:
            lp.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in whole]
        self._highs: Any = _Silent()
        self._budget = Budget() if budget is None else budget
        for option, value in settings(seed).items():
            self._highs.setOptionValue(option, value)
        if not self._whole:
            self._highs.setOptionValue("presolve", "off")  # small, and solved many times over
            self._highs.setOptionValue("solver", "simplex")
            self._highs.setOptionValue("simplex_iteration_limit", STEPS)
        self._highs.passModel(lp)

    def add(self, row: Floats, low: float, high: float) -> None:
        self._highs.addRow(low, high, self._columns, self._index, row)

    def price(self, cost: Floats) -> None:
        self._highs.changeColsCost(self._columns, self._index, cost)

    def bound(self, low: Floats, high: Floats) -> None:
        self._highs.changeColsBounds(self._columns, self._index, low, high)

    def solve(self) -> Solved:
        """The cheapest x; "limit", without a plan and a bound, where the budget has no run left or a linear
        program comes to no end within STEPS."""
        none = np.zeros(0)
        if self._whole:
            nodes = self._budget.run()
            if not nodes:
                return Solved("limit", none, INFINITY, -INFINITY, none, none)
            self._highs.setOptionValue("mip_max_nodes", nodes)
            self._highs.setOptionValue("time_limit", SECONDS if nodes >= NODES else SHORT)
        self._highs.go()
        status = self._highs.getModelStatus()
        cost = bound = float(self._highs.getObjectiveValue())
        if self._whole:
            info = self._highs.getInfo()  # slow to ask for, next to a small linear program
            self._budget.took(int(info.mip_node_count), status in PROVEN, int(info.simplex_iteration_count))
        if status == PROVEN[0]:
            said = "optimal"
        elif status in PROVEN:
            return Solved("infeasible", none, cost, bound, none, none)
        else:
            said = "limit"  # ended before the proof: the best plan's cost is no bound
            bound = float(info.mip_dual_bound) if self._whole else -INFINITY
        found = self._highs.getSolution()
        whole = self._whole and found.value_valid and np.isfinite(cost)  # half a linear program is no plan
        if said == "limit" and not whole:
            return Solved(said, none, cost, bound, none, none)
        x = np.array(found.col_value)
        return Solved(said, x, cost, bound, np.array(found.col_dual), np.array(found.row_dual))


def settings(seed: int) -> dict[str, int | float]:
    """The options every run uses."""
    return {
        "threads": 1,
        "random_seed": seed % 2**31,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-9,
        "primal_feasibility_tolerance": 1e-9,
        "dual_feasibility_tolerance": 1e-9,
        "mip_feasibility_tolerance": 1e-9,
    }

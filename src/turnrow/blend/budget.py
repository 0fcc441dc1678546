"""How much work a search may do: counted, so that it ends alike on most machines; the clock in `highs` is
the last resort within one run."""

from dataclasses import dataclass

NODES = 20_000  # of the tree of one run in whole numbers
WIDE = 20  # columns from which on a run is cut short: its tree then has no end worth waiting for


@dataclass(eq=False)
class Budget:
    """What is left of a search's work, one for all its parts. All figures are OWN, tried on problems of 8 to
    60 materials.

    runs      programs in whole numbers
    nodes     of their trees, all together
    each      nodes of one run, at most
    steps     of the simplex in them, all together: a tree may stay at its root for thousands
    drawings  plans drawn
    cut       whether some run ended without its proof
    """

    runs: int = 400
    nodes: int = 3 * NODES
    each: int = NODES
    steps: int = 2_000_000
    drawings: int = 4_000
    cut: bool = False

    def run(self) -> int:
        """Nodes that the next run may take, which is counted; 0: none is left."""
        if min(self.runs, self.nodes, self.steps) <= 0:
            self.cut = True
            return 0
        self.runs -= 1
        return min(self.each, self.nodes)

    def took(self, nodes: int, proven: bool, steps: int = 0) -> None:
        """A run is over, and these were its nodes (its root counts as one) and steps."""
        self.nodes -= max(nodes, 1)
        self.steps -= max(steps, 0)
        self.cut |= not proven

    def draw(self, plans: int) -> int:
        """How many of so many plans may still be drawn, which are counted."""
        granted = max(min(plans, self.drawings), 0)
        self.drawings -= granted
        self.cut |= granted < plans
        return granted

    @property
    def spent(self) -> bool:
        """Whether nothing more can be tried in whole numbers, or nothing more drawn."""
        return min(self.runs, self.nodes, self.steps, self.drawings) <= 0


def budget_for(columns: int, drawn: bool) -> Budget:
    """The work of one search: much for few columns; many, whose plans are `drawn`, are cut short."""
    if drawn and columns >= WIDE:
        return Budget(runs=16, nodes=6_000, each=1_000, steps=12_000, drawings=2_000)
    return Budget()


def small(columns: int) -> Budget:
    """The work of one of many questions, where a question left open may be answered on the safe side."""
    if columns >= WIDE:
        return Budget(runs=12, nodes=3_000, each=500, steps=6_000, drawings=500)
    return Budget(runs=60, nodes=3_000, each=500, drawings=500)

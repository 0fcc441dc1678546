"""A yard's own lot of a feedstock: the table's prior updated by the lab's samples, with what stays unsure."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from turnrow.blend.basis import per_dry
from turnrow.blend.ingredient import Ingredient, Spread
from turnrow.blend.prior import Belief, belief_from_table, update
from turnrow.blend.table import from_table
from turnrow.handbook.feedstocks import Feedstock, Figure

SAMPLED = ("moisture", "n", "c", "cn", "organic", "density")
CARBON_SPREAD = 0.06  # of carbon where the table gives no range: organic matter is 45-60 % carbon (OWN)


@dataclass(frozen=True)
class Lot:
    """The ingredient to mix with, the lot's standard deviations, and the beliefs they come from."""

    ingredient: Ingredient
    spread: Spread
    beliefs: Mapping[str, Belief]

    @property
    def cn(self) -> Belief:
        """The C:N, lognormal as nitrogen and carbon are."""
        n, c = self.beliefs["n"], self.beliefs["c"]
        return Belief("cn", c.mean - n.mean, math.hypot(c.deviation, n.deviation))


def lot_of(
    feedstock: Feedstock, samples: Mapping[str, Sequence[float]], form: str = "", grabs: int = 1
) -> Lot:
    """A lot from the table and from lab samples: moisture (wet), n, c, organic (per dry mass) as
    fractions, cn, density [kg/m3]. What was not sampled stays the table's.

    Nitrogen and carbon are believed apart; a sampled C:N counts as a sample of nitrogen beside the
    carbon, which is the surer of the two. ValueError: an unknown quantity, a value that cannot be, or a
    feedstock the table cannot make an ingredient of.
    """
    unknown = [name for name in samples if name not in SAMPLED]
    if unknown:
        raise ValueError(f"samples of {', '.join(unknown)}, want of {', '.join(SAMPLED)}")
    tabled = from_table(feedstock, form)
    carbon = update(_carbon(feedstock, tabled), samples.get("c", ()), grabs=grabs)
    ratios = _positive(samples.get("cn", ()))
    nitrogen = update(_nitrogen(feedstock, tabled, carbon), samples.get("n", ()), grabs=grabs)
    nitrogen = update(nitrogen, [carbon.typical / cn for cn in ratios], grabs=grabs)
    believed = {"n": nitrogen, "c": carbon}
    for name in ("moisture", "organic", "density"):
        figure = feedstock.figure(name, form if name == "density" else "")
        if figure is not None:
            believed[name] = update(_prior(figure, tabled), samples.get(name, ()), grabs=grabs)
    return Lot(_ingredient(tabled, believed), _spread(believed), believed)


def _ingredient(tabled: Ingredient, believed: Mapping[str, Belief]) -> Ingredient:
    density, organic = believed.get("density"), believed.get("organic")
    return replace(
        tabled,
        moisture_wet=believed["moisture"].typical,
        n_dry=believed["n"].typical,
        c_dry=believed["c"].typical,
        om_dry=organic.typical if organic else tabled.om_dry,
        density=density.typical if density else tabled.density,
    )


def _spread(believed: Mapping[str, Belief]) -> Spread:
    return Spread(
        moisture_wet=believed["moisture"].sd,
        n_dry=believed["n"].sd,
        c_dry=believed["c"].sd,
        density=believed["density"].sd if "density" in believed else 0.0,
    )


def _carbon(feedstock: Feedstock, tabled: Ingredient) -> Belief:
    figure = feedstock.figure("c")
    if figure is not None and figure.low is not None:
        return _prior(figure, tabled)
    return Belief("c", math.log(tabled.c_dry), CARBON_SPREAD)


def _nitrogen(feedstock: Feedstock, tabled: Ingredient, carbon: Belief) -> Belief:
    """From the table's nitrogen; where the table keeps C:N instead, from that and the carbon."""
    if (figure := feedstock.figure("n")) is not None:
        return _prior(figure, tabled)
    ratio = feedstock.figure("cn")
    loose = belief_from_table(ratio).deviation if ratio else 0.0
    return Belief("n", math.log(tabled.n_dry), math.hypot(loose, carbon.deviation))


def _prior(figure: Figure, tabled: Ingredient) -> Belief:
    """The row's belief per dry mass."""
    if figure.basis != "as received":
        return belief_from_table(figure)
    wet = tabled.moisture_wet
    low = None if figure.low is None else per_dry(figure.low, wet)
    high = None if figure.high is None else per_dry(figure.high, wet)
    dry = replace(figure, basis="dry", value=per_dry(figure.value, wet), low=low, high=high)
    return belief_from_table(dry)


def _positive(ratios: Sequence[float]) -> Sequence[float]:
    for one in ratios:
        if not 0 < one < math.inf:
            raise ValueError(f"C:N {one}, want above 0")
    return ratios

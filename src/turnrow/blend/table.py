"""From the handbook's table to an ingredient: bases turned, the third of nitrogen, carbon and C:N derived."""

from turnrow.blend.basis import per_dry
from turnrow.blend.carbon import organic_from_carbon
from turnrow.blend.ingredient import Ingredient
from turnrow.handbook.feedstocks import Feedstock, Figure


def from_table(feedstock: Feedstock, form: str = "") -> Ingredient:
    """The feedstock with its typical values; density in `form`, else the first form of the table.

    Density is None when the table has none (in that form). Organic matter follows from carbon where
    none is given. ValueError: no moisture, or fewer than two of nitrogen, carbon and C:N.
    """
    moisture_wet = _share(feedstock.figure("moisture"), 0.0)
    if moisture_wet is None or "n, c or cn" in feedstock.missing:
        raise ValueError(f"{feedstock.key}: the handbook has no {', '.join(feedstock.missing)}")
    nitrogen = _share(feedstock.figure("n"), moisture_wet)
    carbon = _share(feedstock.figure("c"), moisture_wet)
    ratio = feedstock.figure("cn")
    n_dry, c_dry = _both(nitrogen, carbon, ratio.value if ratio else None)
    organic = _share(feedstock.figure("organic"), moisture_wet)
    density = feedstock.figure("density", form)
    return Ingredient(
        name=feedstock.key,
        moisture_wet=moisture_wet,
        n_dry=n_dry,
        c_dry=c_dry,
        om_dry=organic if organic is not None else organic_from_carbon(c_dry),
        density=density.value if density else None,
    )


def _both(nitrogen: float | None, carbon: float | None, cn: float | None) -> tuple[float, float]:
    if nitrogen is not None and cn is not None:
        return nitrogen, nitrogen * cn
    if carbon is not None and cn is not None:
        return carbon / cn, carbon
    return nitrogen or 0.0, carbon or 0.0


def _share(figure: Figure | None, moisture_wet: float) -> float | None:
    """A percentage as a fraction, per dry mass where it was as received."""
    if figure is None:
        return None
    share = figure.value / 100
    return per_dry(share, moisture_wet) if figure.basis == "as received" else share

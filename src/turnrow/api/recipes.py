"""A recipe: what to mix, in whole loads, at least cost, with the chance that its limits hold."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import polars as pl

from turnrow.api.given import Source, text_bytes
from turnrow.api.shown import html
from turnrow.foreman.recipe_papers import recipe_paper
from turnrow.foreman.recipes import Answered, answered, as_keys
from turnrow.gate.recipe_file import read_recipe
from turnrow.handbook.book import handbook
from turnrow.handbook.feedstocks import feedstocks
from turnrow.records.recipe_picture import mix_window, window_picture
from turnrow.yard.wrongs import refuse

_NO_DAY = datetime(1970, 1, 1, tzinfo=UTC)  # of a paper that is not printed


@dataclass(frozen=True, eq=False)
class Recipe:
    """An answered recipe. answer: all of it as plain keys, as `turnrow blend --json` prints it."""

    answer: dict[str, Any] = field(repr=False)
    _answered: Answered = field(repr=False)

    @property
    def status(self) -> str:
        """ "optimal", "limit" (the search ended first) or "infeasible"."""
        return str(self.answer["status"])

    @property
    def frame(self) -> pl.DataFrame:
        """A polars frame, a material a row: material, loads (null: any amount), tonnes (wet)."""
        masses = self.answer["mass_t"]
        return pl.DataFrame(
            {
                "material": list(masses),
                "loads": [self.answer["loads"].get(name) for name in masses],
                "tonnes": list(masses.values()),
            },
            schema={"material": pl.String, "loads": pl.Int64, "tonnes": pl.Float64},
        )

    @property
    def picture(self) -> str:
        """Moisture by C:N as SVG, a point a drawing; empty without a plan, or where either is not known."""
        drawn = window_picture(recipe_paper(self._answered, handbook(), _NO_DAY))
        return mix_window(drawn) if drawn else ""

    def _repr_html_(self) -> str:
        mix, chance = self.answer["mix"], self.answer["chance"]["joint"]
        rows = [
            ("moisture", _percent(mix["moisture_pct"])),
            ("C:N", "not known" if mix["cn"] is None else f"{mix['cn']:.1f}"),
            ("air space", _percent(mix["fas_pct"])),
            ("all limits together hold with", _percent(None if chance is None else 100 * chance)),
        ]
        said = [self.answer["why"], *self.answer["warnings"]]
        block = html(f"Recipe: {self.status}", filter(None, said), rows, self.picture)
        return block + self.frame._repr_html_()


def _percent(value: float | None) -> str:
    return "not known" if value is None else f"{value:.0f} %"


def recipe(source: Source, *, seed: int = 0) -> Recipe:
    """Answer a recipe, as `turnrow blend` does; `turnrow blend --example` prints one that runs.

    source  a TOML file, or its text: targets and ingredients
    seed    of the numbers drawn; the same seed, the same answer
    Raises Refused with everything that is wrong.
    """
    if seed < 0:
        raise refuse("seed", seed, "Give 0 or more.")
    found = answered(read_recipe(*text_bytes(source, "recipe"), feedstocks()), seed)
    return Recipe(as_keys(found), found)

"""What is known of each feedstock before a lab has seen it: one number a row, with its source."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

QUANTITIES = {
    "moisture": ("%", ("wet",)),
    "n": ("%", ("dry", "as received")),
    "c": ("%", ("dry", "as received")),
    "cn": ("", ("mass",)),
    "organic": ("%", ("dry", "as received")),
    "density": ("kg/m3", ("as is",)),
}
USES = ("default", "range", "rival", "refused")
OTHER_NAMES = {
    "cattle manure": "dairy manure",
    "cow manure": "dairy manure",
    "chicken litter": "broiler litter",
    "poultry litter": "broiler litter",
    "hen manure": "laying hen manure",
    "layer manure": "laying hen manure",
    "swine manure": "pig manure",
    "corn stover": "corn stalks",
    "maize stalks": "corn stalks",
    "maize silage": "corn silage",
    "alfalfa hay": "legume hay",
    "shavings": "wood shavings",
    "grass": "grass clippings",
    "kitchen waste": "food waste",
    "newspaper": "newsprint",
}
NEEDED = ("moisture", "density")  # beside two of n, c, cn


@dataclass(frozen=True)
class Figure:
    """One number of the table, as printed at its source.

    low, high  the range at the source, None where none is given
    basis      "wet", "dry", "as received" (per mass as it lies), "organic" (per organic matter)
    form       of a density: loose, heaped, chips ...
    use        "default"; "range" (a range beside a default); "rival" (another source's figure, kept
               beside); "refused" (cannot be right, kept so that nobody brings it back)
    known      READ (seen at the source or in a copy that is named), MEMORY, OWN
    """

    quantity: str
    value: float
    low: float | None
    high: float | None
    unit: str
    basis: str
    form: str
    source: str
    where: str
    known: str
    use: str
    note: str


@dataclass(frozen=True)
class Feedstock:
    """One material with all its figures; of n, c and cn two are defaults and the third follows."""

    key: str
    figures: tuple[Figure, ...]

    def figure(self, quantity: str, form: str = "") -> Figure | None:
        """The default of `quantity`, with the range that stands beside it; of a density, in `form`."""
        first = next(iter(self._of(quantity, "default", form)), None)
        if first is None or first.low is not None:
            return first
        beside = next(iter(self._of(quantity, "range", "")), None)
        return replace(first, low=beside.low, high=beside.high) if beside else first

    @property
    def forms(self) -> tuple[str, ...]:
        """The forms a density is known for; the first is taken when none is named."""
        return tuple(one.form for one in self._of("density", "default", ""))

    @property
    def missing(self) -> tuple[str, ...]:
        """What a recipe needs and the table does not have: moisture, density, nitrogen or carbon."""
        gaps = [name for name in NEEDED if self.figure(name) is None]
        known = [name for name in ("n", "c", "cn") if self.figure(name) is not None]
        return (*gaps, *(("n, c or cn",) if len(known) < 2 else ()))

    def _of(self, quantity: str, use: str, form: str) -> tuple[Figure, ...]:
        return tuple(
            one
            for one in self.figures
            if one.quantity == quantity and one.use == use and form in ("", one.form)
        )


@cache
def feedstocks() -> dict[str, Feedstock]:
    """Every feedstock of the handbook by its key ("dairy manure"). ValueError when the table is wrong."""
    return read_feedstocks(files("turnrow.handbook").joinpath("tables", "feedstocks.csv").read_text("utf-8"))


def find(name: str, among: Mapping[str, Feedstock]) -> Feedstock | None:
    """The feedstock of that name or of one of its `OTHER_NAMES`, whatever case, spaces, underscores."""
    plain = OTHER_NAMES.get(_plain(name), _plain(name))
    return next((one for key, one in among.items() if _plain(key) == plain), None)


def near(name: str, among: Iterable[str]) -> tuple[str, ...]:
    """Keys sharing a word with `name`, for a refusal that helps."""
    words = set(_plain(name).split())
    return tuple(key for key in among if words & set(_plain(key).split()))


def read_feedstocks(text: str) -> dict[str, Feedstock]:
    """Feedstocks from the table's text. ValueError naming row and cell when one does not fit."""
    made: dict[str, list[Figure]] = {}
    for number, row in enumerate(csv.DictReader(text.splitlines()), start=2):
        made.setdefault(row["key"], []).append(_figure(f"feedstocks.csv row {number}", row))
    found = {key: Feedstock(key, tuple(figures)) for key, figures in made.items()}
    for key, one in found.items():
        if sum(one.figure(name) is not None for name in ("n", "c", "cn")) == 3:
            raise ValueError(f"{key}: n, c and cn are all defaults, want two: the third follows")
        taken = [(figure.quantity, figure.form) for figure in one.figures if figure.use == "default"]
        if len(set(taken)) < len(taken):
            raise ValueError(f"{key}: two defaults for one quantity (and form), want one")
    return found


def _figure(place: str, row: Mapping[str, str]) -> Figure:
    unit, bases = QUANTITIES.get(row["quantity"], ("", ()))
    for name, allowed in (("quantity", QUANTITIES), ("unit", (unit,)), ("basis", bases), ("use", USES)):
        if row[name] not in allowed:
            raise ValueError(f"{place}: {name} {row[name]!r}, want one of {', '.join(allowed)}")
    low, high = _number(place, row, "low"), _number(place, row, "high")
    value = _number(place, row, "value")
    if (low is None) != (high is None) or (low is not None and high is not None and low > high):
        raise ValueError(f"{place}: low {row['low']!r} and high {row['high']!r}, want both and in order")
    if value is None and (row["use"] != "range" or low is None or high is None):
        raise ValueError(f"{place}: no value")
    if value is not None and low is not None and high is not None and not low <= value <= high:
        raise ValueError(f"{place}: value {value} outside {low}-{high}")
    return Figure(
        quantity=row["quantity"],
        value=value if value is not None else ((low or 0) + (high or 0)) / 2,
        low=low,
        high=high,
        unit=row["unit"],
        basis=row["basis"],
        form=row["form"],
        source=row["source"],
        where=row["where"],
        known=row["read"],
        use=row["use"],
        note=row["note"],
    )


def _number(place: str, row: Mapping[str, str], name: str) -> float | None:
    if not row[name]:
        return None
    number = float(row[name])
    if not 0 <= number <= 100_000:
        raise ValueError(f"{place}: {name} {row[name]!r}, want 0 to 100000")
    return number


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").replace(",", " ").replace("-", " ").split())

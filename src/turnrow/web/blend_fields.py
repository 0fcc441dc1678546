"""The fields of the Blend page: what they start with and why, and the example that fills them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from turnrow.gate.recipe_form import PLACES, field_of
from turnrow.handbook.book import Handbook
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.wrongs import Refusal

OF_MATERIAL = (
    *("name", "stock", "stock_unit", "least", "cost"),
    *("moisture", "n", "n_unit", "cn", "density", "density_unit"),
)
WHOLE = (
    *("total", "total_unit", "bucket", "bucket_unit", "taken", "fill", "shrink", "water", "chance"),
    *("cn_low", "cn_high", "moisture_low", "moisture_high", "air_low", "density_high"),
    *("kept", "width", "height", "typed_are"),
)


def field(name: str, place: int) -> str:
    """A material's field by its place: stock_2, stock_2_unit."""
    return f"{name.removesuffix('_unit')}_{place}_unit" if name.endswith("_unit") else f"{name}_{place}"


FIELDS = frozenset((*WHOLE, *(field(name, place) for name in OF_MATERIAL for place in range(1, PLACES + 1))))

FIRST = {
    "total_unit": "t",
    "bucket": "2.5",
    "bucket_unit": "m3",
    "taken": "whole",
    "fill": "10",
    "water": "needed",
    "chance": "",
    "kept": "turned",
    "typed_are": "samples",
}
OF_SETTING = {  # fields that start at a setting of the yard
    "cn_low": "mix_cn_low",
    "cn_high": "mix_cn_high",
    "moisture_low": "mix_moisture_low",
    "moisture_high": "mix_moisture_high",
    "air_low": "mix_air_low",
}
HOW = {"READ": "read", "MEMORY": "from memory", "OWN": "our own choice"}


@dataclass(frozen=True)
class Target:
    """One limit of the mix as the form asks it, with where its first value comes from."""

    words: str
    unit: str
    low: str  # field names; empty: no such end
    high: str
    why: str


def defaults(settings: Mapping[str, Amount]) -> dict[str, str]:
    """What the fields start with."""
    return FIRST | {name: plain_number(settings[key].value / MICRO) for name, key in OF_SETTING.items()}


def targets(book: Handbook) -> tuple[Target, ...]:
    """The limits asked for, each with the source of the handbook's own value."""
    return (
        Target("C:N", "", "cn_low", "cn_high", _why(book, "cn_low", "cn_high")),
        Target(
            "Moisture",
            "% of wet mass",
            "moisture_low",
            "moisture_high",
            _why(book, "moisture_low", "moisture_high"),
        ),
        Target(
            "Air space",
            "% of volume",
            "air_low",
            "",
            f"{_why(book, 'air_low')} For a heap nobody turns, 40 (our own choice).",
        ),
        Target(
            "Density",
            "kg/m³",
            "",
            "density_high",
            "If you like. Under 593 kg/m³, 1000 lb/yd³: Cooperband 2002, read.",
        ),
    )


def _why(book: Handbook, *names: str) -> str:
    rows = [book.settings[OF_SETTING[name]] for name in names]
    values = " to ".join(plain_number(row.amount.value / MICRO) for row in rows)
    return f"{values}: {book.sources[rows[0].source].title}, {HOW[rows[0].known]}."


# Of our own invention: a farm with more cow manure than it can use, straw it pays for, leaves it hauls.
EXAMPLE = {
    **FIRST,
    "total": "40",
    "chance": "60",
    "cn_low": "25",
    "cn_high": "40",
    "moisture_low": "50",
    "moisture_high": "65",
    "air_low": "35",
    "width": "4",
    "height": "1.8",
    "name_1": "dairy manure",
    "stock_1": "60",
    "stock_1_unit": "t",
    "moisture_1": "79",
    "n_1": "2.5",
    "density_1": "840",
    "name_2": "straw",
    "stock_2": "12",
    "stock_2_unit": "t",
    "cost_2": "60",
    "name_3": "leaves",
    "stock_3": "90",
    "stock_3_unit": "m3",
    "moisture_3": "42",
    "cost_3": "15",
}


def plain_number(value: float) -> str:
    """A number as a form takes it: at most three decimals, no needless noughts."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def refusals_by_field(refusals: Iterable[Refusal]) -> dict[str, list[tuple[str, str, str]]]:
    """(where, got, do) of each refusal under its field; those of no field under ""."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    for one in refusals:
        name = field_of(one)
        words = one.where.removesuffix(f" [{name}]") if name else one.where
        found.setdefault(name if name in FIELDS else "", []).append((words, one.got, one.do))
    return found

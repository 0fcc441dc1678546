"""What a form is: its fields, their shapes, and what its button says."""

from dataclasses import dataclass
from typing import Literal

Shape = Literal[
    "text",
    "area",
    "number",
    "choice",
    "row",
    "rows",
    "tick",
    "photo",
    "parts",
    "line",
    "whole",
    "day",
    "known",
    "several",
]
Group = Literal["row", "yard", "lots", "sales"]
Known = Literal["lots", "customers", "products", "orders", "tickets", "samples"]


@dataclass(frozen=True)
class Field:
    """One thing asked. `units` are offered beside a number, the first one first; `known` names the things
    of the diary to choose among."""

    name: str
    label: str
    shape: Shape = "text"
    hint: str = ""
    needed: bool = False
    units: tuple[str, ...] = ()
    choices: tuple[tuple[str, str], ...] = ()
    preset: str = ""
    known: Known | Literal[""] = ""


@dataclass(frozen=True)
class Form:
    """One form; `kind` is the entry's own tag, `care` what to mind before doing it, `group` where it is
    offered: "row" on a row's page too."""

    slug: str
    kind: str
    title: str
    keep: str  # what the button says
    fields: tuple[Field, ...]
    care: str = ""
    group: Group = "row"

    @property
    def has_photo(self) -> bool:
        return any(field.shape == "photo" for field in self.fields)


ROW = Field("row", "Row", "row", needed=True)
SOLIDS = ("t", "m3", "kg", "ton", "lb", "long ton", "yd3", "ft3", "bu", "L")
LENGTHS = ("m", "ft")

"""Papers as PDF/A-2b, the same bytes each time: data in, bytes out, nothing from outside the package.

The document's date is the data's own (`made`); fonts are the package's own; data travel as one JSON
input, never as program text.
"""

import re
from datetime import datetime
from functools import cache
from importlib.resources import files
from typing import Any, Literal, cast

import msgspec
import typst

from turnrow.records.day_sheet import DaySheet
from turnrow.records.label import LabelSheet
from turnrow.records.plain_sheet import PlainSheet
from turnrow.records.recipe_sheet import RecipeSheet
from turnrow.records.row_sheet import RowSheet
from turnrow.records.sampling_sheet import SamplingSheet
from turnrow.yard.days import seconds

Size = Literal["a4", "letter"]
Sheet = RowSheet | DaySheet | RecipeSheet | PlainSheet | LabelSheet | SamplingSheet
TEMPLATES: dict[type, str] = {
    RowSheet: "row",
    DaySheet: "day",
    RecipeSheet: "recipe",
    PlainSheet: "plain",
    LabelSheet: "label",
    SamplingSheet: "sampling",
}
ROOM = "turnrow.records"
_BEYOND_ASCII = re.compile(r"[^\x20-\x7e\n]")


def press(sheet: Sheet, size: Size = "a4") -> bytes:
    """The sheet as a PDF/A-2b file on A4 or US letter paper."""
    made = seconds(datetime.fromisoformat(sheet.made))
    return cast(bytes, typst.compile(**_job(sheet, size), format="pdf", pdf_standards="a-2b", timestamp=made))


def pages(sheet: Sheet, size: Size = "a4", ppi: float = 72.0) -> list[bytes]:
    """The same pages as PNG pictures."""
    made = typst.compile(**_job(sheet, size), format="png", ppi=ppi)
    return made if isinstance(made, list) else [made]


def _job(sheet: Sheet, size: Size) -> dict[str, Any]:
    data = msgspec.json.encode(_drawable(msgspec.to_builtins(sheet))).decode()
    return {
        "input": _template(TEMPLATES[type(sheet)]),
        "font_paths": _fonts(),
        "ignore_system_fonts": True,
        "sys_inputs": {"data": data, "paper": "a4" if size == "a4" else "us-letter"},
    }


@cache
def _template(name: str) -> bytes:
    room = files(ROOM) / "templates"
    return (room / "common.typ").read_bytes() + b"\n" + (room / f"{name}.typ").read_bytes()


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(files(ROOM) / "fonts")]
    )


@cache
def _characters() -> frozenset[int]:
    """Characters all four faces can draw, as listed beside the fonts."""
    text = (files(ROOM) / "fonts" / "characters.txt").read_text("utf-8")
    return frozenset(int(code, 16) for code in text.split())


def _drawable(thing: Any) -> Any:
    """The same data with every text made of characters the fonts have."""
    if isinstance(thing, str):
        return _BEYOND_ASCII.sub(_shown, thing)
    if isinstance(thing, dict):
        return {key: _drawable(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        return [_drawable(each) for each in thing]
    return thing


def _shown(found: re.Match[str]) -> str:
    """A character the fonts cannot draw, by its number: nothing is dropped and no empty box is printed."""
    code = ord(found[0])
    return found[0] if code in _characters() else f"[U+{code:04X}]"

"""The handbook's own tables, as they are written."""

import csv
from importlib.resources import files


def rows_of(table: str) -> list[dict[str, str]]:
    """The rows of `tables/` of that name, by heading."""
    text = files("turnrow.handbook").joinpath("tables", table).read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))

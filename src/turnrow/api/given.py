"""What a caller hands in, as the bytes of a file: a path, bytes, text, or a data frame."""

from pathlib import Path
from typing import Any

import polars as pl

from turnrow.gate.file_bytes import file_bytes
from turnrow.yard.wrongs import refuse

Source = Any  # a file's path, bytes, or a data frame that speaks Arrow or the interchange (polars, pandas)


def table_bytes(source: Source, where: str) -> tuple[bytes, str]:
    """(bytes, name) of a table: a file's own, or a data frame's as CSV.

    Raises Refused, naming `where`, for a file that cannot be read or a thing that is no table.
    """
    if isinstance(source, bytes):
        return source, where
    if isinstance(source, (str, Path)):
        return file_bytes(Path(source), where), Path(source).name
    if isinstance(source, pl.DataFrame):
        return source.write_csv(datetime_format="%Y-%m-%dT%H:%M:%S%:z").encode(), where
    if hasattr(source, "__arrow_c_stream__"):
        return table_bytes(pl.DataFrame(source), where)
    if hasattr(source, "__dataframe__"):
        return table_bytes(pl.from_dataframe(source), where)
    raise refuse(where, type(source).__name__, "Give a file's path, bytes or a data frame.")


def text_bytes(source: Source, where: str) -> tuple[bytes, str]:
    """(bytes, name) of a TOML text: a file's own, bytes, or the text itself, which has more than one line."""
    if isinstance(source, bytes):
        return source, where
    if isinstance(source, str) and "\n" in source:
        return source.encode(), where
    if isinstance(source, (str, Path)):
        return file_bytes(Path(source), where), Path(source).name
    raise refuse(where, type(source).__name__, "Give a file's path, or TOML as text.")

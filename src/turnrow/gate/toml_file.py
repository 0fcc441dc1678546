"""A TOML file as its tables; what is no TOML is refused by line and column."""

import re
import tomllib
from typing import Any

from turnrow.yard.wrongs import Refusal, Refused

LARGEST = 12 * 1024 * 1024  # bytes; it is read slowly, and takes up to thirty times its size
_PLACE = re.compile(r" ?\(at (?:line (\d+), column (\d+)|(end of document))\)$")
_NO_SECONDS = re.compile(
    r"(?m)^(\s*[\w.-]+\s*=\s*\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d)(?=(?:[Zz]|[+-]\d\d:\d\d)?[ \t]*(?:#.*)?$)"
)


def toml_of(data: bytes, name: str, do: str) -> dict[str, Any]:
    """The top table. A time may stand without its seconds, as TOML 1.1 has it.

    Raises Refused, with what to `do`, where it is no TOML, and tells line and column.
    """
    if len(data) > LARGEST:
        got = f"{len(data):,} bytes"
        raise Refused([Refusal(name, got, f"A TOML file may have {LARGEST:,}. {do}")])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        got = repr(data[wrong.start : wrong.start + 1])[2:-1]
        where = f"{name}, line {data.count(10, 0, wrong.start) + 1}"
        raise Refused([Refusal(where, f"the byte {got}", "Save the file as UTF-8 text.")]) from None
    return toml_of_text(text, name, do)


def toml_of_text(text: str, name: str, do: str) -> dict[str, Any]:
    """The same of a text."""
    text = text.replace("\r\n", "\n")
    try:
        try:
            return tomllib.loads(text)
        except tomllib.TOMLDecodeError:
            full = _NO_SECONDS.sub(r"\1:00", text)
            if full == text:
                raise
            return tomllib.loads(full)
    except (ValueError, RecursionError) as wrong:
        raise Refused([_refusal(text, name, str(wrong), do)]) from None


def _refusal(text: str, name: str, said: str, do: str) -> Refusal:
    found = _PLACE.search(said)
    what = said[: found.start()] if found else said
    if found is None:
        return Refusal(name, what[:200], do)
    if found[3]:
        return Refusal(f"{name}, at its end", what[:200], do)
    line = text.split("\n")[int(found[1]) - 1 : int(found[1])]
    shown = f": {line[0].strip()[:60]!r}" if line else ""
    return Refusal(f"{name}, line {found[1]}, column {found[2]}", f"{what[:200]}{shown}", do)

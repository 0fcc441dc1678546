"""A recipe asked for, as the TOML text that `turnrow blend` reads."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

BESIDE = ("targets",)  # tables of their own, after the plain keys
DELETE = "\x7f"


def toml_of(raw: Mapping[str, Any], title: str = "") -> str:
    """TOML of the keys of a recipe file; tables within an ingredient stand in one line."""
    lines = [f"# {_one_line(title)}"] if title else []
    lines += [f"{_key(k)} = {_value(v)}" for k, v in raw.items() if k not in (*BESIDE, "ingredient")]
    for key in BESIDE:
        if key in raw:
            lines += ["", f"[{key}]", *(f"{_key(k)} = {_value(v)}" for k, v in raw[key].items())]
    for one in raw.get("ingredient", ()):
        lines += ["", "[[ingredient]]", *(f"{_key(k)} = {_value(v)}" for k, v in one.items())]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace(DELETE, "\\u007F")
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(round(value, 9))
    if isinstance(value, int):
        return str(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + "}"
    if isinstance(value, Sequence):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    raise ValueError(f"{type(value).__name__} in a recipe, want text, numbers, lists and tables")


def _key(name: str) -> str:
    plain = name.isascii() and name.replace("_", "").replace("-", "").isalnum()
    return name if plain else _value(name)


def _one_line(text: str) -> str:
    return " ".join(text.split())

"""The handbook as one object, read once from the package; its edition is the hash of its files."""

import csv
import hashlib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import msgspec
from msgspec import Struct

from turnrow.handbook.rules import Rule
from turnrow.handbook.settings import Setting
from turnrow.yard.entries import Amount
from turnrow.yard.numbers import parse_micro

LIMITS = ("limit", "upper", "peak", "mean", "floor")  # written ">= 55 C" in the files
NUMBERS = ("value", "low", "high")


class Source(Struct, frozen=True, forbid_unknown_fields=True):
    """Where a value or a text comes from; `known` says whether it was seen there."""

    title: str
    where: str
    known: str  # READ, MEMORY, OWN


@dataclass(frozen=True)
class Handbook:
    rules: dict[str, Rule]
    settings: dict[str, Setting]
    sources: dict[str, Source]
    edition: str  # twelve hex digits


@cache
def handbook() -> Handbook:
    """The handbook of this release. ValueError, naming the file, when one of its files is wrong."""
    room = files("turnrow.handbook")
    texts = {"sources.toml": room.joinpath("sources.toml").read_text("utf-8")}
    for table in sorted(room.joinpath("tables").iterdir(), key=lambda leaf: leaf.name):
        if table.name.endswith(".csv"):
            texts[table.name] = table.read_text("utf-8")
    for leaf in sorted(room.joinpath("rules").iterdir(), key=lambda leaf: leaf.name):
        if leaf.name.endswith(".toml"):
            texts[leaf.name] = leaf.read_text("utf-8")
    seal = hashlib.sha256()
    for name, text in sorted(texts.items()):
        seal.update(f"{name}\0{len(text.encode())}\0{text}".encode())
    rules = [
        read_rule(name, text)
        for name, text in texts.items()
        if name.endswith(".toml") and name != "sources.toml"
    ]
    return Handbook(
        rules={rule.id: rule for rule in rules},
        settings=_settings(texts["settings.csv"]),
        sources=msgspec.convert(tomllib.loads(texts["sources.toml"]), dict[str, Source]),
        edition=seal.hexdigest()[:12],
    )


def read_rule(name: str, text: str) -> Rule:
    """A rule from its TOML text; ValueError naming the file when it does not fit."""
    try:
        return msgspec.convert(_plain(tomllib.loads(text)), Rule)
    except (tomllib.TOMLDecodeError, msgspec.ValidationError, ValueError) as wrong:
        raise ValueError(f"rule file {name}: {wrong}") from wrong


def _plain(thing: Any, within: str = "") -> Any:
    """Limits and numbers are written as people write them; here they become whole millionths."""
    if isinstance(thing, dict):
        return {key: _plain(value, "limits" if within == "limits" else key) for key, value in thing.items()}
    if isinstance(thing, list):
        return [_plain(value, within) for value in thing]
    if isinstance(thing, str) and within in LIMITS:
        op, number, unit = thing.split()
        return {"op": op, "value": parse_micro(number), "unit": unit}
    if isinstance(thing, str) and within in (*NUMBERS, "limits"):
        return parse_micro(thing)
    return thing


def _settings(text: str) -> dict[str, Setting]:
    rows = csv.DictReader(text.splitlines())
    return {
        row["key"]: Setting(
            name=row["key"],
            amount=Amount(parse_micro(row["value"]), row["unit"]),
            low=parse_micro(row["low"]),
            high=parse_micro(row["high"]),
            words=row["quantity"],
            source=row["source"],
            known=row["read"],
        )
        for row in rows
    }

"""Every number of the handbook has a source that stands in sources.toml, and says how it is known."""

import csv
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path

KNOWN = {"READ", "MEMORY", "OWN"}


def table_faults(name: str, text: str, sources: Mapping[str, object]) -> list[str]:
    """Rows of a table without a source, with one that is not listed, or without how it is known."""
    found = []
    for number, row in enumerate(csv.DictReader(text.splitlines()), start=2):
        source, read = (row.get("source") or "").strip(), (row.get("read") or "").strip()
        if source not in sources:
            found.append(f"{name}:{number}: source {source!r} is not in sources.toml")
        if read not in KNOWN:
            found.append(f"{name}:{number}: read {read!r}, want one of {', '.join(sorted(KNOWN))}")
        if None in row or None in row.values():
            found.append(f"{name}:{number}: columns do not match the heading")
    return found


def rule_faults(name: str, text: str, sources: Mapping[str, object]) -> list[str]:
    rule = tomllib.loads(text)
    found = [
        f"{name}: source {one!r} is not in sources.toml"
        for one in rule.get("sources", [])
        if one not in sources
    ]
    if not rule.get("sources"):
        found.append(f"{name}: no source")
    if rule.get("known") not in KNOWN:
        found.append(f"{name}: known {rule.get('known')!r}, want one of {', '.join(sorted(KNOWN))}")
    if not rule.get("clause"):
        found.append(f"{name}: no clause")
    return found


def source_faults(sources: Mapping[str, Mapping[str, str]]) -> list[str]:
    found = []
    for key, source in sources.items():
        if not source.get("title"):
            found.append(f"sources.toml: {key} has no title")
        if source.get("known") not in KNOWN:
            found.append(f"sources.toml: {key} does not say how it is known")
        if source.get("known") == "READ" and not source.get("where"):
            found.append(f"sources.toml: {key} is said to be read, and not where")
    return found


def _room(root: Path) -> Path:
    return root / "src" / "turnrow" / "handbook"


def _sources(root: Path) -> dict[str, dict[str, str]]:
    return tomllib.loads((_room(root) / "sources.toml").read_text("utf-8"))


def test_every_table_row_has_a_source(root: Path, said: Callable[[list[str]], str]) -> None:
    tables = sorted((_room(root) / "tables").glob("*.csv"))
    assert tables
    faults = [f for path in tables for f in table_faults(path.name, path.read_text("utf-8"), _sources(root))]
    assert not faults, said(faults)


def test_every_rule_has_a_source_and_a_clause(root: Path, said: Callable[[list[str]], str]) -> None:
    rules = sorted((_room(root) / "rules").glob("*.toml"))
    assert rules
    faults = [f for path in rules for f in rule_faults(path.name, path.read_text("utf-8"), _sources(root))]
    assert not faults, said(faults)


def test_every_source_says_what_it_is_and_how_it_is_known(
    root: Path, said: Callable[[list[str]], str]
) -> None:
    faults = source_faults(_sources(root))
    assert not faults, said(faults)


def test_the_law_of_sources_bites() -> None:
    head = "key,quantity,value,low,high,unit,basis,source,where,read,note\n"
    assert table_faults("t.csv", head + "a,b,1,0,2,C,,s,,READ,\n", {"s": {}}) == []
    assert len(table_faults("t.csv", head + "a,b,1,0,2,C,,,,READ,\n", {"s": {}})) == 1
    assert len(table_faults("t.csv", head + "a,b,1,0,2,C,,t,,,\n", {"s": {}})) == 2
    assert len(table_faults("t.csv", head + "a,b,1,0,2,C,,s,,READ\n", {"s": {}})) == 1
    assert rule_faults("r.toml", 'sources = ["s"]\nknown = "READ"\nclause = "c"', {"s": {}}) == []
    assert len(rule_faults("r.toml", "id = 'R'", {"s": {}})) == 3
    assert len(rule_faults("r.toml", 'sources = ["t"]\nknown = "READ"\nclause = "c"', {"s": {}})) == 1
    assert len(source_faults({"s": {"title": "T", "where": "", "known": "READ"}})) == 1
    assert len(source_faults({"s": {"title": "", "where": "", "known": "GUESS"}})) == 2

"""Sizes of units stand in one table: no other module writes a foot, a pound, a gallon or an acre."""

import re
from collections.abc import Callable

TABLE = "yard/units.py"
SIZES = re.compile(
    r"\b(0\.3048|0\.4535\d*|0\.00045359\d*|0\.9071\d*|0\.7645\d*|3\.785411\d*|0\.003785411\d*|4_?046\.8\d*|28\.3168\d*)\b"
)


def faults_of(sources: dict[str, str]) -> list[str]:
    return [
        f"{name}: {found[0]}, take it from {TABLE}"
        for name, text in sources.items()
        if name != TABLE
        for found in SIZES.finditer(text)
    ]


def test_sizes_of_units_stand_in_one_table(sources: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = faults_of(sources)
    assert not faults, said(faults)


def test_the_law_of_one_table_bites() -> None:
    bad = {"a.py": "FOOT = 0.3048", "b.py": "T = 0.90718474", TABLE: "0.3048", "c.py": "x = 13.3048, 10.764"}
    assert [one.partition(":")[0] for one in faults_of(bad)] == ["a.py", "b.py"]

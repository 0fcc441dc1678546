"""Files from elsewhere are the ones that were looked at; colours keep their contrast."""

import hashlib
import re
from pathlib import Path

import pytest

import turnrow.web

STATIC = Path(turnrow.web.__file__).parent / "static"


@pytest.mark.parametrize("folder", ["vendor", "fonts"])
def test_every_file_from_elsewhere_has_its_sum_and_its_licence(folder: str) -> None:
    lines = (STATIC / folder / "SUMS").read_text("utf-8").splitlines()
    listed = {name: digest for digest, name in (line.split("  ") for line in lines)}
    there = {path.name for path in (STATIC / folder).iterdir()} - {"SUMS"}
    assert set(listed) == there
    for name, digest in listed.items():
        assert hashlib.sha256((STATIC / folder / name).read_bytes()).hexdigest() == digest, name
    assert any("LICENSE" in name for name in there)


def test_fonts_are_woff2() -> None:
    fonts = list((STATIC / "fonts").glob("*.woff2"))
    assert len(fonts) == 4
    assert all(path.read_bytes()[:4] == b"wOF2" for path in fonts)  # W3C WOFF 2.0, section 4


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, glossary)."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("scheme", [0, 1])
def test_text_stands_out_seven_to_one_and_edges_three_to_one(scheme: int) -> None:
    css = (STATIC / "page.css").read_text("utf-8")
    blocks = re.findall(r":root \{([^}]*--ink[^}]*)\}", css)
    tokens = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", blocks[scheme]))
    for text in ("ink", "quiet"):
        assert contrast(tokens[text], tokens["paper"]) >= 7
    assert contrast(tokens["edge"], tokens["paper"]) >= 3

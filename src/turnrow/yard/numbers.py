"""Numbers as typed: whole millionths of the unit typed, never a float.

A 12-bit temperature probe steps by 1/16 °C (54.9375), so thousandths would not hold what it said.
"""

import re

MICRO = 1_000_000
DECIMALS = 6
LARGEST = 1_000_000_000 * MICRO  # keeps nine-fold values inside 64 bits

_NUMBER = re.compile(r"([+-]?)(\d*)(?:\.(\d*))?")


def parse_micro(text: str, *, comma: bool = False) -> int:
    """Whole millionths of the number in `text`; with `comma` the decimal sign is a comma.

    Raises ValueError for anything that is not one plain decimal number, has more than six
    decimals, or is too large; thousands signs and exponents are never guessed at.
    """
    plain_text = text.strip().replace("\u2212", "-")
    if comma:
        if "." in plain_text:
            raise ValueError(f"{text!r} has a point where the decimal sign is a comma")
        plain_text = plain_text.replace(",", ".")
    found = _NUMBER.fullmatch(plain_text)
    if not found or not plain_text.isascii() or not (found[2] or found[3]):
        raise ValueError(f"{text!r} is not a plain decimal number")
    fraction = (found[3] or "").rstrip("0")
    if len(fraction) > DECIMALS:
        raise ValueError(f"{text!r} has more than {DECIMALS} decimals")
    size = int(found[2] or "0") * MICRO + int((fraction or "0").ljust(DECIMALS, "0"))
    if size > LARGEST:
        raise ValueError(f"{text!r} is larger than {LARGEST // MICRO}")
    return -size if found[1] == "-" else size


def plain(value: int, decimals: int | None = None) -> str:
    """The number as people write it: 54.9 for 54_900_000; `decimals` pads, and rounds half to even."""
    if decimals is not None:
        step = 10 ** (DECIMALS - decimals)
        whole, rest = divmod(abs(value), step)
        whole += rest * 2 > step or (rest * 2 == step and whole % 2 == 1)
        value = (whole if value >= 0 else -whole) * step
    size = abs(value)
    text = str(size // MICRO)
    fraction = f"{size % MICRO:06d}"
    fraction = fraction.rstrip("0") if decimals is None else fraction[:decimals]
    sign = "-" if value < 0 and (size // MICRO or fraction.strip("0")) else ""
    return f"{sign}{text}.{fraction}" if fraction else f"{sign}{text}"

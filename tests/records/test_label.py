"""What a label says of a bag, in both kinds of unit, by pencil from sizes by definition."""

import pytest

from turnrow.records.label import bag_words
from turnrow.yard.entries import Amount


@pytest.mark.parametrize(
    ("much", "unit", "said"),
    [
        (40, "L", "40 L (1.41 ft³)"),  # 40 / 28.316846592
        (1.5, "ft3", "1.5 ft³ (42.5 L)"),
        (1, "bu", "1 US bu (35.2 L)"),
        (20, "kg", "20 kg (44.1 lb)"),  # 20 / 0.45359237
        (50, "lb", "50 lb (22.7 kg)"),
    ],
)
def test_a_bag_in_both_kinds_of_unit(much: float, unit: str, said: str) -> None:
    assert bag_words(Amount(int(much * 1_000_000), unit)) == said

"""Growth tests of a lot, read: for its page and its paper."""

from collections.abc import Collection

from turnrow.handbook.quality import quality_figures
from turnrow.quality.bioassay import Grown, grown
from turnrow.yard import goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Line

GrownLine = tuple[Line, goods.GrowthTest, Grown]


def growth_tests(diary: Diary, lot: str, samples: Collection[str]) -> tuple[GrownLine, ...]:
    """Each growth test of a lot or of one of its samples, oldest first, and what it says."""
    return tuple(
        (line, what, grown(what, quality_figures()))
        for line, what in diary.all(goods.GrowthTest)
        if what.lot == lot or what.sample in samples
    )

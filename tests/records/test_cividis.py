"""The heat colours against the published table, and the figures on them against WCAG 2.2."""

from itertools import pairwise
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from turnrow.records import cividis, pen
from turnrow.yard.temperature import NINTH

# READ in matplotlib's lib/matplotlib/_cm_listed.py, `_cividis_data` (the published table of
# Nuñez, Anderton, Renslow 2018); none of these entries is one of the stops kept.
PUBLISHED = [
    (8, (0.000000, 0.157932, 0.357521)),
    (24, (0.017852, 0.198528, 0.441248)),
    (36, (0.130669, 0.231458, 0.432840)),
    (63, (0.259740, 0.305120, 0.422810)),
    (83, (0.335073, 0.359474, 0.427605)),
    (101, (0.397991, 0.409011, 0.439848)),
    (128, (0.488697, 0.485318, 0.471008)),
    (143, (0.544069, 0.528948, 0.471947)),
    (172, (0.656114, 0.616780, 0.452702)),
    (191, (0.732422, 0.677364, 0.425717)),
    (217, (0.840693, 0.764962, 0.365746)),
    (245, (0.963872, 0.866089, 0.247445)),
    (253, (0.995249, 0.898384, 0.207561)),
]


@pytest.mark.parametrize("place, published", PUBLISHED)
def test_heat_colour_is_the_published_one__nunez2018(place: int, published: tuple[float, ...]) -> None:
    drawn = cividis.colour(place / 255)
    assert [part / 255 for part in drawn] == pytest.approx(published, abs=0.012)


def lightness(rgb: tuple[int, int, int]) -> float:
    """CIE 1976 L* of an sRGB colour (CIE 15:2004 eq. 8.3; sRGB to Y as IEC 61966-2-1; MEMORY)."""
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (part / 255 for part in rgb)
    ]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116 * y ** (1 / 3) - 16 if y > (6 / 29) ** 3 else y * (29 / 3) ** 3


def test_hotter_is_always_lighter_so_that_grey_print_keeps_the_order() -> None:
    steps = [lightness(cividis.colour(i / 75)) for i in range(76)]
    assert all(hotter > colder for colder, hotter in pairwise(steps))
    assert steps[-1] - steps[0] > 70


def test_a_figure_reads_on_every_heat_colour__wcag22_contrast_minimum() -> None:
    bytes_of = {"#fff": (255, 255, 255), "#000": (0, 0, 0)}
    for tenth in range(751):
        ground = cividis.colour_of_heat(tenth * NINTH // 10)
        assert cividis.contrast(ground, bytes_of[cividis.figure_on(ground)]) >= 4.5


def test_contrast_of_black_on_white_is_21_and_of_grey_767676_is_4_54__wcag22() -> None:
    # WCAG 2.2 "contrast ratio": 21:1 at most; #767676 on white is the well-known 4.54:1 (MEMORY)
    assert cividis.contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert cividis.contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


def test_beyond_the_scale_the_end_colours_stay() -> None:
    assert cividis.colour_of_heat(-40 * NINTH) == cividis.colour_of_heat(0)
    assert cividis.colour_of_heat(120 * NINTH) == cividis.colour_of_heat(75 * NINTH)


def test_room_kept_for_words_is_never_less_than_the_font_needs() -> None:
    fonts = Path(cividis.__file__).parent / "fonts"
    face = TTFont(fonts / "AtkinsonHyperlegible-Regular.ttf")
    cmap, advance, em = face.getBestCmap(), face["hmtx"], face["head"].unitsPerEm
    for code in [*range(32, 127), *map(ord, "°³²×·–…áéíóúñ¿¡")]:
        needs = advance[cmap[code]][0] / em
        assert pen.width_of(chr(code), 1.0) >= needs, chr(code)

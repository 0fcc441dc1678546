"""The one saturated colour of the house: cividis, by temperature, with figures that read on it.

Even in lightness, so that it keeps its order when printed in grey, and alike to colour-blind eyes.
Source: J. R. Nuñez, C. R. Anderton, R. S. Renslow 2018, PLoS ONE 13(7) e0199239; values READ in
matplotlib's table `_cividis_data` (256 entries), of which 20 are kept and joined by straight lines
(within 0.012 of the full table on every channel).
"""

from itertools import pairwise

from turnrow.yard.temperature import NINTH

# place in the table of 256, then red, green, blue as published
STOPS: tuple[tuple[int, float, float, float], ...] = (
    (0, 0.000000, 0.135112, 0.304751),
    (15, 0.000000, 0.176082, 0.407577),
    (21, 0.000000, 0.190950, 0.441085),
    (30, 0.087465, 0.214879, 0.437342),
    (45, 0.180503, 0.256180, 0.427299),
    (60, 0.247605, 0.296986, 0.422917),
    (75, 0.305886, 0.337681, 0.424512),
    (90, 0.359916, 0.378641, 0.431501),
    (105, 0.411607, 0.420145, 0.443577),
    (120, 0.461616, 0.462405, 0.461969),
    (135, 0.514226, 0.505546, 0.472640),
    (150, 0.570607, 0.549695, 0.469593),
    (165, 0.628576, 0.595104, 0.459641),
    (180, 0.687957, 0.641966, 0.442886),
    (195, 0.748772, 0.690470, 0.418448),
    (210, 0.811054, 0.740801, 0.385198),
    (225, 0.875057, 0.793125, 0.339685),
    (240, 0.941147, 0.847530, 0.275815),
    (251, 0.992218, 0.888385, 0.205468),
    (255, 0.995737, 0.909344, 0.217772),
)
COLDEST_C, HOTTEST_C = 0, 75  # the ends of the scale, the same on every picture

Colour = tuple[int, int, int]


def colour(share: float) -> Colour:
    """The map's colour at `share` 0..1 (held at the ends), as bytes of sRGB."""
    place = min(max(share, 0.0), 1.0) * 255
    for low, high in pairwise(STOPS):
        if place <= high[0]:
            part = (place - low[0]) / (high[0] - low[0])
            red, green, blue = (
                round(255 * (a + part * (b - a))) for a, b in zip(low[1:], high[1:], strict=True)
            )
            return red, green, blue
    raise ValueError(f"share {share}, want a number")


def colour_of_heat(heat: int) -> Colour:
    """The colour of a temperature [ninths of a millionth of a degree Celsius]."""
    return colour((heat / NINTH - COLDEST_C) / (HOTTEST_C - COLDEST_C))


def web(rgb: Colour) -> str:
    return "#{:02x}{:02x}{:02x}".format(*rgb)


def luminance(rgb: Colour) -> float:
    """Relative luminance 0..1 of an sRGB colour.

        Y = 0.2126 R + 0.7152 G + 0.0722 B      R, G, B linear: (c + 0.055)/1.055 to the power 2.4

    Source: WCAG 2.2, "relative luminance" (threshold 0.04045 as in IEC 61966-2-1).
    """
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (c / 255 for c in rgb)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Contrast 1..21 of two colours: (lighter + 0.05) / (darker + 0.05). Source: WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def figure_on(ground: Colour) -> str:
    """White or black, whichever stands out more on `ground`; never below 4.5."""
    white = contrast(ground, (255, 255, 255)) >= contrast(ground, (0, 0, 0))
    return "#fff" if white else "#000"

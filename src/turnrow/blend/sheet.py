"""All checks of one material's values at once: a table row, a lab sheet, or what somebody typed."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.blend import slips
from turnrow.blend.basis import per_dry
from turnrow.blend.carbon import AGREE, carbon_check, carbon_given_check
from turnrow.blend.notices import Notice
from turnrow.handbook.feedstocks import Feedstock
from turnrow.yard.wrongs import Refusal

WIDER = 0.25  # of its ends: how far outside the handbook's range a number may lie unasked (OWN)
WORDS = {"moisture": "moisture", "n": "nitrogen", "cn": "C:N", "density": "density", "c": "carbon"}
HOLDS = {  # what any feedstock has, in the unit of the sheet: OWN
    "moisture": (1.0, 99.0),
    "n": (0.02, 17.0),
    "c": (1.0, 100.0),  # too much of it is refused on its own
    "cn": (2.0, 1500.0),
    "organic": (5.0, 100.0),
    "density": (slips.LIGHTEST, slips.HEAVIEST),
}


@dataclass(frozen=True)
class Sheet:
    """Values as a sheet has them: percentages, C:N, density in kg/m3; None: not given.

    n_pct, c_pct, organic_pct are per dry mass, or per mass `as_received`; moisture is on the wet basis.
    """

    moisture_pct: float | None = None
    n_pct: float | None = None
    c_pct: float | None = None
    cn: float | None = None
    organic_pct: float | None = None
    density_kg_m3: float | None = None
    as_received: bool = False


def check_sheet(
    where: str, sheet: Sheet, feedstock: Feedstock | None = None
) -> tuple[tuple[Refusal, ...], tuple[Notice, ...]]:
    """Every refusal and every notice on one material.

    Refused: more carbon than anything holds; nitrogen, carbon and C:N that contradict one another; shares
    as received without the moisture that turns them. Noticed: too little or rather much carbon, and slips
    of unit or decimal point, against the handbook's ranges of `feedstock` where given. Values are taken to
    be numbers above 0 already; their own bounds are for who reads the file.
    """
    refusals: list[Refusal] = []
    notices = _slips(where, sheet, feedstock)
    turn = _turn(sheet)
    if turn is None:
        do = "Give moisture_pct too: shares as received are turned to dry mass with it."
        return (Refusal(where, "shares as received without a moisture", do),), tuple(notices)
    n = None if sheet.n_pct is None else sheet.n_pct / 100 * turn
    c = None if sheet.c_pct is None else sheet.c_pct / 100 * turn
    if n is not None and c is not None and sheet.cn is not None and abs(c / (n * sheet.cn) - 1) > AGREE:
        got = f"N {100 * n:.3g} %, C {100 * c:.3g} % and C:N {sheet.cn:g}, where C/N is {c / n:.3g}"
        refusals.append(Refusal(where, got, "Give two of the three; the third follows from them."))
    found = (
        carbon_given_check(where, c)
        if c is not None
        else (carbon_check(where, n, sheet.cn) if n is not None and sheet.cn is not None else None)
    )
    if isinstance(found, Refusal):
        refusals.append(found)
    elif found is not None:
        notices.append(found)
    return tuple(refusals), tuple(notices)


def far_from_table(where: str, values: Mapping[str, float], feedstock: Feedstock) -> list[Notice]:
    """Values (percent of wet mass for moisture, of dry mass for n; cn; density in kg/m3) that lie far from
    the handbook's range, with what was likely meant. Words for `where` follow each quantity's."""
    found = []
    for quantity, value in values.items():
        figure = feedstock.figure(quantity)
        if figure is None or figure.low is None or figure.high is None:
            continue
        low, high = figure.low * (1 - WIDER), figure.high * (1 + WIDER)
        notice = _slip(quantity, f"{where}, {WORDS[quantity]}", value, (low, high))
        if notice is not None:
            found.append(notice)
    return found


def _turn(sheet: Sheet) -> float | None:
    """What turns a share of the sheet into one per dry mass; None without the moisture it takes."""
    if not sheet.as_received:
        return 1.0
    if sheet.moisture_pct is None or not 0 <= sheet.moisture_pct < 100:
        return None
    return per_dry(1.0, sheet.moisture_pct / 100)


def _slips(where: str, sheet: Sheet, feedstock: Feedstock | None) -> list[Notice]:
    """At most one notice a quantity: by the feedstock's own range if a factor explains it, else by what
    any feedstock has."""
    found = []
    for quantity, name, value in (
        ("moisture", "moisture_pct", sheet.moisture_pct),
        ("n", "n_pct", sheet.n_pct),
        ("c", "c_pct", sheet.c_pct),
        ("cn", "cn", sheet.cn),
        ("organic", "organic_pct", sheet.organic_pct),
        ("density", "density_kg_m3", sheet.density_kg_m3),
    ):
        if value is None:
            continue
        place = f"{where}, {name}"
        figure = feedstock.figure(quantity) if feedstock else None
        own = None
        comparable = quantity in ("cn", "density", "moisture") or not sheet.as_received
        if figure and figure.low is not None and figure.high is not None and comparable:
            own = _slip(quantity, place, value, (figure.low, figure.high))
        notice = own if own and own.likely is not None else _slip(quantity, place, value, HOLDS[quantity])
        if notice:
            found.append(notice)
    return found


def _slip(quantity: str, place: str, value: float, holds: tuple[float, float]) -> Notice | None:
    if quantity == "density":
        return slips.density_slip(place, value, *holds)
    return (
        slips.cn_slip(place, value, *holds) if quantity == "cn" else slips.percent_slip(place, value, *holds)
    )

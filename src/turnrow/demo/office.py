"""What happens beside the rows: weather, probes, reviews, loads sent away, a complaint, an incident."""

from turnrow.demo import cast
from turnrow.demo.air import Air
from turnrow.demo.cast import amount
from turnrow.demo.pen import Pen
from turnrow.demo.plans import COMPLAINT, STORM
from turnrow.demo.work import Deed
from turnrow.yard import entries
from turnrow.yard.entries import What


def opening() -> list[Deed]:
    """The book's first lines: the yard, its rule, its own settings."""
    laid = entries.YardLaidOut(cast.NAME, cast.ZONE, cast.PLACE, invented=True)
    rule = entries.RuleChosen("US-503-PFRP-WINDROW", policies={"continuity": "consecutive"})
    wind = entries.SettingChosen("wind_stop", amount(10, "m/s"), "the lane runs along the fence")
    told = entries.Note("Invented for demonstration: no such farm, no such people, no such readings.")
    first: tuple[What, ...] = (laid, told, rule, wind)
    return [Deed(7.0 + n / 20, cast.MANAGER, what) for n, what in enumerate(first)]


def rules(row: str) -> list[Deed]:
    """The rows that work to a rule of their own, said on the day they are built."""
    other = {
        "R31": entries.RuleChosen("US-NOP-WINDROW", "R31", facts={"cn_initial": "28"}),
        "H1": entries.RuleChosen("US-503-PFRP-STATIC", "H1"),
        "H2": entries.RuleChosen("US-503-PFRP-STATIC", "H2"),
        "S1": entries.RuleChosen("US-NOP5021-MANAGED", "S1"),
        "W1": entries.RuleChosen(
            "US-NOP5021-VERMI", "W1", policies={"vermi": "taskforce_2002"}, facts={"system": "angled_wedge"}
        ),
    }
    return [Deed(14.5, cast.MANAGER, other[row])] if row in other else []


def weather(air: Air, day: int) -> entries.Weather:
    """The morning line; rain is what fell the day before."""
    fell = air.rain_mm[day - 1] if day else 0.0
    return entries.Weather(
        air=amount(round(air.at(day * 24 + 6), 1), "C"),
        rain=amount(fell, "mm"),
        wind=amount(air.wind_m_s[day], "m/s"),
        wind_from=air.wind_from[day],
    )


def beside(ago: int, day: int, pen: Pen) -> list[Deed]:
    """The office's own lines on a day, `ago` days before the end."""
    out: list[Deed] = []
    if day % 28 == 1 and ago > 20:
        for place, probe in enumerate(cast.PROBES):
            cold, off = (32.0, 0.2) if probe.unit == "F" else (0.0, 0.1)
            if probe is cast.FAHRENHEIT and ago < 60:
                continue  # the trainee's probe was forgotten
            out.append(
                Deed(
                    16.0 + place / 10,
                    cast.HAND,
                    entries.ProbeChecked(
                        probe.name, amount(cold, probe.unit), amount(cold + off, probe.unit)
                    ),
                )
            )
    if ago % 7 == 4:
        out += [
            Deed(17.0 + place / 30, cast.MANAGER, entries.Reviewed(row, upto))
            for place, (row, upto) in enumerate(sorted(pen.unread.items()))
        ]
    return out + [deed for at, deed in _told() if at == ago]


def _told() -> tuple[tuple[int, Deed], ...]:
    """Single lines, by days before the end."""
    refused = "plastic twine and feed bags all through it"
    return (
        (
            150,
            Deed(
                10.0,
                cast.OFFICE,
                entries.LoadIn("X-1", cast.HAY, amount(5, "yd3"), "judged", "a neighbour", refused),
            ),
        ),
        (
            COMPLAINT,
            Deed(
                16.2,
                cast.OFFICE,
                entries.Complaint(
                    "sour smell at the road after turning",
                    "a passer-by",
                    "S, 4 m/s",
                    "no turning in a south wind; the row capped with overs",
                ),
            ),
        ),
        (
            40,
            Deed(
                12.0, cast.OFFICE, entries.LoadIn("X-2", cast.POMACE, amount(7, "m3"), "counted", "own press")
            ),
        ),
        (STORM, Deed(8.2, cast.MANAGER, entries.Note("Storm in the night, near pad under water till noon."))),
        (STORM - 1, Deed(15.0, cast.HAND, entries.Covered("S1", "breathing fleece"))),
        (STORM - 4, Deed(15.0, cast.HAND, entries.Covered("S1", "breathing fleece", taken_off=True))),
        (
            11,
            Deed(9.4, cast.HAND, entries.Note("Steam at the south end, smells of earth, no ammonia.", "R30")),
        ),
        (5, Deed(10.4, cast.HAND, entries.Measured("R36", "moisture", amount(34, "%"), how="oven"))),
        (
            8,
            Deed(
                10.6,
                cast.OFFICE,
                entries.Measured("R36", "C:N", amount(46, "ratio"), how="reckoned from the loads"),
            ),
        ),
        (6, Deed(10.0, cast.HAND, entries.Measured("R33", "height", amount(1.2, "m")))),
        (5, Deed(10.2, cast.HAND, entries.Measured("S1", "oxygen", amount(9, "%"), "2", 600, "gas probe"))),
    )

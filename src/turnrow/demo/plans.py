"""What is meant to happen to each row; ages and days are counted so that the story fits any `end`."""

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from turnrow.demo.cast import DIAL, FAHRENHEIT, Probe
from turnrow.yard.numbers import MICRO

SEASON_DAYS = 252
TURNS = (4, 7, 10, 13, 16, 20, 27)  # ages in days
CURE = 32
STEADY = (1.0, 0.985, 0.97)

STORM = 20  # days before the end
OFFLINE = (33, 31)  # first and last day the second phone had no signal; it sent on the day after
READ_TODAY = (
    "R31",
    "R34",
    "R35",
    "R36",
    "R37",
    "R38",
    "H2",
)  # on the last morning; the rest of the walk is ahead
GALE = 9  # days before the end: too windy to turn
CREW_AWAY = 44  # a Saturday is looked for from this many days before the end
COMPLAINT = 58
SHEET_DAYS = (44, 32, 30, 16, 9, 2, 1)  # mornings a day sheet was issued, days before the end


@dataclass(frozen=True)
class RowPlan:
    """One row of the story.

    built    days before the end; ages below are days since it was built
    shares   one a station, of the heat above the surroundings
    forced   (age, station) -> the number typed, millionths of the probe's unit
    copied   (first age, last age): station 2's number stands at station 3 too
    dead     (age, station): the probe shows its error code
    """

    name: str
    built: int
    shares: tuple[float, ...] = STEADY
    peak: float = 63.0
    food: float = 1.0
    moisture: float = 0.58
    cn: float = 24.0
    airy: float = 1.0  # how openly it lies, against the usual
    turns: tuple[int, ...] = TURNS
    cure: int | None = CURE
    process: Literal["turned", "static", "slow", "worm"] = "turned"
    sheltered: bool = False
    dry_hose: bool = False  # nobody waters it
    probe: Probe = DIAL
    missed: frozenset[int] = frozenset()
    weekend: bool = False  # the rounds of one Saturday and Sunday were missed
    forced: dict[tuple[int, str], int] = field(default_factory=dict)
    copied: tuple[int, int] | None = None
    dead: tuple[int, str] | None = None
    logger: bool = False
    squeezes: dict[int, int] = field(default_factory=dict)  # age -> score; others follow the moisture
    rounds_end: int | None = None  # age of the last round, where it is not read to the end

    @property
    def stations(self) -> tuple[str, ...]:
        return tuple(str(number) for number in range(1, len(self.shares) + 1))


@dataclass(frozen=True)
class Join:
    """`sources` are pushed into `row`, so many days before the end."""

    ago: int
    row: str
    sources: tuple[str, ...]


LIFTED = {"R4": 118, "R8": 86, "R8b": 86, "R16": 34}  # rows that became lots whole, days before the end


def plans() -> tuple[RowPlan, ...]:
    """Every row of the season, oldest first."""
    early = [RowPlan(f"R{n}", SEASON_DAYS - 2 - 8 * (n - 1)) for n in range(1, 24)]
    late_ages = (66, 60, 55, 51, 46, 42, 38, 34, 30, 26, 22, 18, 14, 10, 6, 3)
    late = [RowPlan(f"R{n}", age) for n, age in enumerate(late_ages, 24)]
    rows = {row.name: row for row in (*early, *late)}
    for name, change in _named().items():
        rows[name] = replace(rows[name], **change)
    return tuple(sorted((*rows.values(), *_others()), key=lambda row: -row.built))


def joins() -> tuple[Join, ...]:
    """Cured rows pushed together, and the raw one that spoiled a proven one."""
    stacks = [
        Join(128, "R4", ("R1", "R2", "R3", "R4")),
        Join(98, "R8", ("R5", "R6", "R7", "R8")),
        Join(64, "R12", ("R9", "R10", "R11", "R12")),
        Join(36, "R16", ("R13", "R14", "R15", "R16")),
        Join(12, "R19", ("R17", "R18", "R19")),
    ]
    return (*stacks, Join(5, "R23", ("R23", "R32")))


def _named() -> dict[str, dict[str, Any]]:
    """The rows with a trouble to look at; docs/demo.md lists them in the same order."""
    c = MICRO
    return {
        "R20": {"peak": 64.5, "forced": {(9, "2"): 72 * c}, "turns": (4, 7, 9, 12, 15, 18, 24)},
        "R22": {"forced": {(11, "2"): 156 * c}},
        "R24": {"turns": (5, 9, 13, 17), "cure": 24},
        "R25": {"dead": (12, "2"), "turns": (4, 7, 10, 14, 18, 22, 26), "cure": 30},
        "R26": {"missed": frozenset({11}), "rounds_end": 19, "cure": 20, "turns": (4, 7, 10, 13, 16)},
        "R27": {"weekend": True, "rounds_end": 20, "cure": 21, "turns": (4, 6, 9, 12, 15, 17)},
        "R28": {"copied": (8, 20)},
        "R29": {
            "probe": FAHRENHEIT,
            "forced": {(11, "3"): 130 * c + 8 * c // 10},
            "rounds_end": 19,
            "cure": 20,
            "turns": (4, 7, 10, 13, 16),
        },
        "R30": {"shares": (1.0, 0.985, 0.975, 0.76)},
        "R31": {
            "turns": (1, 5, 8, 11, 14, 17, 22),
            "moisture": 0.61,
            "airy": 1.5,
            "dry_hose": True,
            "cure": None,
        },
        "R32": {"peak": 47.0, "food": 0.4, "turns": (6, 14), "cure": None},
        "R33": {"logger": True, "turns": (4, 7, 11, 14, 18, 21), "cure": None},
        "R34": {
            "dry_hose": True,
            "moisture": 0.44,
            "airy": 1.3,
            "turns": (5, 9, 14, 18),
            "squeezes": {21: 1},
        },
        "R35": {"peak": 65.0, "turns": (3, 6, 10, 13), "forced": {(18, "3"): 67 * c}, "cure": None},
        "R36": {
            "peak": 33.0,
            "food": 0.5,
            "cn": 46.0,
            "moisture": 0.36,
            "dry_hose": True,
            "turns": (8,),
            "cure": None,
        },
        "R37": {"turns": (4, 7), "forced": {(10, "2"): 71 * c + c // 2}, "cure": None, "peak": 64.5},
        "R38": {
            "moisture": 0.69,
            "turns": (4,),
            "squeezes": {5: 5},
            "cure": None,
            "shares": (1.0, 0.98, 0.96),
        },
        "R39": {"turns": (), "cure": None},
    }


def _others() -> tuple[RowPlan, ...]:
    """The unturned ones."""
    return (
        RowPlan("H1", 75, (1.0, 0.98, 0.96), peak=62.0, turns=(), cure=30, process="static", sheltered=True),
        RowPlan(
            "H2",
            9,
            (1.0, 0.98, 0.96),
            turns=(),
            cure=None,
            process="static",
            sheltered=True,
            forced={(9, "2"): 67 * MICRO},
        ),
        RowPlan(
            "S1",
            140,
            (1.0, 0.9, 0.8),
            peak=53.0,
            food=0.7,
            moisture=0.66,
            turns=(),
            cure=22,
            process="slow",
        ),
        RowPlan(
            "W1",
            96,
            (1.0, 1.0),
            peak=24.0,
            food=0.3,
            moisture=0.7,
            turns=(),
            cure=1,
            process="worm",
            sheltered=True,
        ),
    )

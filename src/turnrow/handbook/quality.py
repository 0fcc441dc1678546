"""What a lot is held against: limit sets, maturity schemes, sampling plans, uses of what counts as raw."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Literal

from turnrow.handbook.analytes import analytes, exact
from turnrow.handbook.csv_rows import rows_of

Op = Literal["<", "<=", ">", ">="]
OPS: dict[str, Op] = {"<": "<", "<=": "<=", ">": ">", ">=": ">="}


@dataclass(frozen=True)
class LotLimit:
    """One limit as its text gives it.

    how    each | month (mean of a month's results) | last 4 (mean of the last so many) | 5 samples
    any    limits of one set with the same word here stand for one another: one met is enough
    """

    analyte: str
    op: Op
    value: Fraction
    unit: str
    basis: str
    how: str
    any: str
    since: date | None
    until: date | None
    source: str
    known: str
    note: str


@dataclass(frozen=True)
class LimitSet:
    """`words` say what it holds; `known` MEMORY is said wherever a verdict under it stands.

    goes_with  beginnings of the ids of the rules whose compost it is known to bind, "*" all: what fails it
               there stops a lot also where the yard did not choose it
    """

    id: str
    name: str
    jurisdiction: str
    status: str
    clause: str
    words: str
    source: str
    known: str
    note: str
    limits: tuple[LotLimit, ...]
    goes_with: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """One class of a scheme's ladder, best first; without `op` it takes what is left.

    edge  "both" where published tables overlap, so that the edge belongs to this class and the next
    """

    word: str
    rank: int
    op: Op | None
    value: Fraction
    edge: str
    source: str
    known: str
    note: str


@dataclass(frozen=True)
class Ladder:
    """The classes one scheme has for one analyte.

    part  "" the scheme's only test; all: needed; one of: any will do; A, B: one of each
    """

    analyte: str
    part: str
    unit: str
    basis: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Scheme:
    name: str
    ladders: tuple[Ladder, ...]

    @property
    def known(self) -> str:
        read = all(step.known == "READ" for ladder in self.ladders for step in ladder.steps)
        return "READ" if read else "MEMORY"


@dataclass(frozen=True)
class PlanRow:
    """One line of a sampling plan.

    asks    apart (so many `unit` between samples) | a year | each begun | sub-samples | sample mass |
            before removal | germ hours
    number  of months, days, samples ...; for "each begun" the amount in `unit`
    op      when the amount made in 365 days is so, in `above_unit`; None: always
    """

    asks: str
    number: Fraction
    unit: str
    op: Op | None
    above: Fraction
    above_unit: str
    source: str
    known: str
    note: str


@dataclass(frozen=True)
class SamplingPlan:
    name: str
    rows: tuple[PlanRow, ...]

    @property
    def known(self) -> str:
        return "READ" if all(row.known == "READ" for row in self.rows) else "MEMORY"


@dataclass(frozen=True)
class Said:
    """A sentence that goes with a lot which counts as raw; `place` "any" or whose rule it is."""

    place: str
    words: str
    source: str
    known: str


@dataclass(frozen=True)
class Yearly:
    """kg of a metal a hectare in 365 days."""

    value: Fraction
    source: str
    known: str


@dataclass(frozen=True)
class Statement:
    clause: str
    words: str
    source: str
    known: str


@cache
def limit_sets() -> Mapping[str, LimitSet]:
    """By id. ValueError for a limit on something the handbook does not know."""
    limits: dict[str, list[LotLimit]] = {}
    for row in rows_of("lot_limits.csv"):
        if row["analyte"] not in analytes():
            raise ValueError(f"lot_limits.csv: {row['analyte']} is not in analytes.csv")
        limits.setdefault(row["set"], []).append(
            LotLimit(
                analyte=row["analyte"],
                op=OPS[row["op"]],
                value=exact(row["value"]),
                unit=row["unit"],
                basis=row["basis"],
                how=row["how"],
                any=row["any"],
                since=_day(row["from"]),
                until=_day(row["to"]),
                source=row["source"],
                known=row["read"],
                note=row["note"],
            )
        )
    found = {
        row["set"]: LimitSet(
            row["set"],
            row["name"],
            row["jurisdiction"],
            row["status"],
            row["clause"],
            row["words"],
            row["source"],
            row["read"],
            row["note"],
            tuple(limits.get(row["set"], ())),
            tuple(row["for"].split()),
        )
        for row in rows_of("limit_sets.csv")
    }
    alone = set(limits) - set(found)
    if alone:
        raise ValueError(f"lot_limits.csv: {', '.join(sorted(alone))} not in limit_sets.csv")
    return found


@cache
def schemes() -> Mapping[str, Scheme]:
    """Stability and maturity schemes by name, each with its own words; none is turned into another."""
    steps: dict[tuple[str, str, str, str, str], list[Step]] = {}
    for row in rows_of("maturity.csv"):
        key = (row["scheme"], row["part"], row["analyte"], row["unit"], row["basis"])
        op = OPS[row["op"]] if row["op"] else None
        value = exact(row["value"] or "0")
        steps.setdefault(key, []).append(
            Step(
                row["class"],
                int(row["rank"]),
                op,
                value,
                row["edge"],
                row["source"],
                row["read"],
                row["note"],
            )
        )
    found: dict[str, list[Ladder]] = {}
    for (scheme, part, analyte, unit, basis), classes in steps.items():
        found.setdefault(scheme, []).append(Ladder(analyte, part, unit, basis, tuple(classes)))
    return {name: Scheme(name, tuple(ladders)) for name, ladders in found.items()}


@cache
def sampling_plans() -> Mapping[str, SamplingPlan]:
    """By name; the rows of "any" stand in where a plan says nothing of sub-samples or mass."""
    rows: dict[str, list[PlanRow]] = {}
    for row in rows_of("sampling.csv"):
        rows.setdefault(row["plan"], []).append(
            PlanRow(
                row["asks"],
                exact(row["number"]),
                row["unit"],
                OPS[row["op"]] if row["op"] else None,
                exact(row["above"] or "0"),
                row["above_unit"],
                row["source"],
                row["read"],
                row["note"],
            )
        )
    return {name: SamplingPlan(name, tuple(each)) for name, each in rows.items()}


@cache
def raw_use() -> tuple[Said, ...]:
    """What may be done with a lot that counts as raw, sentence by sentence."""
    return tuple(
        Said(
            row["place"],
            row["words"].format(value=row["value"], unit=row["unit"]),
            row["source"],
            row["read"],
        )
        for row in rows_of("raw_use.csv")
    )


def sets_known_for(rules: Iterable[str]) -> tuple[LimitSet, ...]:
    """The limit sets that go with any of these rules, by the ids of the rules."""
    named = tuple(rules)
    return tuple(
        one
        for one in limit_sets().values()
        if any(
            start == "*" or rule.upper().startswith(start.upper())
            for start in one.goes_with
            for rule in (*named, "")
        )
    )


@cache
def yearly_metals() -> Mapping[str, Yearly]:
    """The most of each metal that ground may get in 365 days, by metal (40 CFR 503.13 Table 4)."""
    return {
        row["metal"]: Yearly(exact(row["value"]), row["source"], row["read"])
        for row in rows_of("yearly_metals.csv")
    }


@cache
def statements() -> Mapping[str, Statement]:
    """Statements that a text asks a named person to sign, by key."""
    return {
        row["key"]: Statement(row["clause"], row["words"], row["source"], row["read"])
        for row in rows_of("statements.csv")
    }


@cache
def herbicide_inputs() -> Mapping[str, str]:
    """Word in a material's name -> why it may carry herbicide that lasts through composting."""
    return {row["words"]: row["why"] for row in rows_of("herbicide_inputs.csv")}


@cache
def made_inputs() -> Mapping[str, str]:
    """Word in a material's name -> why it is itself made of something."""
    return {row["words"]: row["why"] for row in rows_of("made_inputs.csv")}


@cache
def raw_days() -> Mapping[bool, int]:
    """Days from working raw material into the soil to harvest, by whether what is eaten touches soil."""
    waits = sorted(int(row["value"]) for row in rows_of("raw_use.csv") if row["unit"] == "days")
    return {False: waits[0], True: waits[-1]}


@cache
def quality_figures() -> Mapping[str, Fraction]:
    """The room's own figures by key (`tables/quality.csv`), exact."""
    return {row["key"]: exact(row["value"]) for row in rows_of("quality.csv")}


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None

"""What the API takes and gives, as its OpenAPI says it."""

from datetime import date, datetime
from typing import Annotated, Any

import msgspec
from pydantic import BaseModel, ConfigDict, Field, JsonValue

from turnrow.foreman.morning import Today
from turnrow.gate.forms import FORMS
from turnrow.records.verdict import beside_words
from turnrow.sanitation.standing import RowStanding, Standing
from turnrow.yard.entries import Advice, Line
from turnrow.yard.history import History

KINDS: list[JsonValue] = [*FORMS]
LINES_MOST = 500  # lines in one answer

Text = Annotated[str, Field(max_length=4_000)]


class EntryIn(BaseModel):
    """One thing that happened, as a form would send it."""

    model_config = ConfigDict(extra="forbid")

    kind: Annotated[
        str, Field(max_length=40, json_schema_extra={"enum": KINDS}, description='"turned", "row built" ...')
    ]
    fields: Annotated[
        dict[str, Text], Field(description='As typed: {"row": "R7", "water": "500 L"}; see docs/entries.md')
    ]
    who: Annotated[str, Field(min_length=1, max_length=60)]
    id: Annotated[
        str, Field(max_length=80, description="Made where the entry was made; sent twice, written once")
    ] = ""
    device: Annotated[str, Field(max_length=60)] = ""
    happened: Annotated[str, Field(max_length=40, description="ISO date-time with offset; empty: now")] = ""


class RefusalOut(BaseModel):
    where: str
    got: str
    do: str


class Refusals(BaseModel):
    """Everything that was wrong; nothing was written."""

    refusals: list[RefusalOut]


class Detail(BaseModel):
    detail: str


class Damaged(BaseModel):
    """The journal is damaged, or another program holds it."""

    damaged: dict[str, Any] = {}
    refusals: list[RefusalOut] = []


class LineOut(BaseModel):
    number: int
    written: datetime
    seal: str
    struck: bool
    entry: dict[str, Any]

    @classmethod
    def of(cls, line: Line, struck: bool) -> "LineOut":
        return cls(
            number=line.number,
            written=line.written,
            seal=line.seal,
            struck=struck,
            entry=msgspec.to_builtins(line.entry),
        )


class ReceiptOut(BaseModel):
    """Lines written now, and the numbers of those that were there already."""

    lines: list[LineOut]
    known: list[int]


class LinesOut(BaseModel):
    """Lines after the number asked for; `head` is the newest there is."""

    lines: list[LineOut]
    head: int


class StandingOut(BaseModel):
    rule: str
    verdict: str
    beside: list[str]
    policies: dict[str, str]
    hot_days: int
    days_needed: int
    longest_run_days: int
    hot_hours: float
    turns_counted: int
    turns_needed: int
    short_of: list[str]
    because: list[str]
    lines: list[int]

    @classmethod
    def of(cls, standing: Standing) -> "StandingOut":
        return cls(
            rule=standing.rule,
            verdict=standing.state,
            beside=list(beside_words(standing.beside)),
            policies=standing.policies,
            hot_days=standing.hot_days,
            days_needed=standing.days_needed,
            longest_run_days=standing.longest_run_days,
            hot_hours=standing.hot_hours,
            turns_counted=standing.turns_counted,
            turns_needed=standing.turns_needed,
            short_of=list(standing.short_of),
            because=list(standing.because),
            lines=list(standing.lines),
        )


class SuspectOut(BaseModel):
    station: str
    check: str
    sentence: str
    fault: bool


class RowShort(BaseModel):
    name: str
    verdict: str
    rule: str
    hot_days: int
    days_needed: int
    turns_counted: int
    turns_needed: int
    last_line: int


class RowsOut(BaseModel):
    rows: list[RowShort]


class RowOut(BaseModel):
    name: str
    stations: list[str]
    readings: int
    turns: int
    curing: bool
    merged_into: str
    last_line: int
    standing: StandingOut
    without_suspects: StandingOut | None
    suspects: list[SuspectOut]
    since: int

    @classmethod
    def of(cls, history: History, stood: RowStanding) -> "RowOut":
        without = stood.without_suspects
        return cls(
            name=history.row,
            stations=list(history.stations),
            readings=len(history.readings),
            turns=len(history.turns),
            curing=history.curing is not None,
            merged_into=history.merged_into[1] if history.merged_into else "",
            last_line=history.last_line,
            standing=StandingOut.of(stood.standing),
            without_suspects=StandingOut.of(without) if without else None,
            suspects=[
                SuspectOut(station=one.station, check=one.check, sentence=one.sentence, fault=one.fault)
                for one in stood.suspects
            ],
            since=stood.since,
        )


class AdviceOut(BaseModel):
    key: str
    row: str
    job: str
    text: str
    why: str
    because: list[int]
    urgent: bool
    rule: str

    @classmethod
    def of(cls, one: Advice) -> "AdviceOut":
        return cls(
            key=one.key,
            row=one.row,
            job=one.job,
            text=one.text,
            why=one.why,
            because=list(one.because),
            urgent=one.urgent,
            rule=one.rule,
        )


class SinceOut(BaseModel):
    """What changed since the sheet was issued."""

    new: list[AdviceOut]
    changed: list[AdviceOut]
    gone: list[AdviceOut]


class TodayOut(BaseModel):
    """`sheet` is the line of the day's sheet, 0 before it is issued; done and put_off: key -> line."""

    day: date
    advice: list[AdviceOut]
    sheet: int
    since: SinceOut | None
    done: dict[str, int]
    put_off: dict[str, int]

    @classmethod
    def of(cls, today: Today) -> "TodayOut":
        since = today.since
        return cls(
            day=today.day,
            advice=[AdviceOut.of(one) for one in today.advice],
            sheet=today.sheet.number if today.sheet else 0,
            since=SinceOut(
                new=[AdviceOut.of(one) for one in since.new],
                changed=[AdviceOut.of(one.after) for one in since.changed],
                gone=[AdviceOut.of(one) for one in since.gone],
            )
            if since
            else None,
            done={key: line.number for key, line in today.done.items()},
            put_off={key: line.number for key, line in today.put_off.items()},
        )


class FaultOut(BaseModel):
    line: int
    check: str
    what: str


class VerifyOut(BaseModel):
    ok: bool
    lines: int
    head: str
    faults: list[FaultOut]

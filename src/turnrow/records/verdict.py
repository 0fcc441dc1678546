"""A standing said so that nobody needs the code for it."""

from collections.abc import Iterable

import numpy as np
from msgspec import Struct

from turnrow.sanitation.standing import Said, Standing

VERDICTS = {
    "PASS": ("Proven hot", "The record shows all the rule asks for."),
    "FAIL": ("Not proven hot", "The record shows that the rule is not met."),
    "NOT_PROVEN": (
        "Not proven",
        "Something the rule asks for was not shown; silence is neither hot nor cold.",
    ),
    "REVIEW": (
        "For a person to decide",
        "The text leaves this to whoever it names; the record cannot settle it.",
    ),
}

YET = {  # of a row that is still being proven and can still meet its rule
    "FAIL": "The rule is not met yet; what it is short of is still needed.",
    "NOT_PROVEN": "Something the rule asks for was not shown so far; silence is neither hot nor cold.",
}
STATES = {state: word for state, (word, _) in VERDICTS.items()} | {"IN_PROGRESS": "In progress"}

Pair = tuple[str, str]


def beside_words(beside: Iterable[Said]) -> tuple[str, ...]:
    """What stands beside a verdict wherever it goes, as every page, paper and command says it."""
    return tuple(
        f"{said.removesuffix('.')} ({'line' if len(lines) == 1 else 'lines'} {few_lines(lines)})."
        if lines
        else said
        for said, lines in beside
    )


class Verdict(Struct, frozen=True):
    word: str
    sentence: str
    figures: tuple[Pair, ...]  # the number, what it is
    short_of: tuple[str, ...]
    because: tuple[str, ...]
    warnings: tuple[str, ...]
    beside: tuple[str, ...]
    lines: str


def verdict(standing: Standing) -> Verdict:
    word, sentence = words(standing)
    figures: list[Pair] = []
    if standing.policies.get("continuity") == "consecutive":
        figures.append((_of(standing.longest_run_days, standing.days_needed), "hot days in a row"))
        figures.append((str(standing.hot_days), "days proven hot in all"))
    else:
        figures.append((_of(standing.hot_days, standing.days_needed), "days proven hot"))
        figures.append((str(standing.longest_run_days), "longest run, days"))
    if standing.turns_needed or standing.turns_counted:
        figures.append((_of(standing.turns_counted, standing.turns_needed), "turns that count"))
    if standing.hot_hours:
        figures.append((f"{standing.hot_hours:.0f}", "hot hours"))
    return Verdict(
        word=word,
        sentence=sentence,
        figures=tuple(figures),
        short_of=standing.short_of,
        because=standing.because,
        warnings=standing.warnings,
        beside=beside_words(standing.beside),
        lines=line_list(standing.lines),
    )


def words(standing: Standing) -> Pair:
    """The verdict in a word and a sentence; of a row still being proven, that it is in progress."""
    if not standing.rule:
        return "No rule to judge by", "Choose one for this row; until then the record proves nothing."
    if not standing.open:
        return VERDICTS[standing.verdict]
    return STATES[standing.state], f"{YET[standing.verdict]}{_run_now(standing)}"


def _run_now(standing: Standing) -> str:
    """How long the newest run is, where it is not the longest and every day must follow on the one
    before."""
    table = standing.table
    if standing.policies.get("continuity") != "consecutive" or table is None or not standing.days_needed:
        return ""
    if int((table.hot == 1).sum()) != standing.hot_days:  # reckoned at another of the rule's limits
        return ""
    not_hot = np.flatnonzero(table.hot != 1)
    now = len(table.hot) - 1 - int(not_hot[-1]) if len(not_hot) else len(table.hot)
    if now == standing.longest_run_days:
        return ""
    if not now:
        return " The newest day read was not shown to be hot, so the run starts again."
    return f" The newest run has {_of(now, standing.days_needed)} days."


def _of(count: int, needed: int) -> str:
    return f"{count} of {needed}" if needed else str(count)


def line_list(lines: tuple[int, ...]) -> str:
    """Line numbers with runs drawn together: "398, 401–412"."""
    runs: list[list[int]] = []
    for number in sorted(set(lines)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def few_lines(lines: tuple[int, ...], most: int = 4) -> str:
    """As `line_list`; of more than `most` lines the first and the last, "12 … 3026"."""
    return line_list(lines) if len(set(lines)) <= most else f"{min(lines)} … {max(lines)}"

"""May a lot leave: what is proven, what is missing, what failed, each with its rule and its lines.

A failure cannot be released. What is not proven can only leave treated as raw, with the limits of its
use printed. A person releases; this only says what may be released as what.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from turnrow.handbook.analytes import analytes
from turnrow.handbook.quality import Said
from turnrow.quality.herbicide import HARM, HerbicideCheck
from turnrow.quality.limits import Judged, Judgement
from turnrow.quality.maturity import SchemeClass
from turnrow.quality.sampling import Due

State = Literal["proven", "missing", "failed"]
CanBe = Literal["proven", "treated as raw", "not at all"]
Heat = Literal["PASS", "FAIL", "NOT_PROVEN", "REVIEW"]
MEMORY = "The text of it was not read here; it is shown from memory."


@dataclass(frozen=True)
class Ask:
    """One thing asked of a lot. `what` is short: "heat", "Pb", "maturity"."""

    what: str
    state: State
    sentence: str
    rule: str
    lines: tuple[int, ...] = ()
    known: str = "READ"


@dataclass(frozen=True)
class Heated:
    """The lot's worst standing among all it was made of, under the yard's rule; given by whoever judged."""

    verdict: Heat
    rule: str
    sentence: str
    lines: tuple[int, ...] = ()
    known: str = "READ"


@dataclass(frozen=True)
class Wanted:
    """A scheme's class as found, and the rank the yard asks for at least: 1 is the scheme's best."""

    found: SchemeClass
    least: int = 1


@dataclass(frozen=True)
class LotFacts:
    """All that release rests on.

    heat     None where no rule is chosen for it: then nothing is proven
    limits   each chosen limit set as judged
    known    each set not chosen that goes with the lot's rule, as judged: only what fails it counts
    asks     what the rule's own text asks besides heat
    beside   sentences that its text asks to be printed with it
    wanted   each scheme the yard asks, as found, with the class it asks for at least
    due      the sampling plan's state; `sampled` whether a sample of this lot is on record
    unplanned  why the plan's state cannot be told, where that is so
    held     (reason, line) of each recall or hold in force
    """

    lot: str
    heat: Heated | None
    limits: tuple[Judgement, ...] = ()
    known: tuple[Judgement, ...] = ()
    asks: tuple[Ask, ...] = ()
    beside: tuple[str, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    due: Due | None = None
    sampled: bool = False
    unplanned: str = ""
    held: tuple[tuple[str, int], ...] = ()
    herbicide: HerbicideCheck | None = None


@dataclass(frozen=True)
class Release:
    """What a lot may be released as.

    asks    proven, missing and failed, in the order heat, limits, maturity, sampling, holds
    limits  sentences to be printed with it; of a lot treated as raw, what may be done with it
    notes   advice that forbids nothing (herbicides)
    """

    lot: str
    can_be: CanBe
    asks: tuple[Ask, ...]
    limits: tuple[str, ...]
    notes: tuple[str, ...]
    sentence: str

    def of(self, state: State) -> tuple[Ask, ...]:
        return tuple(ask for ask in self.asks if ask.state == state)

    @property
    def lines(self) -> tuple[int, ...]:
        return tuple(sorted({line for ask in self.asks for line in ask.lines}))


def may_release(facts: LotFacts, raw: Sequence[Said]) -> Release:
    """What the lot may be released as. `raw`: the handbook's sentences on what counts as raw."""
    asks = (
        _heat(facts.heat),
        *facts.asks,
        *(ask for one in facts.limits for ask in _limits(one)),
        *_unchosen(facts),
        *(_maturity(one) for one in facts.wanted),
        *_sampling(facts),
        *_harmed(facts.herbicide),
        *(
            Ask("held", "failed", f"Called back or held: {reason}.", "the yard", (line,))
            for reason, line in facts.held
        ),
    )
    failed = [ask for ask in asks if ask.state == "failed"]
    missing = [ask for ask in asks if ask.state == "missing"]
    waits = facts.due is not None and facts.due.before_removal and _untested(facts)
    can_be: CanBe = "not at all" if failed or waits else "treated as raw" if missing else "proven"
    limits = _printed(missing, raw) if can_be == "treated as raw" else _beside(facts, asks, can_be)
    notes = facts.herbicide.sentences if facts.herbicide else ()
    return Release(
        facts.lot, can_be, asks, limits, notes, _sentence(facts.lot, can_be, failed, missing, waits)
    )


def fails_after_release(release: Release) -> tuple[Ask, ...]:
    """What a lot that has left failed since: it is to be called back, and its buyers told. Empty: nothing."""
    return tuple(ask for ask in release.of("failed") if ask.what != "held")


def _heat(heat: Heated | None) -> Ask:
    if heat is None:
        return Ask("heat", "missing", "No rule is chosen that its heat could be judged by.", "none chosen")
    states: dict[Heat, State] = {
        "PASS": "proven",
        "FAIL": "failed",
        "NOT_PROVEN": "missing",
        "REVIEW": "missing",
    }
    said = heat.sentence
    if heat.verdict == "REVIEW":
        said += " A person has to decide; until then it is not proven."
    return Ask("heat", states[heat.verdict], said, heat.rule, heat.lines, heat.known)


def _limits(judged: Judgement) -> tuple[Ask, ...]:
    return tuple(_limit(judged, one) for one in judged.each if not one.other)


def _unchosen(facts: LotFacts) -> Iterator[Ask]:
    """What fails a limit that nobody chose, each thing tested once. Germs in what is not proven hot are no
    surprise: they are said, and it leaves treated as raw."""
    hot = facts.heat is not None and facts.heat.verdict == "PASS"
    told = {
        one.analyte for each in facts.limits for one in each.each if one.verdict == "FAIL" and not one.other
    }
    for judged in facts.known:
        for one in judged.each:
            if one.verdict != "FAIL" or one.other or one.analyte in told:
                continue
            told.add(one.analyte)
            raw = not hot and analytes()[one.analyte].group == "germ"
            more = "" if raw else " This limit was not chosen; it stops the lot all the same."
            ask = _limit(judged, one)
            yield replace(ask, state="missing" if raw else "failed", sentence=ask.sentence + more)


def _limit(judged: Judgement, one: Judged) -> Ask:
    states: dict[str, State] = {
        "PASS": "proven",
        "FAIL": "failed",
        "NOT_TESTED": "missing",
        "REVIEW": "missing",
    }
    return Ask(one.analyte, states[one.verdict], one.sentence, judged.set.name, one.lines, one.limit.known)


def _maturity(one: Wanted) -> Ask:
    """What is not ripe can ripen: a class short of what is asked is missing, and not failed for good."""
    found = one.found
    ripe = found.state == "told" and found.rank <= one.least
    more = (
        "" if ripe or found.state != "told" else " It is short of what the yard asks; cure on and test again."
    )
    state: State = "proven" if ripe else "missing"
    return Ask("maturity", state, found.sentence + more, found.scheme, found.lines, found.known)


def _sampling(facts: LotFacts) -> tuple[Ask, ...]:
    if facts.unplanned:
        return (Ask("sampling", "missing", facts.unplanned, "sampling plan"),)
    due = facts.due
    if due is None:
        return ()
    if due.overdue:
        return (Ask("sampling", "missing", f"A sample is overdue. {due.sentence}", due.plan, (), due.known),)
    return (Ask("sampling", "proven", f"Samples are in time. {due.sentence}", due.plan, (), due.known),)


def _harmed(check: HerbicideCheck | None) -> tuple[Ask, ...]:
    """Leaves as a herbicide leaves them: it does not leave, whatever the rules of heat and limits say."""
    if check is None or not check.harmed:
        return ()
    return (Ask("growth test", "failed", HARM, "common practice", check.harmed),)


def _untested(facts: LotFacts) -> bool:
    return not facts.sampled or any(one.missing for one in facts.limits)


def _printed(missing: Sequence[Ask], raw: Sequence[Said]) -> tuple[str, ...]:
    """The uses of what counts as raw, then what was not shown, so that the buyer knows both."""
    names = ", ".join(dict.fromkeys(ask.what for ask in missing))
    return (*raw_sentences(raw), f"Not shown of this lot: {names}.")


def raw_sentences(raw: Sequence[Said]) -> tuple[str, ...]:
    """What is printed with any lot that leaves treated as raw, proven or not."""
    return tuple(f"{one.words} {MEMORY}" if one.known == "MEMORY" else one.words for one in raw)


def _beside(facts: LotFacts, asks: Sequence[Ask], can_be: CanBe) -> tuple[str, ...]:
    """What is printed with a lot that leaves as proven, so that nobody takes it for more."""
    if can_be != "proven":
        return ()
    said = list(facts.beside)
    if not (facts.limits or facts.asks or facts.wanted or facts.due):
        said.append("Only its heat was looked at: the yard asks for no limits, no maturity and no samples.")
    never = ", ".join(one.set.name for one in facts.known if "*" not in one.set.goes_with)
    if never:
        said.append(f"Limits known for this use that were never chosen, so not shown to be kept: {never}.")
    recalled = ", ".join(dict.fromkeys(ask.rule for ask in asks if ask.known == "MEMORY"))
    if recalled:
        said.append(f"Judged by texts that were not read here, but are from memory: {recalled}.")
    return tuple(said)


def _sentence(lot: str, can_be: CanBe, failed: Sequence[Ask], missing: Sequence[Ask], waits: bool) -> str:
    if failed:
        return f"Lot {lot} may not leave: {failed[0].sentence}"
    if waits:
        return f"Lot {lot} may not leave before its results are in hand: its sampling plan says so."
    if can_be == "proven":
        return f"Lot {lot} may be released as proven."
    more = f" And {len(missing) - 1} more." if len(missing) > 1 else ""
    return f"Lot {lot} may leave only treated as raw. Missing: {missing[0].sentence}{more}"

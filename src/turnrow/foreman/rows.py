"""Each row's history, standing and jobs, kept until a line touches what they rest on.

Nothing is reckoned here: the diary folds, the sanitation room judges, the schedule says the jobs.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from turnrow.foreman.rules import Choice, Chosen, changes, choice, struck_choices
from turnrow.handbook.book import Handbook
from turnrow.handbook.rules import Rule
from turnrow.sanitation import policies
from turnrow.sanitation.ledger import row_standing
from turnrow.sanitation.probe_faults import Fault, faults
from turnrow.sanitation.standing import RowStanding, Standing, State
from turnrow.sanitation.suspects import find
from turnrow.schedule.around import Around
from turnrow.schedule.jobs import row_jobs
from turnrow.schedule.limits import Limits
from turnrow.schedule.seen import probes
from turnrow.yard import days
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Advice, Amount, ProbeChecked
from turnrow.yard.history import History
from turnrow.yard.wrongs import Refused

FOR_EVER = 2**62
YardChoice = tuple[Chosen, ...]


@dataclass
class _Kept:
    """What was made of one history; `leaned` are the histories of other rows its standing rests on."""

    history: History
    yard: YardChoice
    choice: Choice
    probes: dict[str, int]
    standing: RowStanding | None = None
    settings: Mapping[str, Amount] = field(default_factory=dict)
    wrong: tuple[Fault, ...] = ()
    leaned: dict[str, History] = field(default_factory=dict)
    told: tuple[int, Around] | None = None
    jobs: list[Advice] = field(default_factory=list)


class Rows:
    """The rows of a diary as they stood at a moment; by default with everything in it."""

    def __init__(self, diary: Diary, book: Handbook) -> None:
        self.diary = diary
        self.handbook = book
        self._kept: dict[str, _Kept] = {}
        self._cuts: dict[str, tuple[History, int, History]] = {}
        self._wrong: tuple[tuple[int, int, int], tuple[Fault, ...]] | None = None
        self._under: dict[
            tuple[str, str, int],
            tuple[RowStanding, Mapping[str, Amount], tuple[Fault, ...], dict[str, History]],
        ] = {}

    def history(self, row: str, upto_s: int = FOR_EVER) -> History:
        """The row's history without what happened after `upto_s`; KeyError for an unknown row."""
        whole = self.diary.history(row)
        if whole.newest_s <= upto_s:
            return whole
        cut = self._cuts.get(row)
        if cut is None or cut[0] is not whole or cut[1] != upto_s:
            cut = (whole, upto_s, whole.until(upto_s))
            self._cuts[row] = cut
        return cut[2]

    def choice(self, row: str, yard: YardChoice, upto_s: int = FOR_EVER) -> Choice:
        return self._row(row, yard, upto_s).choice

    def probes(self, row: str, yard: YardChoice, upto_s: int = FOR_EVER) -> dict[str, int]:
        return self._row(row, yard, upto_s).probes

    def standing(
        self, row: str, yard: YardChoice, settings: Mapping[str, Amount], upto_s: int = FOR_EVER
    ) -> RowStanding:
        """The row's standing; the same object until a line touches it, a row pushed into it, its rule or
        the settings."""
        kept = self._row(row, yard, upto_s)
        fresh = all(self.history(name, upto_s) is was for name, was in kept.leaned.items())
        wrong = self.wrong_probes(settings, upto_s)
        if kept.standing is None or not fresh or kept.settings != settings or kept.wrong != wrong:
            kept.leaned, kept.told, kept.settings, kept.wrong = {}, None, settings, wrong

            def lean(name: str) -> History:
                kept.leaned[name] = self.history(name, upto_s)
                return kept.leaned[name]

            kept.standing = _judged(kept, lean, settings, self.diary, self.handbook)
        return kept.standing

    def wrong_probes(self, settings: Mapping[str, Amount], upto_s: int = FOR_EVER) -> tuple[Fault, ...]:
        """Probes known to be off by the checks that happened by then."""
        most = Limits(settings).step("probe_off")
        key = (self.diary.head, upto_s, most)
        if self._wrong is None or self._wrong[0] != key:
            checks = [pair for pair in self.diary.own_events(ProbeChecked) if pair[0].at <= upto_s]
            self._wrong = (key, faults(checks, most))
        return self._wrong[1]

    def under(
        self, rule: Rule, row: str, settings: Mapping[str, Amount], upto_s: int = FOR_EVER
    ) -> RowStanding:
        """The row's standing under any rule, as its text is read when nothing is chosen; kept until a line
        touches it or a row pushed into it."""
        key, wrong = (row, rule.id, upto_s), self.wrong_probes(settings, upto_s)
        kept = self._under.get(key)
        if (
            kept
            and kept[1:3] == (settings, wrong)
            and all(self.history(name, upto_s) is was for name, was in kept[3].items())
        ):
            return kept[0]
        leaned = {row: self.history(row, upto_s)}

        def lean(name: str) -> History:
            leaned[name] = self.history(name, upto_s)
            return leaned[name]

        found = row_standing(rule, leaned[row], lean, {}, {}, settings, wrong)
        self._under[key] = (found, settings, wrong, leaned)
        return found

    def otherwise(
        self, row: str, yard: YardChoice, settings: Mapping[str, Amount], upto_s: int = FOR_EVER
    ) -> tuple[tuple[str, str, State], ...]:
        """(policy, value, state) for each other reading that the rule's text leaves open, one at a time."""
        kept = self._row(row, yard, upto_s)
        now, rule = self.standing(row, yard, settings, upto_s).standing.policies, kept.choice.rule
        if rule is None or not now:
            return ()
        found = []
        for name, values in rule.open.items():
            for value in values:
                other = {**now, name: value}
                if value == now.get(name, value) or policies.refusals(rule, other):
                    continue
                judged = row_standing(
                    rule,
                    kept.history,
                    lambda source: self.history(source, upto_s),
                    kept.choice.facts,
                    other,
                    settings,
                    kept.wrong,
                )
                found.append((name, value, judged.standing.state))
        return tuple(found)

    def jobs(
        self,
        row: str,
        yard: YardChoice,
        now_s: int,
        upto_s: int,
        now: Around,
        settings: Mapping[str, Amount],
    ) -> list[Advice]:
        """The row's jobs on the day of `now_s`; kept through the day."""
        standing = self.standing(row, yard, settings, upto_s)
        kept = self._row(row, yard, upto_s)
        told = (days.day_of(now_s, kept.history.zone), now)
        if kept.told != told:
            kept.jobs = row_jobs(
                kept.history, standing, kept.choice.rule, settings, now_s, now=now, facts=kept.choice.facts
            )
            kept.told = told
        return kept.jobs

    def _row(self, row: str, yard: YardChoice, upto_s: int) -> _Kept:
        history = self.history(row, upto_s)
        kept = self._kept.get(row)
        if kept is None or kept.history is not history or kept.yard != yard:
            kept = _Kept(history, yard, choice(history, yard, self.handbook), probes(history))
            self._kept[row] = kept
        return kept


def _judged(
    kept: _Kept,
    lean: Callable[[str], History],
    settings: Mapping[str, Amount],
    diary: Diary,
    book: Handbook,
) -> RowStanding:
    history, chosen = kept.history, kept.choice
    if chosen.rule is None:
        return unruled(history, chosen.why)
    try:
        found = row_standing(chosen.rule, history, lean, chosen.facts, chosen.policies, settings, kept.wrong)
    except Refused as wrong:  # a choice the rule's text does not allow must not hide the other rows
        said = " ".join(refusal.sentence() for refusal in wrong.refusals)
        return unruled(history, f"The rule chosen for row {history.row} cannot be judged. {said}")
    changed = changes(history, kept.yard, struck_choices(diary), book, found.since)
    if not changed:
        return found

    def beside(one: Standing) -> Standing:
        return replace(one, beside=(*changed, *one.beside))

    without = found.without_suspects
    return replace(
        found,
        standing=beside(found.standing),
        without_suspects=None if without is None else beside(without),
    )


def unruled(history: History, why: str) -> RowStanding:
    """No rule to judge by: for a person to decide, with the reason."""
    standing = Standing(
        rule="",
        verdict="REVIEW",
        policies={},
        hot_days=0,
        longest_run_days=0,
        hot_hours=0.0,
        turns_counted=0,
        days_needed=0,
        turns_needed=0,
        short_of=("a rule to judge by",),
        because=(why,),
    )
    return RowStanding(history.row, standing, None, tuple(find(history.readings)))

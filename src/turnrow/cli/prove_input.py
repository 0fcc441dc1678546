"""What `prove` judges: files of readings and turns, or a row of a yard's book."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import turnrow
from turnrow.api import compiled
from turnrow.gate.file_bytes import file_bytes

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from turnrow.handbook.rules import Rule
    from turnrow.sanitation.record import TurnAt
    from turnrow.sanitation.standing import Standing
    from turnrow.yard.readings import Readings
    from turnrow.yard.wrongs import Refusal

LARGE = 32 * 1024 * 1024  # bytes from which a plain file is read the quick way
READER = "the reader of large files: once after installing or updating, a few seconds"
Pair = tuple[
    "Standing", "Standing | None"
]  # with every reading; without the suspect ones, where there are any
Judged = tuple[list[Pair], dict[str, Any]]  # a pair a reading of the rule, what to say beside


def from_files(
    asked: dict[str, Any], readings: str, turns: str, zone: str, row: str, all_policies: bool
) -> "Judged":
    """The record in the files, judged. Raises Refused with all that is wrong in both."""
    from turnrow.gate.clock import clock
    from turnrow.gate.files import read_temperatures
    from turnrow.sanitation import facts as given
    from turnrow.sanitation.alone import suspects_of, without
    from turnrow.sanitation.judge import HEATED, judge, judge_all
    from turnrow.sanitation.record import Record
    from turnrow.yard import readings as columns
    from turnrow.yard.days import moment
    from turnrow.yard.wrongs import Refusal, Refused

    rule: Rule = asked["rule"]
    notices = given.unused(rule, asked["facts"])
    wrong: list[Refusal] = []
    if not readings and isinstance(rule.proof, HEATED):
        wrong.append(Refusal("READINGS", "nothing", "Name a CSV of readings, or - where there are none."))
    quick, data = _opened(readings, turns, zone, wrong)
    found = {"": columns.none()} if quick is None else quick
    place, zoned, remarks = clock(zone, data.get("READINGS", b""), wrong)
    notices += remarks
    if place is not None and zoned and not zone and not remarks:
        notices.append(
            f"days are counted at {moment(0, place):%z}, as the first time stands; for a zone give --zone"
        )
    at: tuple[TurnAt, ...] = ()
    if place is not None:
        try:
            if "READINGS" in data:
                intake = read_temperatures(data.pop("READINGS"), Path(readings).name, zone=place)
                found, notices = intake.rows, [*notices, *intake.notices]
        except Refused as told:
            wrong += told.refusals
        try:
            if "--turns" in data:
                at, passed_over = _turns(data["--turns"], turns, place)
                notices += passed_over
        except Refused as told:
            wrong += told.refusals
    wrong += _row_wrongs(row, list(found))
    if wrong:
        raise Refused(wrong)
    record = Record(found[row] if row else next(iter(found.values())), at)
    suspects = suspects_of(rule, record)
    other = without(record, suspects)
    records = [record] if other is None else [record, other]
    every = []
    for one in records:
        if all_policies:
            every.append(judge_all(rule, one, asked["facts"], asked["policies"]))
        else:
            every.append([judge(rule, one, asked["facts"], asked["policies"])])
    others = every[1] if len(every) > 1 else [None] * len(every[0])
    extra = {"notices": notices, "suspects": [one.sentence for one in suspects]}
    return list(zip(every[0], others, strict=True)), extra


def _opened(
    readings: str, turns: str, zone: str, wrong: "list[Refusal]"
) -> "tuple[dict[str, Readings] | None, dict[str, bytes]]":
    """The readings of a large file that is plain, and the bytes of every other, by its option."""
    from turnrow.yard.wrongs import Refusal, Refused, shown

    quick, data = None, {}
    for what, path in (("READINGS", readings), ("--turns", turns)):
        if path and path != "-":
            try:
                if what == "READINGS" and not zone and Path(path).stat().st_size > LARGE:
                    quick = _plain(Path(path))
                    if quick is not None:
                        continue
                data[what] = file_bytes(Path(path), what)
            except OSError as told:
                wrong.append(Refusal(what, shown(path), f"Name a file that can be read ({told.strerror})."))
            except Refused as told:
                wrong += told.refusals
    return quick, data


def _plain(path: Path) -> "dict[str, Readings] | None":
    """A large file read the quick way, which is compiled on first use; None where it is not plain."""

    def first() -> None:
        from turnrow.gate import plain

        plain.prepare()

    compiled.ready(first, Path(turnrow.__file__).parent / "gate", READER)
    from turnrow.gate.plain import read_plain

    rows = read_plain(path)
    return None if rows is None else dict(rows)


def _turns(data: bytes, path: str, place: "ZoneInfo") -> "tuple[tuple[TurnAt, ...], tuple[str, ...]]":
    from turnrow.gate.turn_file import read_turns
    from turnrow.sanitation.record import TurnAt

    file = read_turns(data, Path(path).name, zone=place)
    moments = zip(file.at.tolist(), file.day.tolist(), file.timed.tolist(), strict=True)
    return tuple(TurnAt(*one) for one in moments), file.notices


def _row_wrongs(row: str, there: list[str]) -> "list[Refusal]":
    from turnrow.yard.wrongs import Refusal, shown

    if row and row not in there:
        return [Refusal("--row", shown(row), f"The file has {', '.join(filter(None, there)) or 'no rows'}.")]
    if not row and len(there) > 1:
        return [Refusal("--row", "nothing", f"Say which of its rows: {', '.join(there)}.")]
    return []


def from_yard(asked: dict[str, Any], yard: str, row: str, all_policies: bool) -> "Judged":
    """A row of the book: its own rule, policies and facts, those given instead."""
    from turnrow.foreman.desk import Desk
    from turnrow.journal.book import Book
    from turnrow.sanitation import facts as given
    from turnrow.sanitation.ledger import row_standing
    from turnrow.sanitation.policies import combinations
    from turnrow.yard.wrongs import refuse

    if not yard:
        raise refuse("--yard", "nothing", "Name the yard's book, or a file of readings.")
    with Book.open(yard) as book:
        desk = Desk(book)
        try:
            history = desk.diary.history(row)
        except KeyError:
            known = ", ".join(desk.diary.rows) or "none"
            raise refuse("--row", row, f"The yard has {known}.") from None
        chosen = desk.choice(row)
        rule = asked["rule"] or chosen.rule
        if rule is None:
            raise refuse("--rule", "nothing", f"{chosen.why} Give a rule that --list shows.")
        own = dict(chosen.policies) if rule is chosen.rule else {}
        policies = {**own, **asked["policies"]}
        facts = {**chosen.facts, **asked["facts"]}
        readings = combinations(rule, asked["policies"]) if all_policies else [policies]
        settings = desk.settings()
        wrong = desk.wrong_probes()
        every = [row_standing(rule, history, desk.diary.history, facts, p, settings, wrong) for p in readings]
        notices = given.unused(rule, asked["facts"])
        suspects = [one.sentence for one in every[0].suspects]
        pairs = [(one.standing, one.without_suspects) for one in every]
        if chosen.rule is not None and rule is chosen.rule and not asked["policies"] and not all_policies:
            beside = desk.standing(row).standing.beside  # a rule changed after the readings, too
            pairs = [(replace(one, beside=beside), other) for one, other in pairs]
        extra = {"notices": notices, "suspects": suspects, "rule": rule, "row": row, "since": every[0].since}
        return pairs, extra

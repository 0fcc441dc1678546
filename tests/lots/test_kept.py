"""The kept ledger is the full fold after every line: in order, of an earlier hour or day, struck."""

import random
from dataclasses import fields

import pytest

from turnrow.foreman.matter import Matter
from turnrow.foreman.matter import typical as usual
from turnrow.handbook.book import handbook
from turnrow.lots import kept as room
from turnrow.lots.ledger import READ, Ledger, folded, in_order, ledger
from turnrow.lots.wrongs import wrongs_of
from turnrow.yard import history as fold
from turnrow.yard.days import zone
from turnrow.yard.entries import Entry, Line, LoadIn, Measured, Merged, Part, RowBuilt, Struck, Watered, What
from turnrow.yard.goods import (
    LabResult,
    LoadBack,
    LoadOut,
    LotMade,
    Result,
    RowSplit,
    Screened,
    Share,
    Weighed,
)
from turnrow.yard.wrongs import Refusal

from .conftest import Told, much

MATERIALS = ("straw", "horse manure", "leaves", "secret sludge")
STEPS = 60


def amount(chance: random.Random) -> str:
    return f"{chance.choice((0.5, 2, 5, 12, 30))} {chance.choice(('t', 't', 'm3'))}"


def something(chance: random.Random, n: int) -> What:
    """Any kind that moves matter, of few names, so that lines meet; much of it is wrong, as lines can be."""
    few = str(chance.randint(1, 4))
    material, size = chance.choice(MATERIALS), much(amount(chance))
    share = chance.choice((Share(row=f"R{few}"), Share(lot=f"F{few}"), Share(load=f"L{few}", amount=size)))
    moist = much(f"{chance.randint(20, 70)} %")
    lab = (
        Result(analyte="moisture", amount=moist),
        Result(analyte="bulk density", amount=much("600 kg/m3"), basis="as received"),
    )
    return chance.choice(
        (
            lambda: LoadIn(load=f"L{chance.randint(1, 30)}", material=material, amount=size, how="weighed"),
            lambda: LoadIn(load=f"L{chance.randint(1, 30)}", material=material, amount=size, how="judged"),
            lambda: RowBuilt(row=f"R{few}", parts=(Part(material, size, chance.choice(("", f"L{few}"))),)),
            lambda: Watered(row=f"R{few}", water=much("2 m3")),
            lambda: Merged(row=f"R{few}", sources=("R1", "R2")),
            lambda: RowSplit(row=f"R{few}", new=f"R{few}b", amount=size),
            lambda: LotMade(lot=f"F{n}", sources=(share,), amount=size),
            lambda: LotMade(lot=f"F{few}", sources=(share,)),
            lambda: Screened(sources=(share,), fines=f"F{few}", fines_amount=size, overs=f"O{n}"),
            lambda: Weighed(row=f"R{few}", amount=size, moisture=moist),
            lambda: Weighed(lot=f"F{few}", amount=size),
            lambda: LoadOut(ticket=f"T{n}", lot=f"F{few}", amount=size, customer="Ann"),
            lambda: LoadBack(ticket=f"T{chance.randint(1, max(n, 1))}", amount=size),
            lambda: LabResult(results=lab, lot=f"F{few}"),
            lambda: LabResult(results=lab, material=material),
            lambda: LabResult(results=lab, load=f"L{few}"),
            lambda: Measured(row=f"R{few}", quantity="moisture", amount=moist),
        )
    )()


def said(book: Ledger) -> dict[str, object]:
    found = {field.name: getattr(book, field.name) for field in fields(book) if field.name != "facts"}
    found["tree"] = (book.tree.parents, book.tree.children)
    found["off"] = {account: off for account, off in book.off.items() if off}
    found["held"] = {account: held for account, held in book.held.items() if held.lines or held.wet}
    return found | {"figures": book.facts.found}


@pytest.mark.parametrize("seed", range(12))
def test_the_kept_state_is_the_full_fold_after_every_line(seed: int) -> None:
    chance, told = random.Random(seed), Told(usual)
    settings = {key: one.amount for key, one in handbook().settings.items()}
    matter, day = Matter(told.diary), 0.0
    refused = 0
    for n in range(STEPS):
        day += chance.choice((0, 0, 0.02, 0.1, 1, 5))
        at = day - (chance.choice((0.01, 0.2, 3, 40)) if chance.random() < 0.2 else 0)
        if n and chance.random() < 0.08:
            told.say(at, Struck(line=chance.randint(1, told.diary.head), reason="typed wrong"))
        else:
            what = something(chance, n)
            entry, kept = told.entry(at, what), matter.kept(settings)
            asked = wrongs_of(kept, entry)
            assert asked == by_the_whole_fold(told, entry, kept.next_line)
            refused += bool(asked)
            told.say(at, what)
        assert said(matter.kept(settings).ledger) == said(ledger(told.diary, told.tolerance, usual))
    assert 0 < refused < STEPS


def by_the_whole_fold(told: Told, entry: Entry, number: int) -> tuple[Refusal, ...]:
    """What is said against an entry where the whole diary is folded with it."""
    now = ledger(told.diary, told.tolerance, usual)
    if not isinstance(entry.what, READ):
        return ()
    new = fold.event(Line(number, entry.happened, "", entry), zone("UTC"))
    tried = folded(in_order((*now.events, new)), told.tolerance, usual)
    before, found = {(one.line, one.refusal.where) for one in now.wrongs}, []
    for one in tried.wrongs:
        if one.line == number:
            found.append(Refusal(f"field {one.refusal.where}", one.refusal.got, one.refusal.do))
        elif (one.line, one.refusal.where) not in before:
            do = f"It would make line {one.line} wrong ({one.refusal.got}). {one.refusal.do}"
            found.append(Refusal(f"line {one.line}, field {one.refusal.where}", one.refusal.got, do))
    return tuple(dict.fromkeys(found))


def test_a_line_behind_the_others_folds_nothing_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """Loads on many days, and some that are ordered before what else happened on their day."""
    told, folds = Told(usual), []
    settings = {key: one.amount for key, one in handbook().settings.items()}
    matter, fresh = Matter(told.diary), room.posted

    def counted(*given):
        folds.append(len(given[0]))
        return fresh(*given)

    monkeypatch.setattr(room, "posted", counted)
    for n in range(120):
        if n % 4 == 3:
            told.say(n // 4 + 0.2, Weighed(load=f"L{n - 1}", amount=much("9.9 t")))
        else:
            told.load(n // 4 + 0.1 * (n % 4), f"L{n}", "straw", "10 t")
        matter.kept(settings)
    assert len(folds) == 1
    told.say(1.5, LoadIn(load="late", material="straw", amount=much("10 t"), how="weighed"))
    matter.kept(settings)
    assert len(folds) > 1

"""Forms about lots: made, screened, a row split, weighed, sampled, tested, released, called back."""

import re
from collections.abc import Iterator
from datetime import datetime
from typing import Literal

from turnrow.gate import amounts
from turnrow.gate.amounts import amount
from turnrow.gate.fields import LONG_TEXT, Fields
from turnrow.gate.lab_carbon import carbon_wrongs
from turnrow.gate.lab_cell import cannot_be
from turnrow.gate.names import name_wrong, near
from turnrow.yard import days, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, LoadIn, What
from turnrow.yard.goods import Result, Share

Material = Literal["compost", "castings", "bulking", "mulch"]
Means = Literal["scale", "survey", "buckets", "judged"]
MATERIALS: tuple[Material, ...] = ("compost", "castings", "bulking", "mulch")
MEANS: tuple[Means, ...] = ("scale", "survey", "buckets", "judged")
BASES = ("dry", "as received", "organic matter")
_SHARE = re.compile(r"(row|lot|load)\s+([^:@]+?)(?:\s*:\s*([^@]*?))?(?:\s*@\s*([^@]+))?")
_SHARES = (
    'what was taken: "row R7: 30 t @ 45 %; lot 26-04" (no amount: all that is left; after @ its moisture)'
)
_RESULT = re.compile(r"(.+?):\s*([<>]?)\s*([+-]?[.,0-9][^\s<>]*)\s*(.*)")  # a name may hold a colon: C:N
_RESULTS = 'figures with unit, basis and method: "N total: 1.53 % dry; EC: 7 dS/m by TMECC 04.10"'


def lots(diary: Diary) -> Iterator[tuple[int, str]]:
    """Every lot the diary makes: (line, name)."""
    for line, made in diary.all(goods.LotMade):
        yield line.number, made.lot
    for line, screened in diary.all(goods.Screened):
        yield line.number, screened.fines
        if screened.overs:
            yield line.number, screened.overs


def lot_of(f: Fields, name: str = "lot", *, needed: bool = True) -> str:
    """A lot the diary knows."""
    text = f.named(name, "a lot's name", needed=needed)
    known = sorted({lot for _, lot in lots(f.diary)})
    if text and not name_wrong(text) and text not in known:
        f.wrong(name, text, f"No such lot. {near(text, known)}")
    return text


def _new_lot(f: Fields, name: str, holds: str, *, needed: bool = True) -> str:
    text = f.named(name, holds, needed=needed)
    for line, lot in lots(f.diary):
        if text and lot.casefold() == text.casefold():
            f.wrong(name, text, f"Line {line} made a lot of that name; a lot keeps its name for ever.")
    return text


def _thing_known(diary: Diary, what: str, name: str) -> str:
    """What is wrong with a row's, lot's or load's name; empty when the diary knows it."""
    if what == "row":
        known = list(diary.rows)
    elif what == "lot":
        known = sorted({lot for _, lot in lots(diary)})
    else:
        known = [load.load for _, load in diary.all(LoadIn)]
    return "" if name in known else f"No such {what}. {near(name, known)}"


def _share(f: Fields, one: str) -> Share | None:
    match = _SHARE.fullmatch(one)
    if not match:
        f.wrong("sources", one, f"Write {_SHARES}.")
        return None
    what, name, size, wet = match[1], match[2].strip(), (match[3] or "").strip(), (match[4] or "").strip()
    said = name_wrong(name) or _thing_known(f.diary, what, name)
    if said:
        f.wrong("sources", name, said)
    taken = amount(size, amounts.LOADS) if size else None
    moisture = amount(wet, amounts.PERCENT) if wet else None
    for got, found in ((size, taken), (wet, moisture)):
        if isinstance(found, str):
            f.wrong("sources", got, found)
    if said or isinstance(taken, str) or isinstance(moisture, str):
        return None
    return Share(
        load=name if what == "load" else "",
        row=name if what == "row" else "",
        lot=name if what == "lot" else "",
        amount=taken,
        moisture=moisture,
    )


def _sources(f: Fields, when: datetime) -> tuple[Share, ...]:
    text = f.text("sources", _SHARES, needed=True, longest=4_000)
    found = [_share(f, one) for one in filter(None, (part.strip() for part in re.split(r"[;\n]", text)))]
    shares = tuple(one for one in found if one)
    for row in (one.row for one in shares if one.row):
        f.built_by(row, when)
    names = [(one.load, one.row, one.lot) for one in shares]
    for one in sorted({name for name in names if names.count(name) > 1}):
        f.wrong("sources", "".join(one), "Name each once.")
    return shares


def _one_thing(f: Fields, kinds: tuple[str, ...]) -> dict[str, str]:
    """The one thing an entry is about, by field."""
    named = {kind: f.named(kind, f"a {kind}'s name") for kind in kinds}
    given = [kind for kind, name in named.items() if name]
    if len(given) != 1:
        f.wrong(
            given[-1] if given else kinds[0],
            ", ".join(given) or "nothing",
            f"Name just one of {', '.join(kinds)}.",
        )
    for kind in given:
        said = "" if name_wrong(named[kind]) else _thing_known(f.diary, kind, named[kind])
        if said and kind != "material":
            f.wrong(kind, named[kind], said)
    return named


def lot_made(f: Fields, when: datetime) -> What:
    lot = _new_lot(f, "lot", "the lot's own name")
    material = f.choice("material", MATERIALS, "compost")
    return goods.LotMade(
        lot=lot,
        sources=_sources(f, when),
        amount=f.amount("amount", amounts.LOADS),
        moisture=f.amount("moisture", amounts.PERCENT),
        material=next(one for one in MATERIALS if one == material),
        place=f.text("place", "where it lies"),
    )


def screened(f: Fields, when: datetime) -> What:
    fines = _new_lot(f, "fines", "a name for the lot of what passed")
    overs = _new_lot(
        f, "overs", "a name for the lot of what did not pass; empty when none was kept", needed=False
    )
    if fines and fines.casefold() == overs.casefold():
        f.wrong("overs", overs, "Give fines and overs names of their own.")
    amount_of = {name: f.amount(name, amounts.LOADS) for name in ("fines_amount", "overs_amount")}
    wet = {name: f.amount(name, amounts.PERCENT) for name in ("fines_moisture", "overs_moisture")}
    if not overs and amount_of["overs_amount"]:
        f.wrong("overs", "nothing", "Overs with an amount need a name.")
    return goods.Screened(
        sources=_sources(f, when),
        fines=fines,
        fines_amount=amount_of["fines_amount"],
        fines_moisture=wet["fines_moisture"],
        overs=overs,
        overs_amount=amount_of["overs_amount"],
        overs_moisture=wet["overs_moisture"],
        opening=f.amount("opening", amounts.OPENINGS),
    )


def row_split(f: Fields, when: datetime) -> What:
    row = f.standing_row(when)
    new = f.row("new", new=True)
    if row and row == new:
        f.wrong("new", new, "Give the part a name of its own.")
    size, length = f.amount("amount", amounts.LOADS), f.amount("length", amounts.LENGTHS)
    if size is None and length is None:
        f.wrong("amount", "nothing", "Write the part's amount or its length.")
    return goods.RowSplit(row=row, new=new, amount=size, length=length)


def weighed(f: Fields, _: datetime) -> What:
    thing = _one_thing(f, ("lot", "row", "load"))
    size = f.amount("amount", amounts.WEIGHTS, needed=True)
    how = f.choice("how", MEANS, "scale")
    return goods.Weighed(
        amount=size or Amount(0, "t"),
        moisture=f.amount("moisture", amounts.PERCENT),
        how=next(one for one in MEANS if one == how),
        ticket=f.named("ticket", "the scale's ticket"),
        **thing,
    )


def sampled(f: Fields, _: datetime) -> What:
    sample = f.named("sample", "the sample's own label", needed=True)
    for line, taken in f.diary.all(goods.Sampled):
        if sample and taken.sample.casefold() == sample.casefold():
            f.wrong("sample", sample, f"Line {line.number} took a sample of that label; give each its own.")
    return goods.Sampled(
        sample=sample,
        increments=f.whole("increments", "how many places it was taken from, 1 when not said", 1, 200, 1),
        mass=f.amount("mass", amounts.SAMPLES),
        container=f.text("container", "what it was put in"),
        cooled=f.flag("cooled", "it was kept cool on its way"),
        sent_to=f.text("sent_to", "the lab"),
        plan=f.text("plan", "the sampling plan it answers"),
        **_one_thing(f, ("lot", "row")),
    )


def results_of(f: Fields) -> tuple[Result, ...]:
    """Figures from a text; unit and basis stand behind the number."""
    text = f.text("results", _RESULTS, needed=True, longest=8_000)
    found = []
    for one in filter(None, (part.strip() for part in re.split(r"[;\n]", text))):
        match = _RESULT.fullmatch(one)
        number = re.fullmatch(r"[+-]?[0-9]*[.,]?[0-9]+", match[3]) if match else None
        if not match or not number:
            f.wrong("results", one, f"Write {_RESULTS}.")
            continue
        rest, _, method = match[4].partition(" by ")
        unit, basis = rest.strip(), ""
        for name in BASES:
            if unit == name or unit.endswith(f" {name}"):
                unit, basis = unit[: -len(name)].strip(), name
        size = amount(match[3] + " " + unit, amounts.any_of(unit)) if unit else "Write its unit."
        if isinstance(size, str):
            f.wrong("results", one, size)
            continue
        result = Result(
            analyte=match[1].strip(),
            amount=size,
            basis=basis,
            method=method.strip(),
            below=match[2] == "<",
            above=match[2] == ">",
        )
        if do := cannot_be(result):
            f.wrong("results", one, do)
            continue
        found.append(result)
    return tuple(found)


def lab_result(f: Fields, when: datetime) -> What:
    sample = f.named("sample", "the sample's label, where the yard took it")
    taken = {what.sample: (line, what) for line, what in f.diary.all(goods.Sampled)}
    thing = dict.fromkeys(("lot", "row", "load", "material"), "")
    if sample and sample in taken:
        line, what = taken[sample]
        thing |= {"lot": what.lot, "row": what.row}
        for kind in thing:
            if f.named(kind, f"a {kind}'s name") not in ("", thing[kind]):
                f.wrong(
                    kind, thing[kind] or sample, f"Line {line.number} took sample {sample} of something else."
                )
        if when < line.entry.happened and when.date() < line.entry.happened.date():
            f.wrong(
                "happened", when.isoformat(), f"The sample was taken later than that (line {line.number})."
            )
    else:
        if sample and not name_wrong(sample):
            f.wrong("sample", sample, f"No such sample. {near(sample, sorted(taken))}")
        thing = _one_thing(f, ("lot", "row", "load", "material"))
    day = f.day("sampled", "the day it was taken")
    if day and sample in taken:
        line, _ = taken[sample]
        own = days.day_of(days.seconds(line.entry.happened), f.diary.zone)
        if day.toordinal() != own:
            said = f"Line {line.number} took {sample} on {days.short_date(own)}; one of the two is wrong."
            f.wrong("sampled", day.isoformat(), said)
    if day and day > when.date():
        f.wrong("sampled", day.isoformat(), "A result is not older than its sample; look at both dates.")
    results = results_of(f)
    for one in carbon_wrongs("results", results, day or when.date()):
        f.wrong("results", one.got, one.do)
    return goods.LabResult(
        results=results,
        sample=sample,
        sampled=day,
        lab=f.text("lab", "which lab"),
        report=f.text("report", "the report's number"),
        accredited=f.text("accredited", "the lab's accreditation and its number", longest=80),
        **thing,
    )


def released(f: Fields, _: datetime) -> What:
    lot = lot_of(f)
    how = f.choice("how", ("proven", "treated as raw"), "proven")
    limits = f.text("limits", "what may be done with it, one a line", longest=LONG_TEXT)
    return goods.Released(
        lot=lot,
        name=f.text("name", "your name in full; it stands on the papers", needed=True, longest=80),
        how="treated as raw" if how == "treated as raw" else "proven",
        rule=f.text("rule", "the rule it was judged under", needed=True, longest=60),
        verdict=f.text("verdict", "its standing, as the page says", needed=True, longest=20),
        upto=f.whole("upto", "the last line read for it", 1, max(f.diary.head, 1), needed=True),
        limits=tuple(filter(None, (one.strip() for one in limits.splitlines()))),
        remark=f.text("remark", "anything to add", longest=400),
    )


def recalled(f: Fields, _: datetime) -> What:
    return goods.Recalled(
        lot=lot_of(f),
        reason=f.text("reason", "why", needed=True, longest=LONG_TEXT),
        told=f.names("told", "customers told so far"),
    )

"""Forms of what an inspector asks for: certified, certificate, trained, cleaned, spread."""

from datetime import datetime

from turnrow.gate import amounts
from turnrow.gate.fields import LONG_TEXT, Fields
from turnrow.gate.goods import lot_of
from turnrow.gate.names import near
from turnrow.handbook.quality import statements
from turnrow.yard import evidence, goods
from turnrow.yard.entries import LoadIn, What


def certified(f: Fields, _: datetime) -> What:
    """Signed by naming the statement: by its key, or word for word."""
    known = {key: one for name, one in statements().items() for key in (name, one.words)}
    keys = " or ".join(statements())
    lot = lot_of(f)
    name = f.text("name", "your name in full; it stands on the papers", needed=True, longest=80)
    typed = f.text("words", f"the statement you have read and sign: {keys}", needed=True, longest=LONG_TEXT)
    said = known.get(typed)
    if typed and said is None:
        f.wrong("words", typed, f"Sign a statement of the handbook, by its key: {keys}.")
    clause = f.text("clause", "the clause that asks it; the statement's own", longest=60)
    if said and clause not in ("", said.clause):
        f.wrong("clause", clause, f"The statement is of {said.clause}.")
    if said is None:
        return evidence.Certified(lot=lot, name=name, words=typed)
    return evidence.Certified(lot=lot, name=name, words=said.words, clause=said.clause)


def certificate(f: Fields, when: datetime) -> What:
    load = f.named("load", "the load it came with")
    material = f.named("material", "or the material, of all that the issuer sells")
    loads = [what.load for _, what in f.diary.all(LoadIn)]
    if bool(load) == bool(material):
        f.wrong("load", load or "nothing", "Name just one of load and material.")
    elif load and load not in loads:
        f.wrong("load", load, f"No such load. {near(load, loads)}")
    issued, until = f.day("issued", "the day it was issued"), f.day("until", "the last day it holds")
    if issued and until and until < issued:
        f.wrong("until", until.isoformat(), "It ends before it was issued; look at both dates.")
    if issued and issued > when.date():
        f.wrong("issued", issued.isoformat(), "That day is still to come.")
    return evidence.Certificate(
        words=f.text("words", "what it vouches for: process, and kept clean since", needed=True, longest=400),
        issuer=f.text("issuer", "who issued it", needed=True, longest=80),
        load=load,
        material=material,
        number=f.text("number", "its number", longest=60),
        issued=issued,
        until=until,
    )


def trained(f: Fields, when: datetime) -> What:
    until = f.day("until", "the last day it holds")
    if until and until < when.date():
        f.wrong("until", until.isoformat(), "It ends before the training; look at both dates.")
    return evidence.Trained(
        name=f.text("name", "who was trained, in full", needed=True, longest=80),
        subject=f.text("subject", "in what: probing, turning, hygiene", needed=True, longest=200),
        short=f.text("short", "how the diary names them under who", longest=40),
        by=f.text("by", "who trained them", longest=80),
        until=until,
    )


def cleaned(f: Fields, _: datetime) -> What:
    return evidence.Cleaned(
        what=f.text("what", "the machine, tool or place", needed=True, longest=80),
        how=f.text("how", "how: swept, washed at high pressure", needed=True, longest=200),
        after=f.text("after", "what it had touched: raw manure", longest=80),
        before=f.text("before", "what it is to touch next: lot 26-04", longest=80),
    )


def spread(f: Fields, when: datetime) -> What:
    lot = lot_of(f)
    ticket = f.named("ticket", "the load out, where it was one")
    out = {what.ticket: what.lot for _, what in f.diary.all(goods.LoadOut)}
    if ticket and out.get(ticket, "") != lot:
        f.wrong(
            "ticket", ticket, f"That load is of lot {out[ticket]}." if ticket in out else "No such load out."
        )
    worked_in, harvest = (
        f.day("worked_in", "the day it was worked into the soil"),
        f.day("harvest", "harvest day"),
    )
    if worked_in and worked_in < when.date():
        f.wrong("worked_in", worked_in.isoformat(), "That is before it was spread; look at both dates.")
    if harvest and harvest < (worked_in or when.date()):
        f.wrong("harvest", harvest.isoformat(), "That is before it was spread; name the next harvest.")
    return evidence.Spread(
        lot=lot,
        field=f.text("field", "the field or bed", needed=True, longest=80),
        amount=f.amount("amount", amounts.LOADS),
        ticket=ticket,
        worked_in=worked_in,
        crop=f.text("crop", "what grows there next", longest=80),
        harvest=harvest,
        touches_soil=f.flag("touches_soil", "what is eaten touches soil or its splash", True),
    )


FORMS = {
    "certified": certified,
    "certificate": certificate,
    "trained": trained,
    "cleaned": cleaned,
    "spread": spread,
}

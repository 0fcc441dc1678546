"""Every kind of entry a person writes, from fields of text: the command line, the pages, the API."""

import re
import uuid
from collections.abc import Callable, Mapping
from datetime import datetime

from turnrow.gate import amounts, evidence, goods, trade
from turnrow.gate.fields import LONG_TEXT, Field, Fields
from turnrow.gate.growth_form import growth_test
from turnrow.gate.kinds import built, chosen_rule, chosen_setting, measured, round_of, struck, ticked
from turnrow.gate.names import name_wrong, near
from turnrow.gate.photograph import PICTURES
from turnrow.gate.quality_form import quality_asked
from turnrow.yard import days, entries
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, What
from turnrow.yard.wrongs import Refusal, Refused, refuse, shown

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._:-]{0,63}")
_HASH = re.compile(r"[0-9a-f]{64}")
_CAMERA = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d")
Form = Callable[[Fields, datetime], What]


def entry_from(
    kind: str,
    fields: Mapping[str, str],
    *,
    diary: Diary,
    now: datetime,
    who: str,
    device: str = "",
    id: str = "",
) -> Entry:
    """The entry that `fields` say.

    kind    "row built" or "row-built"
    fields  each as typed: {"row": "R7", "length": "62 m", "happened": "2026-05-03T07:40"}
    now     aware; `happened` when the fields do not say
    id      made where the entry was made; empty: a new one
    Raises Refused with everything that is wrong.
    """
    form = FORMS.get(kind.strip().casefold().replace("-", " "))
    if form is None:
        raise refuse("kind", kind, f"{near(kind, KINDS)} Kinds: {', '.join(KINDS)}.")
    given = Fields(fields, diary, now)
    when, day_only = given.happened()
    what = form(given, when)
    wrongs: list[Refusal] = []
    if name_wrong(who):
        wrongs.append(Refusal("who", shown(who), name_wrong(who)))
    if device and name_wrong(device):
        wrongs.append(Refusal("device", shown(device), name_wrong(device)))
    if id and not _ID.fullmatch(id):
        wrongs.append(Refusal("id", shown(id), "An id has 1 to 64 letters, digits and . _ : -"))
    try:
        given.finish(kind)
    except Refused as wrong:
        raise Refused([*wrong.refusals, *wrongs]) from wrong
    if wrongs:
        raise Refused(wrongs)
    return Entry(
        id=id or uuid.uuid4().hex, happened=when, who=who, what=what, device=device, day_only=day_only
    )


def fields_of(kind: str) -> tuple[Field, ...]:
    """The fields a form has, in its order. KeyError when there is no such kind."""
    form = FORMS[kind.replace("-", " ")]
    now = datetime.fromordinal(1).replace(year=2000, tzinfo=days.zone("UTC"))
    asked = Fields({}, Diary(lambda name: b""), now)
    asked.happened()
    form(asked, now)
    return tuple(asked.asked)


def _laid_out(f: Fields, _: datetime) -> What:
    def zone_wrong(name: str) -> str:
        try:
            days.zone(name)
        except ValueError as wrong:
            return f"{wrong}."
        return ""

    return entries.YardLaidOut(
        name=f.text("name", "the yard's name", needed=True, longest=80),
        zone=f.parsed("zone", "a time zone such as Europe/Dublin", zone_wrong, needed=True),
        place=f.text("place", "where it lies"),
        invented=f.flag("invented", "the yard is made up, for showing"),
    )


def _load_in(f: Fields, _: datetime) -> What:
    load = f.named("load", "the load's own name", needed=True)
    same = f.diary.taken_in(load)
    if same is not None:
        f.wrong("load", load, f"Line {same.number} took in a load of that name; give each its own.")
    amount = f.amount("amount", amounts.LOADS, needed=True)
    how = f.choice("how", ("weighed", "counted", "judged"), "judged")
    return entries.LoadIn(
        load=load,
        material=f.named("material", "what it is", needed=True),
        amount=amount or entries.Amount(0, "t"),
        how="weighed" if how == "weighed" else "counted" if how == "counted" else "judged",
        came_from=f.text("came_from", "where it came from"),
        refused=f.text("refused", "why it was sent away; empty when it was taken"),
    )


def _turned(f: Fields, when: datetime) -> What:
    return entries.Turned(
        row=f.standing_row(when),
        passes=f.whole("passes", "passes of the machine, 1 when not said", 1, 20, 1),
        machine=f.named("machine", "which machine"),
        water=f.amount("water", amounts.VOLUMES),
    )


def _watered(f: Fields, when: datetime) -> What:
    row = f.standing_row(when)
    water = f.amount("water", amounts.VOLUMES, needed=True)
    return entries.Watered(row=row, water=water or entries.Amount(0, "m3"))


def _merged(f: Fields, when: datetime) -> What:
    row = f.standing_row(when)
    sources = f.names("sources", "the rows pushed into it", needed=True)
    for source in sources:
        if source not in f.diary.rows:
            f.wrong("sources", source, f"No such row. {near(source, f.diary.rows)}")
        elif f.diary.history(source).merged_into:
            f.wrong("sources", source, "It was pushed into another row before.")
        else:
            f.built_by(source, when)
    if sources and set(sources) == {row}:
        f.wrong("sources", row, "Name the other rows.")
    return entries.Merged(row=row, sources=sources)


def _curing(f: Fields, when: datetime) -> What:
    return entries.MovedToCuring(row=f.standing_row(when), place=f.text("place", "where it cures"))


def _covered(f: Fields, when: datetime) -> What:
    return entries.Covered(
        row=f.standing_row(when),
        cover=f.text("cover", "with what"),
        taken_off=f.flag("taken_off", "the cover was taken off"),
    )


def _note(f: Fields, _: datetime) -> What:
    photo = f.parsed(
        "photo", "the picture's sha256", lambda t: "" if _HASH.fullmatch(t) else "Write 64 hex digits."
    )
    kind = f.parsed(
        "photo_kind",
        " or ".join(PICTURES),
        lambda t: "" if t in PICTURES else f"Use {' or '.join(PICTURES)}.",
    )
    taken = f.parsed(
        "photo_taken",
        "what the camera's clock said",
        lambda t: "" if _CAMERA.fullmatch(t) else "Write it as 2026-05-03 07:40:12.",
    )
    if taken and not photo:
        f.wrong("photo_taken", taken, "Send the picture it speaks of with it.")
    if bool(photo) != bool(kind):
        f.wrong("photo", photo or "nothing", "A picture comes with its kind, and a kind with its picture.")
    text = f.text("text", "what there is to say", needed=not photo, longest=LONG_TEXT)
    return entries.Note(text=text, row=f.row(needed=False), photo=photo, photo_kind=kind, photo_taken=taken)


def _complaint(f: Fields, _: datetime) -> What:
    return entries.Complaint(
        nature=f.text("nature", "what it was about", needed=True, longest=LONG_TEXT),
        by=f.text("by", "who complained"),
        wind=f.text("wind", "the wind then"),
        done=f.text("done", "what was done", longest=LONG_TEXT),
    )


DANGERS = ("", "fire", "injury", "spill", "none")


def _incident(f: Fields, _: datetime) -> What:
    return entries.Incident(
        what=f.text("what", "what happened", needed=True, longest=LONG_TEXT),
        row=f.row(needed=False),
        done=f.text("done", "what was done", longest=LONG_TEXT),
        danger=f.choice("danger", DANGERS, ""),  # type: ignore[arg-type]
    )


def _weather(f: Fields, _: datetime) -> What:
    air = f.amount("air", amounts.DEGREES)
    rain = f.amount("rain", amounts.RAIN)
    wind = f.amount("wind", amounts.WIND)
    wind_from = f.text("wind_from", "where it blows from", longest=20)
    if not any(f.has(name) for name in ("air", "rain", "wind", "wind_from")):
        f.wrong("air", "nothing", "Write air, rain or wind.")
    return entries.Weather(air=air, rain=rain, wind=wind, wind_from=wind_from)


def _probe_checked(f: Fields, _: datetime) -> What:
    probe = f.named("probe", "the probe's label", needed=True)
    bath = f.amount("bath", amounts.DEGREES, needed=True)
    read = f.amount("read", amounts.DEGREES, needed=True)
    nothing = entries.Amount(0, "C")
    return entries.ProbeChecked(probe=probe, bath=bath or nothing, read=read or nothing)


def _reviewed(f: Fields, _: datetime) -> What:
    row = f.row()
    upto = f.whole("upto", "the last line read", 1, max(f.diary.head, 1), needed=True)
    return entries.Reviewed(row=row, upto=upto)


FORMS: Mapping[str, Form] = {
    "yard laid out": _laid_out,
    "load in": _load_in,
    "row built": built,
    "round": round_of,
    "turned": _turned,
    "watered": _watered,
    "measured": measured,
    "merged": _merged,
    "moved to curing": _curing,
    "covered": _covered,
    "note": _note,
    "complaint": _complaint,
    "incident": _incident,
    "weather": _weather,
    "job done": ticked,
    "rule chosen": chosen_rule,
    "setting chosen": chosen_setting,
    "probe checked": _probe_checked,
    "reviewed": _reviewed,
    "lot made": goods.lot_made,
    "screened": goods.screened,
    "row split": goods.row_split,
    "weighed": goods.weighed,
    "sampled": goods.sampled,
    "lab result": goods.lab_result,
    "growth test": growth_test,
    "quality asked": quality_asked,
    "released": goods.released,
    "recalled": goods.recalled,
    "product": trade.product,
    "customer": trade.customer,
    "ordered": trade.ordered,
    "load out": trade.load_out,
    "load back": trade.load_back,
    "bagged": trade.bagged,
    "invoiced": trade.invoiced,
    "spent": trade.spent,
    "rate": trade.rate,
    **evidence.FORMS,
    "struck": struck,
}
KINDS = tuple(kind.replace(" ", "-") for kind in FORMS)

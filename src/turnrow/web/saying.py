"""One line of the diary said in a sentence, numbers as typed."""

from collections.abc import Callable
from typing import Any

from turnrow.handbook.book import Source
from turnrow.records import evidence_said, goods_said
from turnrow.web.units import amount, unit_sign
from turnrow.yard import entries, goods
from turnrow.yard.days import short_date
from turnrow.yard.entries import Line
from turnrow.yard.evidence import Evidence
from turnrow.yard.numbers import plain
from turnrow.yard.temperature import degrees

READINGS_SAID = 40  # a longer round is counted, and its numbers stand in the strip and the CSV


def sentence(line: Line) -> str:
    """What the line says, as a sentence for people."""
    what = line.entry.what
    if isinstance(what, goods.Goods):
        said = goods_said.saying(what)
        return _closed(said[:1].upper() + said[1:])
    if isinstance(what, Evidence):
        said = evidence_said.saying(what)
        return _closed(said[:1].upper() + said[1:])
    return SAID[type(what)](what)


def title(line: Line) -> str:
    """The kind of thing that happened: "Round", "Moved to curing"."""
    tag = line.entry.what.__struct_config__.tag
    return str(tag)[:1].upper() + str(tag)[1:]


def _joined(*parts: str, mark: str = ", ") -> str:
    return mark.join(part for part in parts if part)


def _closed(text: str) -> str:
    return text if not text or text.endswith((".", "!", "?", "…")) else text + "."


def _yard(what: entries.YardLaidOut) -> str:
    return _closed(_joined(f"The yard {what.name}", what.place, f"days counted in {what.zone}"))


def _load(what: entries.LoadIn) -> str:
    said = _joined(f"Load {what.load}: {what.material}", f"{amount(what.amount)} {what.how}")
    came = f"from {what.came_from}" if what.came_from else ""
    away = f"sent away: {what.refused}" if what.refused else ""
    return _closed(_joined(said, came, away))


def _built(what: entries.RowBuilt) -> str:
    blend = _joined(*(f"{part.material} {amount(part.amount)}" for part in what.parts))
    sizes = ((what.length, "long"), (what.width, "wide"), (what.height, "high"), (what.volume, "in all"))
    size = _joined(*(f"{amount(much)} {word}" for much, word in sizes if much))
    marked = f"stations {', '.join(what.stations)}" if what.stations else ""
    strip = f"on strip {what.strip}" if what.strip else ""
    body = _joined(blend, size, marked, strip, mark="; ")
    return _closed(f"Row built, {what.process}" + (f": {body}" if body else ""))


def _round(what: entries.Round) -> str:
    read = [f"{degrees(r.value, what.unit)} at {r.station}" for r in what.readings[:READINGS_SAID]]
    more = len(what.readings) - len(read)
    said = _joined(*read, f"and {more} more" if more else "")
    skipped = f"not read: {', '.join(what.skipped)}" if what.skipped else ""
    sure = f"confirmed when asked: {', '.join(what.confirmed)}" if what.confirmed else ""
    probe = f"probe {what.probe}" if what.probe else ""
    return _closed("Round: " + _joined(said, skipped, sure, probe, mark="; "))


def _block(what: entries.LoggerBlock) -> str:
    source = f"from {what.file}" if what.file else ""
    probe = f"probe {what.probe}" if what.probe else ""
    span = f"{what.first:%Y-%m-%d %H:%M} to {what.last:%Y-%m-%d %H:%M}"
    return _closed(_joined(f"{what.count} logged readings", span, source, probe))


def _turned(what: entries.Turned) -> str:
    passes = "one pass" if what.passes == 1 else f"{what.passes} passes"
    machine = f"with {what.machine}" if what.machine else ""
    water = f"{amount(what.water)} of water in the same pass" if what.water else ""
    return _closed(_joined("Turned", passes, machine, water))


def _watered(what: entries.Watered) -> str:
    return f"Watered, {amount(what.water)}."


def _measured(what: entries.Measured) -> str:
    where = f"at station {what.station}" if what.station else ""
    depth = f"{plain(what.depth_mm * 1_000)} m deep" if what.depth_mm >= 0 else ""
    return _closed(_joined(f"Measured {what.quantity}: {amount(what.amount)}", where, depth, what.how))


def _merged(what: entries.Merged) -> str:
    return f"Merged: {', '.join(what.sources)} pushed into {what.row}."


def _curing(what: entries.MovedToCuring) -> str:
    return _closed(_joined("Moved to curing", what.place))


def _covered(what: entries.Covered) -> str:
    return _closed(_joined("Cover taken off" if what.taken_off else "Covered", what.cover))


def _note(what: entries.Note) -> str:
    return _closed(_joined(what.text, "with a photograph" if what.photo else ""))


def _complaint(what: entries.Complaint) -> str:
    told = (what.nature, f"from {what.by}" if what.by else "", f"wind {what.wind}" if what.wind else "")
    return _closed(
        _joined("Complaint: " + _joined(*told), f"done: {what.done}" if what.done else "", mark="; ")
    )


def _incident(what: entries.Incident) -> str:
    return _closed(_joined(f"Incident: {what.what}", f"done: {what.done}" if what.done else "", mark="; "))


def _weather(what: entries.Weather) -> str:
    air = f"air {amount(what.air)}" if what.air else ""
    rain = f"rain {amount(what.rain)}" if what.rain else ""
    wind = f"wind {amount(what.wind)}" if what.wind else ""
    whence = f"from {what.wind_from}" if what.wind_from else ""
    return _closed("Weather: " + _joined(air, rain, _joined(wind, whence, mark=" ")))


def _sheet(what: entries.SheetIssued) -> str:
    count = len(what.advice)
    jobs = {0: "no jobs", 1: "one job"}.get(count, f"{count} jobs")
    day = short_date(what.day.toordinal())
    return f"Day sheet for {day} issued: {jobs}, resting on lines up to {what.upto}."


def _job(what: entries.JobDone) -> str:
    return _closed(f"Job {what.key} " + ("done" if what.done else _joined("put off", what.reason, mark=": ")))


def _rule(what: entries.RuleChosen) -> str:
    whose = f"row {what.row}" if what.row else "the yard"
    read = _joined(*(f"{name} {value}" for name, value in {**what.policies, **what.facts}.items()))
    return _closed(f"Rule for {whose}: {what.rule}" + (f" ({read})" if read else ""))


def _setting(what: entries.SettingChosen) -> str:
    return _closed(_joined(f"Setting {what.name}: {amount(what.amount)}", what.reason, mark="; "))


def _probe(what: entries.ProbeChecked) -> str:
    return f"Probe {what.probe} checked: said {amount(what.read)} in a bath of {amount(what.bath)}."


def _reviewed(what: entries.Reviewed) -> str:
    return f"The lines of {what.row} up to {what.upto} were read through and signed for."


def _struck(what: entries.Struck) -> str:
    return _closed(f"Line {what.line} struck: {what.reason}")


SAID: dict[type, Callable[[Any], str]] = {
    entries.YardLaidOut: _yard,
    entries.LoadIn: _load,
    entries.RowBuilt: _built,
    entries.Round: _round,
    entries.LoggerBlock: _block,
    entries.Turned: _turned,
    entries.Watered: _watered,
    entries.Measured: _measured,
    entries.Merged: _merged,
    entries.MovedToCuring: _curing,
    entries.Covered: _covered,
    entries.Note: _note,
    entries.Complaint: _complaint,
    entries.Incident: _incident,
    entries.Weather: _weather,
    entries.SheetIssued: _sheet,
    entries.JobDone: _job,
    entries.RuleChosen: _rule,
    entries.SettingChosen: _setting,
    entries.ProbeChecked: _probe,
    entries.Reviewed: _reviewed,
    entries.Struck: _struck,
}


KNOWN = {
    "READ": "read",
    "MEMORY": "from memory, not read for this program",
    "OWN": "our own choice",
}


def source_words(source: Source | None, known: str) -> str:
    """Where a value comes from and how that is known."""
    said = KNOWN.get(known, known)
    if source is None:
        return f"Source: {said}."
    return _closed("Source: " + _joined(source.title, source.where, said))


def typed(line: Line) -> list[tuple[str, str]]:
    """What was typed, field by field, for the line's own page."""
    what = line.entry.what
    return [
        (name.replace("_", " "), _plainly(value))
        for name in what.__struct_fields__
        if (value := getattr(what, name)) not in (None, "", (), {}) and value != -1
    ]


def _plainly(value: object) -> str:
    if isinstance(value, entries.Amount):
        return amount(value)
    if isinstance(value, entries.Part):
        of = f"load {value.load}" if value.load else f"lot {value.lot}" if value.lot else ""
        return _joined(value.material, amount(value.amount), of)
    if isinstance(value, goods.Share):
        return goods_said.share(value)
    if isinstance(value, goods.Result):
        return _joined(goods_said.result(value), f"by {value.method}" if value.method else "")
    if isinstance(value, entries.Reading):
        deep = f" at {value.depth_mm} mm" if value.depth_mm >= 0 else ""
        return f"station {value.station}{deep}: {plain(value.value)}"
    if isinstance(value, entries.Advice):
        return value.text
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return "; ".join(f"{name}: {_plainly(one)}" for name, one in value.items())
    if isinstance(value, tuple):
        return "; ".join(_plainly(one) for one in value)
    if value in ("C", "F"):
        return unit_sign(str(value))
    return str(value)

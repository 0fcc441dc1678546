"""Lines of the diary said in a few words, as papers print them."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from turnrow.records import evidence_said, goods_said
from turnrow.records.marks import amount_words
from turnrow.records.row_picture import long_date
from turnrow.yard import entries, goods
from turnrow.yard.days import moment, seconds
from turnrow.yard.entries import Entry, Line
from turnrow.yard.evidence import Evidence
from turnrow.yard.numbers import plain
from turnrow.yard.temperature import degrees


def happened(entry: Entry, zone: ZoneInfo) -> str:
    """ "3 May 2026, 09:14", or the day alone."""
    local = entry.happened.astimezone(zone)
    day = long_date(local.toordinal())
    return day if entry.day_only else f"{day}, {local:%H:%M}"


def written(line: Line, zone: ZoneInfo) -> str:
    local = moment(seconds(line.written), zone)
    return f"{long_date(local.toordinal())}, {local:%H:%M}"


def late_words(line: Line) -> str:
    """ "2 days after"."""
    hours = (line.written - line.entry.happened) // timedelta(hours=1)
    return (
        f"{hours // 24} day{'' if hours // 24 == 1 else 's'} after" if hours >= 24 else f"{hours} hours after"
    )


def saying(what: entries.What) -> str:
    """What a line says, in a phrase."""
    if isinstance(what, entries.Round):
        read = ", ".join(f"{r.station}: {plain(r.value)}" for r in what.readings[:12])
        more = f" and {len(what.readings) - 12} more" if len(what.readings) > 12 else ""
        skipped = f"; not read: {', '.join(what.skipped)}" if what.skipped else ""
        return f"round in {'K' if what.unit == 'K' else '°' + what.unit}, {read}{more}{skipped}"
    if isinstance(what, entries.LoggerBlock):
        return f"{what.count} readings from file {what.file or '(no name)'}"
    if isinstance(what, entries.Turned):
        return "turned" + _of(what)
    if isinstance(what, entries.Watered):
        return f"watered {amount_words(what.water)}"
    if isinstance(what, entries.Measured):
        where = f" at station {what.station}" if what.station else ""
        return f"{what.quantity} {amount_words(what.amount)}{where}" + (f" ({what.how})" if what.how else "")
    if isinstance(what, entries.ProbeChecked):
        bath, read = (degrees(a.value, a.unit) for a in (what.bath, what.read))  # type: ignore[arg-type]
        return f"probe {what.probe}: bath {bath}, read {read}"
    if isinstance(what, entries.RowBuilt):
        return "row built"
    if isinstance(what, entries.Merged):
        return f"{', '.join(what.sources)} pushed into {what.row}"
    if isinstance(what, entries.MovedToCuring):
        return "moved to curing" + (f", {what.place}" if what.place else "")
    if isinstance(what, entries.Covered):
        return "cover taken off" if what.taken_off else f"covered {what.cover}".strip()
    if isinstance(what, entries.Note):
        return what.text + (" (with a photograph)" if what.photo else "")
    if isinstance(what, entries.LoadIn):
        away = f", sent away: {what.refused}" if what.refused else ""
        return f"load {what.load} of {what.material}, {amount_words(what.amount)}{away}"
    if isinstance(what, entries.Complaint):
        done = f"; done: {what.done}" if what.done else ""
        return f"complaint{' of ' + what.by if what.by else ''}: {what.nature}{done}"
    if isinstance(what, entries.Incident):
        return f"incident: {what.what}" + (f"; done: {what.done}" if what.done else "")
    if isinstance(what, entries.Reviewed):
        return f"reviewed up to line {what.upto}"
    if isinstance(what, entries.RuleChosen):
        return f"rule {what.rule} chosen"
    if isinstance(what, entries.Struck):
        return f"line {what.line} struck: {what.reason}"
    if isinstance(what, Evidence):
        return evidence_said.saying(what)
    return goods_said.saying(what) if isinstance(what, goods.Goods) else str(what.__struct_config__.tag)


def _of(what: entries.Turned) -> str:
    said = "" if what.passes == 1 else f", {what.passes} passes"
    said += f", {what.machine}" if what.machine else ""
    return said + (f", {amount_words(what.water)} water" if what.water else "")

"""A year of the yard, gathered for the season book."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime

from turnrow.foreman.desk import Desk
from turnrow.foreman.papers import head_seal
from turnrow.handbook.keeping import duties, duty_of
from turnrow.lots.ledger import unclosed
from turnrow.lots.moves import Account, Move, Posting
from turnrow.records.marks import amount_words
from turnrow.records.season_book import LotOfYear, RowOfYear, SeasonBook
from turnrow.yard import days, entries, goods
from turnrow.yard.entries import Amount, Line
from turnrow.yard.temperature import degrees

Counted = tuple[Line, str, Amount]  # a line, what it is of, how much


def season_book(desk: Desk, year: int) -> SeasonBook:
    """All that happened in a calendar year of the yard's own zone."""
    diary, zone = desk.diary, desk.zone

    def within(line: Line) -> bool:
        return line.entry.happened.astimezone(zone).year == year

    def of(*kinds: type[entries.Kind]) -> tuple[Line, ...]:
        found = [line for kind in kinds for line, _ in diary.all(kind) if within(line)]
        return tuple(sorted(found, key=lambda line: (line.entry.happened, line.number)))

    lines = [diary.line(n) for n in range(1, diary.head + 1)]
    year_lines = [line for line in lines if within(line)]
    end = days.seconds(datetime(year, 12, 31, 23, 59, 59, tzinfo=zone))
    loads = [(line, what) for line, what in diary.all(entries.LoadIn) if within(line)]
    out = [(line, what) for line, what in diary.all(goods.LoadOut) if within(line)]
    rows = tuple(one for row in diary.rows if (one := _row(desk, row, year, end)))
    rules = dict.fromkeys(one.rule for one in rows)
    duty = {found for rule in rules if (found := duty_of(rule))}
    return SeasonBook(
        yard=diary.yard,
        head=head_seal(desk),
        zone=zone,
        edition=desk.handbook.edition,
        year=year,
        loads=_summed((line, what.material, what.amount) for line, what in loads if not what.refused),
        refused=tuple(line for line, what in loads if what.refused),
        rows=rows,
        lots=tuple(_lot(desk, lot, line) for line, lot in _made(desk) if within(line)),
        sold=_summed((line, what.product or "compost", what.amount) for line, what in out),
        back=of(goods.LoadBack),
        tested=of(goods.Sampled, goods.LabResult, goods.GrowthTest),
        told=of(entries.Complaint, entries.Incident, goods.Recalled),
        checks=of(entries.ProbeChecked),
        water=tuple((row, much, at) for row, much, _, at in _summed(_watered(desk, within))),
        open=unclosed(desk.lots),
        lines=len(year_lines),
        struck=sum(diary.is_struck(line.number) for line in year_lines),
        keeping=(*sorted(duty, key=lambda one: (-one.years, one.begins)), duties()[-1]),
    )


def years(desk: Desk) -> tuple[int, ...]:
    """Every calendar year something happened in, newest first."""
    found = {
        desk.diary.line(n).entry.happened.astimezone(desk.zone).year for n in range(1, desk.diary.head + 1)
    }
    return tuple(sorted(found, reverse=True))


def _row(desk: Desk, row: str, year: int, end: int) -> RowOfYear | None:
    """A row built in the year, or read or turned in it."""
    whole = desk.diary.history(row)
    history = whole.until(end)
    first, last = date(year, 1, 1).toordinal(), date(year, 12, 31).toordinal()
    own = [event for event in history.events if first <= event.day <= last]
    if not own:
        return None
    found = desk.standing(row, end)
    standing = found.standing
    built = history.built
    readings = history.readings
    hottest = ""
    if len(readings):
        at = int(readings.heat.argmax())
        hottest = degrees(int(readings.value[at]), readings.unit_of(at))
    return RowOfYear(
        row,
        days.date_text(built[0].day) if built else "not said",
        sum(first <= event.day <= last for event in history.turns),
        standing.hot_days,
        hottest,
        standing.state,
        standing.rule,
        tuple(event.line.number for event in own),
        found.beside,
        rule.known if (rule := desk.handbook.rules.get(standing.rule)) else "",
    )


def _made(desk: Desk) -> Sequence[tuple[Line, str]]:
    found = [(line, what.lot) for line, what in desk.diary.all(goods.LotMade)]
    for line, what in desk.diary.all(goods.Screened):
        found += [(line, lot) for lot in (what.fines, what.overs) if lot]
    return sorted(found, key=lambda pair: pair[0].entry.happened)


def _lot(desk: Desk, lot: str, line: Line) -> LotOfYear:
    zone = desk.zone
    gained = sum(
        posting.wet
        for move in desk.lots.moves
        for posting in move.postings
        if posting.account == Account("lot", lot) and _came_to(move, posting, line)
    )
    released = [(at, what) for at, what in desk.diary.all(goods.Released) if what.lot == lot]
    called = [at for at, what in desk.diary.all(goods.Recalled) if what.lot == lot]
    out = [(at, what) for at, what in desk.diary.all(goods.LoadOut) if what.lot == lot]
    left_as = "called back" if called else released[-1][1].how if released else "not released"
    went = ", ".join(dict.fromkeys(what.customer for _, what in out))
    lines = (line.number, *(at.number for at, _ in (*released, *out)), *(at.number for at in called))
    day = line.entry.happened.astimezone(zone).date().isoformat()
    return LotOfYear(
        lot, day, f"{gained:.3g} t" if gained else "not weighed", left_as, went, tuple(sorted(lines))
    )


def _came_to(move: Move, posting: Posting, made: Line) -> bool:
    """Whether a posting says what a lot came to: what went in, as it was measured when it was made; not what
    was weighed later, left it, or came back to it."""
    return move.line == made.number or (posting.wet > 0 and move.what not in ("measured", "came back"))


def _watered(desk: Desk, within: Callable[[Line], bool]) -> Iterable[Counted]:
    for line, what in desk.diary.all(entries.Watered):
        if within(line):
            yield line, what.row, what.water
    for line, turned in desk.diary.all(entries.Turned):
        if within(line) and turned.water:
            yield line, turned.row, turned.water


def _summed(counted: Iterable[Counted]) -> tuple[tuple[str, str, int, tuple[int, ...]], ...]:
    """By name: what it came to, each unit by itself as it was typed, how many, and the lines."""
    found: dict[str, list[tuple[Line, Amount]]] = {}
    for line, name, amount in counted:
        found.setdefault(name, []).append((line, amount))
    made = []
    for name, each in found.items():
        units: dict[str, int] = {}
        for _, amount in each:
            units[amount.unit] = units.get(amount.unit, 0) + amount.value
        much = " and ".join(amount_words(Amount(value, unit)) for unit, value in units.items())
        made.append((name, much, len(each), tuple(line.number for line, _ in each)))
    return tuple(sorted(made))

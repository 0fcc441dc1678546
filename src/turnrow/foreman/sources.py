"""What may leave now, and what is on its way to it: gathered from lots, rows and their standings."""

from dataclasses import dataclass
from datetime import datetime

from turnrow.foreman.desk import Desk
from turnrow.foreman.in_stock import InStock, stock
from turnrow.foreman.quality import Seen, lot_quality
from turnrow.handbook.figures import sales_figures
from turnrow.lots.moves import Account
from turnrow.lots.recall import recall
from turnrow.sales.coming import Way, row_coming
from turnrow.sales.promise import Coming, Deciles
from turnrow.yard import days, goods
from turnrow.yard.history import History
from turnrow.yard.numbers import MICRO

COMPOST = "compost"
LEAST_ROW = 1.0  # t: less is what a loader leaves on the ground


@dataclass(frozen=True)
class Uncounted:
    """A lot or row that no promise counts, and why; tonnes None where they are not known."""

    name: str
    tonnes: float | None
    why: str


@dataclass(frozen=True)
class Sources:
    """coming: by the material it may leave as; uncounted: in no promise."""

    coming: dict[str, tuple[Coming, ...]]
    uncounted: tuple[Uncounted, ...]


def sources(desk: Desk, now: datetime) -> Sources:
    """Everything that holds matter: counted with its chances, or left out with a reason."""
    counted: dict[str, list[Coming]] = {}
    left: list[Uncounted] = []
    seen = Seen.of(desk, now)
    for lot in stock(desk, now):
        found = _lot(desk, lot, now, seen)
        if isinstance(found, Coming):
            counted.setdefault(lot.material, []).append(found)
        else:
            left.append(found)
    asks = bool(seen.asked.limits or seen.asked.maturity or seen.asked.plan)
    called = _called_back(desk)
    for row in desk.diary.rows:
        one = _row(desk, row, now, asks, called)
        if isinstance(one, Coming):
            counted.setdefault(COMPOST, []).append(one)
        elif one is not None:
            left.append(one)
    return Sources({name: tuple(each) for name, each in counted.items()}, tuple(left))


def row_source(desk: Desk, row: str, now: datetime) -> Coming | Uncounted | None:
    """One row, as `sources` counts it; None where it is nothing to come."""
    asked = Seen.of(desk, now).asked
    return _row(desk, row, now, bool(asked.limits or asked.maturity or asked.plan), _called_back(desk))


def _lot(desk: Desk, lot: InStock, now: datetime, seen: Seen) -> Coming | Uncounted:
    name, mass = f"lot {lot.lot}", lot.tonnes
    tonnes = None if mass is None else mass[0]
    if lot.recalled:
        return Uncounted(name, tonnes, "It was called back.")
    if lot.stopped:
        return Uncounted(name, tonnes, f"It was released and may not leave now: {lot.stopped}")
    if lot.out and lot.out != "proven":
        return Uncounted(name, tonnes, "It may leave only treated as raw.")
    if mass is None:
        return Uncounted(name, None, "How much of it there is, nobody measured.")
    if lot.out:
        return Coming(name, *mass)
    release = lot_quality(desk, lot.lot, now, seen).release
    failed, missing = release.of("failed"), release.of("missing")
    if failed:
        return Uncounted(name, tonnes, failed[0].sentence)
    heat = [ask for ask in missing if ask.what == "heat"]
    if heat:
        return Uncounted(name, tonnes, heat[0].sentence)
    if missing:
        return Coming(name, *mass, chances=(("tested", _share("lab_pass")),), after=_steps(True))
    return Coming(name, *mass, after=_steps(False))


def _row(
    desk: Desk, row: str, now: datetime, asks: bool, called: frozenset[str]
) -> Coming | Uncounted | None:
    history, held = desk.diary.history(row), desk.lots.held.get(Account("row", row))
    at = days.seconds(now)
    if held is None or (held.wet_known and held.wet < LEAST_ROW) or history.gone is not None:
        return None
    built = history.built[0].at if history.built else held.since_s
    if built is None or built > at:
        return None
    name, why = f"row {row}", ""
    process = history.built[1].process if history.built else "turned"
    proven, proof_day, short = _proof(desk, row, history)
    if not held.wet_known:
        why = "What it holds was not written or weighed."
    elif process != "turned":
        why = f"Only turned rows are dated; it is {process}."
    elif row in called:
        why = "A lot of the same matter was called back."
    elif bent := [
        w for _, w in desk.diary.all(goods.GrowthTest) if w.row == row and w.leaves.startswith("cup")
    ]:
        why = f"A growth test of it showed {bent[-1].leaves} leaves."
    elif not proven:
        why = short
    if why:
        return Uncounted(name, held.wet if held.wet_known else None, why)
    settings = {key: amount.value / MICRO for key, amount in desk.settings().items()}
    since = None if history.curing is None else (at - history.curing.at) / days.DAY_S
    known_at = ((built if held.since_s is None else held.since_s) - built) / days.DAY_S
    return row_coming(
        name, held.wet, (at - built) / days.DAY_S,
        active_days=settings["active_days"], curing_days=settings["curing_days"],
        left=settings["wet_left"] / 100, spread=settings["ready_spread"] / 100, off=_share("row_mass_off"),
        curing_since=since,
        curing_in=None if since is not None else _curing_in(desk, row, days.day_of(at, desk.zone)),
        known_at=known_at,
        way=Way(
            proven, proof_day, _share("lab_pass") if asks else 1.0, _steps(asks),
            settings["screen_kept"] / 100, _share("screen_off") if settings["screen_kept"] < 100 else 0.0,
        ),
    )  # fmt: skip


def _proof(desk: Desk, row: str, history: History) -> tuple[float, float, str]:
    """Chance that the row is proven hot, days until it can be, and what is short where it cannot."""
    standing = desk.standing(row).standing
    if standing.verdict == "PASS":
        return 1.0, 0.0, ""
    short = ", ".join(standing.short_of) or "nothing that is known"
    if standing.verdict == "REVIEW":
        return 0.0, 0.0, f"A person has to decide whether it is proven hot: {short}."
    if not standing.open or history.curing is not None:
        return 0.0, 0.0, f"It is not proven hot: {short}."
    return _share("proof_chance"), float(max(0, standing.days_needed - standing.longest_run_days)), ""


def _called_back(desk: Desk) -> frozenset[str]:
    """Rows that matter of a recalled lot came from or went into, and rows that were recalled by name."""
    found: set[str] = set()
    for _, what in desk.diary.all(goods.Recalled):
        found.add(what.lot)
        account = Account("lot", what.lot)
        if account in desk.lots.node_of:
            both = recall(desk.lots, account)
            found.update(one.account.name for one in (*both.back, *both.forward) if one.account.kind == "row")
    return frozenset(found)


def _steps(asks: bool) -> tuple[Deciles, ...]:
    """Days of the laboratory, where the yard asks for a sample, and of the release."""
    named = ("lab_days", "release_days") if asks else ("release_days",)
    figures = [sales_figures()[name] for name in named]
    return tuple((one.low, one.value, one.high) for one in figures)


def _share(name: str) -> float:
    return sales_figures()[name].value / 100


def _curing_in(desk: Desk, row: str, day: int) -> Deciles | None:
    """Days until the row can cure, by an outlook made today of the row as it stands; None without one that
    is surer than not of it."""
    ahead = desk.ahead.get(row)
    if ahead is None or not ahead.speaks(day, desk.diary.history(row).last_line):
        return None
    band, chance = ahead.outlook.curing_h, ahead.outlook.curing_chance
    if band is None or chance < _share("curing_sure"):
        return None
    return band.p10 / 24, band.p50 / 24, band.p90 / 24

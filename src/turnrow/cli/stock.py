"""What the lots hold, what is on its way, and when each order can be kept. Looking writes nothing."""

from datetime import UTC, date, datetime
from math import isfinite
from typing import TYPE_CHECKING, Any

import typer

from turnrow.cli import speak
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from turnrow.foreman.desk import Desk
    from turnrow.foreman.promising import Kept
    from turnrow.sales.promise import Coming


def register(app: typer.Typer) -> None:
    """Add this family's command to `app`."""
    app.command("stock")(stock)


def stock(yard: Yard = "", as_json: Json = False) -> None:
    """What lots hold, what rows come to in which month, and when orders can be kept; all it is drawn from."""
    with speak.answering(as_json), desk_of(yard) as desk:
        found = stock_json(desk, datetime.now(UTC))
        if as_json:
            speak.answer(found)
        else:
            _say(found)


def stock_json(desk: "Desk", now: datetime) -> dict[str, Any]:
    """Everything that promises are drawn from, so that they can be drawn again elsewhere."""
    from turnrow.foreman import in_stock
    from turnrow.foreman.promising import SEED, kept_orders, ripe_months, together
    from turnrow.foreman.sources import sources
    from turnrow.sales.promise import DRAWS

    there = sources(desk, now)
    today = now.astimezone(desk.zone).date()
    return {
        "day": today.isoformat(),
        "seed": SEED,
        "draws": DRAWS,
        "together": together(),
        "lots": [
            {
                "lot": one.lot,
                "material": one.material,
                "t": one.wet_t,
                "off_t": one.off_t,
                "most_t": one.most_t,
                "m3": one.volume_m3,
                "about_t": one.about,
                "released": one.out,
                "called_back": one.recalled,
                "stopped": one.stopped,
            }
            for one in in_stock.stock(desk, now)
        ],
        "coming": [{"material": kind, **_source(one)} for kind, each in there.coming.items() for one in each],
        "uncounted": [{"name": one.name, "t": one.tonnes, "why": one.why} for one in there.uncounted],
        "orders": [_order(one, today) for one in kept_orders(desk, now, there)],
        "months": [
            {"month": one.first.isoformat()[:7], "ripe_t": one.ripe, "may_leave_t": one.out}
            for one in ripe_months(desk, now, there)
        ],
    }


def _source(one: "Coming") -> dict[str, Any]:
    return {
        "name": one.name,
        "t": one.amount,
        "sd_t": one.sd,
        "ripe_days": one.ready_day,
        "proof_day": one.proof_day,
        "chances": dict(one.chances),
        "steps_days": one.after,
        "kept": one.kept,
    }


def _order(one: "Kept", today: date) -> dict[str, Any]:
    by = one.order.order.promised or one.order.order.wanted
    sure = one.promise
    return {
        "order": one.order.order.order,
        "material": one.material,
        "left_t": one.left_t,
        "sd_t": one.sd_t,
        "by_day": None if by is None else (by - today).days,
        "chance": sure.chance if sure else None,
        "days": [day if isfinite(day) else None for day in (sure.p50, sure.p80, sure.p95)] if sure else None,
        "why": one.why or one.said,
    }


def _say(found: dict[str, Any]) -> None:
    def number(value: float | None) -> str:
        return "?" if value is None else f"{value:.1f}"

    def span(of: tuple[float, float, float]) -> tuple[str, str]:
        return f"{of[1]:.0f}", f"{of[0]:.0f} to {of[2]:.0f}"

    speak.table(
        ("Lot", "t", "m3", "May leave"),
        [
            (
                one["lot"], number(one["t"]), number(one["m3"]),
                "called back" if one["called_back"] else one["stopped"] or one["released"] or "not released",
            )
            for one in found["lots"]
        ],
    )  # fmt: skip
    speak.say()
    speak.table(
        ("Month", "Gets ripe, t", "Eight in ten", "May leave from then, t", "Eight in ten"),
        [(one["month"], *span(one["ripe_t"]), *span(one["may_leave_t"])) for one in found["months"]],
    )
    speak.say()
    speak.table(
        ("Order", "t to go", "Chance by its day", "Days for 50, 80, 95 %"),
        [
            (
                one["order"], number(one["left_t"]),
                "" if one["chance"] is None else f"{100 * one['chance']:.0f} %",
                one["why"] if one["days"] is None
                else ", ".join("never" if day is None else f"{day:.0f}" for day in one["days"]),
            )
            for one in found["orders"]
        ],
    )  # fmt: skip
    for one in found["uncounted"]:
        speak.say(f"In no promise: {one['name']}. {one['why']}")

"""What the invented yard makes of its ripe rows: lots, lab sheets, releases, orders, loads out, money.

Everything is written as a person writes it, through the desk and all its checks, so that an entry the
desk would refuse stops the building of the season.
"""

from turnrow.demo import cast
from turnrow.demo.pen import Pen
from turnrow.demo.sold_plan import PLAN, SIGNS, Told
from turnrow.demo.year_plan import YEAR
from turnrow.foreman.desk import Desk
from turnrow.foreman.quality import lot_quality, release_fields

HOUR = 18.6  # when the office writes the day's goods into the book


def write(desk: Desk, pen: Pen, day: int, ago: int) -> None:
    """The goods of one day, `ago` days before the end. Raises Refused where the desk turns one away."""
    for place, told in enumerate(one for one in (*PLAN, *YEAR) if one.ago == ago):
        now = pen.season.at(day, HOUR + place / 60)
        desk.refresh()
        fields = {"happened": pen.season.at(day, told.hour).isoformat(), **_fields(told, pen, day)}
        if told.kind == "released":
            fields |= release_fields(lot_quality(desk, fields["lot"], now), SIGNS)
        device = cast.DESK if told.who in (cast.MANAGER, cast.OFFICE) else cast.PHONE
        receipt = desk.write(told.kind, fields, now=now, who=told.who, device=device, id=pen.new_id())
        pen.keep(receipt.lines)


def _fields(told: Told, pen: Pen, day: int) -> dict[str, str]:
    """Fields as typed; a whole number is a day, so many days on."""
    return {
        name: pen.season.date(day + value).isoformat() if isinstance(value, int) else value
        for name, value in told.fields.items()
    }

"""What the pages show of a row's outlook; asked for, it comes when it is made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode

from markupsafe import Markup

from turnrow.foreman.outlooks import RowOutlook
from turnrow.foreman.what_ifs import way
from turnrow.gate.what_if_form import DAYS, FIELDS, NOW, depth_from, what_if_from
from turnrow.heap.outlook import USED, WhatIf
from turnrow.records import outlook_judged, outlook_words
from turnrow.records.fan import EXPLAINED, FAN_HEAD, NARROW, WIDE, Drawn, fan_picture, fan_rows, fan_words
from turnrow.records.outlook_words import Reader, over_now
from turnrow.records.row_picture import RowPicture
from turnrow.web.links import row_url
from turnrow.web.works import Waiting
from turnrow.yard.wrongs import Refusal, Refused

LONGEST = 40  # characters of one field
FRAGMENT = "/row/outlook"
NO_WAIT = Waiting()
MODEL = USED[0]
OF_ALL = "Its readings, what was done to it, its size and blend, and the yard’s weather lines."
OF_MODEL = (
    "water, what is left, curing and what a turn, water or a cover would change are always the model’s."
)


@dataclass(frozen=True, eq=False)
class View:
    """An outlook as the templates show it.

    made     None while it is under way; `waiting` then says how long, or why never
    changes  (what would be done, the differences it makes), the one asked for first
    """

    row: str
    given: Mapping[str, str]
    waiting: Waiting = NO_WAIT
    made: RowOutlook | None = None
    drawn: Drawn | None = None
    reader: Reader | None = None
    changes: tuple[tuple[str, tuple[str, ...]], ...] = ()
    wrong: tuple[Refusal, ...] = ()

    @property
    def fragment(self) -> str:
        return f"{FRAGMENT}?{urlencode({'row': self.row, **self.given})}"

    def here(self, **other: str) -> str:
        """The row's page with what was asked, and something else asked."""
        query = urlencode({name: text for name, text in {**self.given, **other}.items() if text})
        page = row_url(self.row)
        return page + (("&" if "?" in page else "?") + query if query else "") + "#outlook"

    @property
    def told(self) -> tuple[str, ...]:
        """The outlook's sentences."""
        return outlook_words.sentences(self.made.ahead, self.reader) if self.made and self.reader else ()

    @property
    def scored(self) -> tuple[str, ...]:
        if self.made is None or self.made.mornings is None:
            return ()
        return outlook_judged.score_words(self.made.ahead, self.made.mornings)

    @property
    def chosen(self) -> str:
        """Which way of forecasting speaks, and why; empty until it is scored."""
        if self.made is None or self.made.mornings is None or self.reader is None:
            return ""
        return outlook_judged.choice_words(self.made.ahead, self.made.mornings, self.reader)

    @property
    def plain(self) -> bool:
        """Whether only what was read is shown, as no forecast of the row was worth more."""
        return self.made is not None and self.made.ahead.skilled is False

    @property
    def acted_on(self) -> str:
        """The limit at which a row is acted on that this one is over, in words; empty where it is not."""
        if self.made is None or self.reader is None or not any(p.now for p in self.made.outlook.passing[1:]):
            return ""
        return self.reader.limit(over_now(self.made.outlook))

    @property
    def depths(self) -> tuple[str, ...]:
        return tuple(f"{d:g}" for d in self.made.outlook.depths_cm) if self.made else ()

    @property
    def turn_days(self) -> tuple[tuple[str, str], ...]:
        """What may be chosen for the turn: value and words."""
        today = date.fromordinal(self.made.plan.day) if self.made else date.min
        each = [today + timedelta(days=n) for n in range(1, DAYS + 1)] if self.made else []
        days = [(one.isoformat(), f"on {one:%A} {one.day} {one:%B}") for one in each]
        return (("no", "not at all"), (NOW, "now"), *days)

    @property
    def rests_on(self) -> tuple[str, ...]:
        """How it was made and what had to be assumed, as sentences."""
        if self.made is None:
            return ()
        one = self.made.outlook
        by = self.made.teach.heaps if self.made.teach else 0
        taught = f"{by} earlier row{'s' if by > 1 else ''} of this yard taught it." if by else ""
        model = "" if one.used == MODEL else f"Who speaks is chosen for temperatures alone: {OF_MODEL}"
        said = (OF_ALL, model, taught, *one.notices)
        return tuple(words[:1].upper() + words[1:] for words in said if words)

    def picture(self, width: float) -> Markup:
        svg = fan_picture(self.drawn, width) if self.drawn else ""
        return Markup(svg.replace("<svg ", f'<svg width="{width:g}" ', 1))

    @property
    def wide(self) -> Markup:
        return self.picture(WIDE)

    @property
    def narrow(self) -> Markup:
        return self.picture(NARROW)

    @property
    def words(self) -> str:
        return fan_words(self.drawn) if self.drawn else ""

    head, explained, care = FAN_HEAD, EXPLAINED, outlook_words.CARE

    @property
    def table(self) -> list[tuple[str, ...]]:
        return fan_rows(self.drawn) if self.drawn else []


def given_of(params: Mapping[str, str]) -> dict[str, str]:
    """What the address asks of the outlook, known fields alone."""
    return {name: params[name][:LONGEST] for name in FIELDS if params.get(name)}


def view_of(
    row: str, found: RowOutlook | Waiting, picture: RowPicture, given: Mapping[str, str], seconds: int
) -> View:
    """The view of an outlook, or of one under way; `seconds` till it is scored. What is wrong in `given`
    stands in it."""
    if isinstance(found, Waiting):
        return View(row, given, waiting=found)
    reader = Reader(picture.zone, picture.unit)
    wrong: list[Refusal] = []
    outlook = found.outlook
    depths = tuple(float(d) for d in outlook.depths_cm)
    depth, changes = max(depths), found.usual
    try:
        depth = depth_from(given.get("depth", ""), depths)
    except Refused as told:
        wrong += told.refusals
    try:
        asked = what_if_from(given, date.fromordinal(found.plan.day))
        changes = (*found.what_if(way(asked, outlook, picture.zone)), *changes)
    except Refused as told:
        wrong += told.refusals
    shown = None if found.ahead.skilled is False else outlook
    return View(
        row=row,
        given=given,
        waiting=Waiting(seconds),
        made=found,
        drawn=Drawn(picture, shown, depth, outlook.at_s),
        reader=reader,
        changes=_said(changes, reader, over_now(outlook)),
        wrong=tuple(wrong),
    )


def _said(
    changes: Sequence[WhatIf], reader: Reader, over_c: float
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each way once, in words."""
    each = {one.name: outlook_words.what_if_words(one, reader, over_c) for one in changes}
    return tuple(each.items())

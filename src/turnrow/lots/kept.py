"""The ledger's state, kept: an event behind all others is posted on it, and nothing is folded anew."""

from collections.abc import Sequence

from turnrow.lots.facts import Typicals
from turnrow.lots.ledger import Ledger, in_order, place, posted, shown
from turnrow.lots.matter import Tolerance
from turnrow.lots.moves import Wrong
from turnrow.lots.posting import Poster
from turnrow.yard.history import Event


class Kept:
    """A ledger that grows; it always is what a fold of all its events would be.

    The events of the newest day stand in a layer over those of the days before. A load in is ordered before
    what else happened on its day, so one that is written after them makes only that day be posted again. What
    is of an earlier day, or changes a figure that was used already, makes all be folded anew.
    """

    def __init__(self, events: Sequence[Event], tolerance: Tolerance, typical: Typicals) -> None:
        """events: in their order"""
        self.tolerance, self.typical = tolerance, typical
        self._fold(events)

    def _fold(self, events: Sequence[Event]) -> None:
        self._shown: Ledger | None = None
        cut = next((n for n in range(len(events), 0, -1) if events[n - 1].day != events[-1].day), 0)
        self._before, self._today = list(events[:cut]), list(events[cut:])
        self._highest = max((event.line.number for event in events), default=0)
        self._base = posted(self._before, self.tolerance, self.typical)
        if not all(self._base.facts.answers_hold(event) for event in self._today):
            self._before, self._today = list(events), []
            self._base = posted(events, self.tolerance, self.typical)
        self._day = _posted_on(self._base, self._today)

    @property
    def next_line(self) -> int:
        """A number behind those of all its lines."""
        return self._highest + 1

    @property
    def ledger(self) -> Ledger:
        """The ledger as it is; the same object until an event is added."""
        if self._shown is None:
            self._shown = shown((*self._before, *self._today), self._base, self._day)
        return self._shown

    def add(self, event: Event) -> None:
        """Post an event."""
        self._shown, self._highest = None, max(self._highest, event.line.number)
        if self._last(event):
            layer = _posted_on(self._day, [event])
            if self._today and event.day != self._today[-1].day:
                self._base.settle(self._day)
                self._before += self._today
                self._day, self._today = self._base.over(), []
            self._day.settle(layer)
            self._today.append(event)
        elif self._of_today(event):
            self._today = list(in_order((*self._today, event)))
            self._day = _posted_on(self._base, self._today)
        else:
            self._fold(in_order((*self._before, *self._today, event)))

    def wrongs_with(self, event: Event) -> tuple[Wrong, ...]:
        """What would be wrong once the event is in and is not now; nothing is posted."""
        if self._last(event):
            return tuple(_posted_on(self._day, [event]).book.wrongs)
        if self._of_today(event):
            wrongs = _posted_on(self._base, in_order((*self._today, event))).book.wrongs
        else:
            events = in_order((*self._before, *self._today, event))
            wrongs = posted(events, self.tolerance, self.typical).book.wrongs
        known = (*self._base.book.wrongs, *self._day.book.wrongs)
        before = {(one.line, one.refusal.where) for one in known}
        return tuple(one for one in wrongs if (one.line, one.refusal.where) not in before)

    def _last(self, event: Event) -> bool:
        """Whether it is ordered behind every event and changes no figure that was used."""
        last = (self._today or self._before)[-1:]
        return all(place(event) > place(one) for one in last) and self._day.facts.answers_hold(event)

    def _of_today(self, event: Event) -> bool:
        """Whether it is ordered among the events of the newest day, and changes none of those before."""
        return (
            bool(self._today)
            and event.day == self._today[-1].day
            and all(place(event) > place(one) for one in self._before[-1:])
            and self._base.facts.answers_hold(event)
        )


def _posted_on(under: Poster, events: Sequence[Event]) -> Poster:
    """A layer that has posted events in their order, knowing every figure among them."""
    layer = under.over()
    for event in events:
        layer.facts.read(event)
    for event in events:
        layer.post(event)
    return layer

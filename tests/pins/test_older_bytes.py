"""Pins of entries as they were before a field was added; they guard against drift and prove nothing."""

import msgspec

from turnrow.journal import seal
from turnrow.yard import entries


def test_an_incident_that_does_not_say_its_danger_is_stored_as_it_always_was():
    """As every incident was before there was a field for it."""
    what = entries.Incident(what="smoke", row="R7", done="pulled apart")
    pinned = b'{"done":"pulled apart","kind":"incident","row":"R7","what":"smoke"}'
    assert seal.canonical(what) == pinned
    assert msgspec.json.decode(pinned, type=entries.Incident) == what

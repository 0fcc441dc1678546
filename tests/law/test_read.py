"""READ is said only of what was read."""

import re

import pytest

from turnrow.handbook.book import handbook

UNREAD = re.compile(
    r"\bnot read\b|\bunread\b|not reached|from memory|\bMEMORY\b|exact wording|second-hand", re.I
)


def wrongs(rule, sources):
    """Why a rule may not say READ: its notes say it was not, or no source of it was."""
    notes = [rule.status, rule.clause, rule.meaning, rule.measured_where, *rule.ambiguity]
    found = [note for note in notes if UNREAD.search(note)]
    if not any(sources[key].known == "READ" for key in rule.sources):
        found.append(f"none of its sources was read: {', '.join(rule.sources)}")
    if all(UNREAD.search(sources[key].title) for key in rule.sources):
        found.append(f"its sources say so themselves: {', '.join(rule.sources)}")
    return found


@pytest.mark.parametrize("name", handbook().rules)
def test_a_rule_that_was_not_read_does_not_say_read(name):
    book = handbook()
    rule = book.rules[name]
    assert rule.known == "MEMORY" or not wrongs(rule, book.sources)


def test_the_law_finds_what_it_is_for():
    """The five rules whose clause was not reached, or whose wording is from memory, would be found."""
    book = handbook()
    unread = (
        "US-FSMA-TURNED",
        "US-FSMA-STATIC",
        "US-503-VAR-AEROBIC",
        "US-NOP5021-MANAGED",
        "US-NOP5021-VERMI",
    )
    for name in unread:
        assert wrongs(book.rules[name], book.sources), name
        assert book.rules[name].known == "MEMORY"

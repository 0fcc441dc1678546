"""The handbook: every rule and setting is whole, sourced, and honest about what was read."""

import pytest

from turnrow.handbook.book import handbook, read_rule
from turnrow.handbook.rules import POLICIES, HotDays
from turnrow.yard.temperature import Limit

WINDROW = """
id = "X"
jurisdiction = ""
status = ""
clause = "clause 1"
meaning = ""
process = "windrow"
feedstock = ""
known = "READ"
sources = ["us-503-app-b-mirror"]
[proof]
form = "hot days"
limit = ">= 131 F"
upper = "<= 170 F"
days = 15
turns = 5
"""


def test_limits_are_written_as_people_write_them_and_kept_exactly() -> None:
    proof = read_rule("x.toml", WINDROW).proof
    assert isinstance(proof, HotDays)
    assert proof.limit == Limit(">=", 131_000_000, "F")
    assert proof.upper == Limit("<=", 170_000_000, "F")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('">= 131 F"', '">= 131 R"'),
        ('">= 131 F"', '"about 131 F"'),
        ("days = 15", 'days = "15"'),
        ('form = "hot days"', 'form = "guess"'),
        ("turns = 5", "turn = 5"),
        ('known = "READ"', 'known = "SURE"'),
    ],
)
def test_a_rule_file_that_does_not_fit_is_named(old: str, new: str) -> None:
    assert old in WINDROW
    with pytest.raises(ValueError, match=r"rule file x\.toml"):
        read_rule("x.toml", WINDROW.replace(old, new))


def test_every_rule_names_sources_that_stand_in_the_list() -> None:
    book = handbook()
    assert len(book.rules) >= 33
    for rule in book.rules.values():
        assert rule.sources and rule.clause and rule.meaning, rule.id
        assert not set(rule.sources) - set(book.sources), rule.id


def test_a_rule_is_called_read_only_when_its_first_source_was_read() -> None:
    book = handbook()
    for rule in book.rules.values():
        assert rule.known == "MEMORY" or book.sources[rule.sources[0]].known == "READ", rule.id


def test_open_policies_are_policies_that_exist_and_the_default_comes_first() -> None:
    for rule in handbook().rules.values():
        for policy, choices in rule.open.items():
            assert choices and not set(choices) - set(POLICIES[policy]), rule.id


def test_settings_lie_within_their_own_range_and_have_a_source() -> None:
    book = handbook()
    for setting in book.settings.values():
        assert setting.low <= setting.amount.value <= setting.high, setting.name
        assert setting.source in book.sources and setting.known in {"READ", "MEMORY", "OWN"}


def test_the_edition_is_the_same_for_the_same_files() -> None:
    first = handbook().edition
    handbook.cache_clear()
    assert handbook().edition == first
    assert len(first) == 12

"""The listings in docs/ say what the code they are made from says."""

from tools.docs import entries_page, table, tags, validation

TEXT = '''"""Mixes worked by hand.

Source: a handbook, chapter 2
Known: READ
"""
def test_mix() -> None:
    """Moisture of the mix.

    Tolerance: 0.05 points
    Known: MEMORY
    """
def test_other() -> None:
    """Carbon to nitrogen."""
'''


def test_validation_takes_source_tolerance_and_how_it_is_known_from_the_docstrings() -> None:
    page = validation({"tests/literature/test_mix.py": TEXT})
    assert "## Mixes worked by hand\n" in page
    assert "- a handbook, chapter 2\n" in page
    assert "| Moisture of the mix. | 0.05 points | MEMORY | `test_mix` |" in page
    assert "| Carbon to nitrogen. | exact | READ | `test_other` |" in page


def test_a_test_that_does_not_say_how_it_is_known_is_shown_so() -> None:
    assert "| not said |" in validation({"a.py": 'def test_a() -> None:\n    """What."""'})


def test_tags_may_stand_more_than_once() -> None:
    assert tags("A.\n\nSource: one\nSource: two\n")["Source"] == ["one", "two"]


def test_a_bar_in_a_cell_does_not_end_it() -> None:
    assert table(["a"], [["x | y"]]).splitlines()[-1] == "| x \\| y |"


def test_entries_carry_their_fields_and_remarks() -> None:
    page = entries_page()
    assert "| `zone` | str | yes | IANA; the calendar the yard's days are counted on |" in page
    assert "| `passes` | int |  |  |" in page

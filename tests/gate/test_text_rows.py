"""What a text file may ask for: its cells are counted before they are made."""

import subprocess
import sys

import pytest

from turnrow.gate import text_rows
from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import read_table
from turnrow.yard.wrongs import Refused

from .readings_file import read, refused

HEADINGS = ",".join(f"c{i}" for i in range(493))
SHAPES = {
    "short rows under many headings": "HEAD + '1\\n' * 3_000_000",
    "short rows and a quote": "'\"a\",' + HEAD + '1\\n' * 1_500_000",
    "one full row in a thousand short ones": "HEAD + ('1\\n' * 999 + ',' * 490 + '1\\n') * 2_500",
    "rows of commas": "HEAD + ('1' + ',' * 490 + '\\n') * 12_000",
    "cells of one digit": "'a,b,c,d\\n' + '1,2,3,4\\n' * 750_000",
    "blank rows": "'a,b\\n' + '\\n' * 6_000_000 + '1,2\\n'",
    "blank rows and a quote": "'\"a\",b\\n' + '\\n' * 6_000_000 + '1,2\\n'",
    "quoted blanks": "'a,b\\n' + '\"\",\"\"\\n' * 1_000_000",
    "long lines of other alphabets": "'a,b\\n' + (chr(228) * 12 + ',1\\r\\n') * 250_000 + chr(128512)",
    "a log": "'at,b,c\\n' + '2026-05-03T07:40,60,54.5\\n' * 250_000",
}
LOOK = """
import sys
from pathlib import Path
from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import read_table
from turnrow.yard.wrongs import Refused
def kept(what):
    return next(int(line.split()[1]) for line in Path('/proc/self/status').open() if what in line)
read_table(b'a,b\\n1,2\\n', 'first', Mapped())  # what the libraries take once
HEAD = ','.join(f'c{i}' for i in range(493)) + chr(10)
data = eval(sys.argv[1]).encode()
Path('/proc/self/clear_refs').write_text('5')  # the peak counts from here
before = kept('VmRSS')
try:
    read_table(data, 'f', Mapped())
except Refused:
    pass
print(len(data), (kept('VmHWM') - before) * 1024)
"""


@pytest.mark.parametrize("name", SHAPES)
def test_a_file_takes_at_most_twenty_times_its_size(name: str) -> None:
    """Files of 3 to 8 MB, accepted or refused; the peak of a process of its own, the file itself left out."""
    done = subprocess.run(
        [sys.executable, "-c", LOOK, SHAPES[name]], capture_output=True, text=True, check=True
    )
    size, most = (int(word) for word in done.stdout.split())
    assert most <= 20 * size


def test_short_rows_under_many_headings_are_refused_by_count() -> None:
    with pytest.raises(Refused) as caught:
        read_table((HEADINGS + "\n" + "1\n" * 3_000_000).encode(), "f.csv", Mapped())
    (wrong,) = caught.value.refusals
    assert "493 columns" in wrong.got and "empty rows" in wrong.do


@pytest.mark.parametrize("quote", ["", '"'])
def test_pieces_make_the_table_that_the_whole_makes(quote: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows long, short and blank, in pieces of about 12 cells."""
    rows = [[str(n) for n in range(i % 5)] for i in range(200)]
    text = f"{quote}a{quote}, b ,c,d\n" + "".join(",".join(row) + "\n" for row in rows)
    whole = read_table(text.encode(), "f", Mapped())
    monkeypatch.setattr(text_rows, "PIECE_CELLS", 12)
    monkeypatch.setattr(text_rows, "PIECE_CHARS", 30)
    cut = read_table(text.encode(), "f", Mapped())
    assert [one.to_list() for one in cut.columns] == [one.to_list() for one in whole.columns]
    assert cut.headings == whole.headings == ("a", "b", "c", "d") and cut.first == whole.first
    padded = [[*row, *[None] * (4 - len(row))] for row in rows]
    assert [list(row) for row in zip(*(one.to_list() for one in cut.columns), strict=True)] == padded


def test_a_spreadsheets_error_in_a_column_that_is_read_is_named() -> None:
    (wrong,) = refused("at,station,value,unit\n2026-05-03T07:40,1,55,C\n2026-05-03T08:40,1,#DIV/0!,C\n")
    assert wrong.where == "log.csv, row 3, column value" and "#DIV/0!" in wrong.got and "formula" in wrong.do
    (wrong,) = refused("at,station,value,unit\n2026-05-03T07:40,#N/A,55,C\n")
    assert wrong.where == "log.csv, row 2, column station"


def test_one_in_a_column_that_is_not_read_is_no_harm() -> None:
    assert len(read("at,value,unit,mean\n2026-05-03T07:40,55,C,#DIV/0!\n").rows["R7"]) == 1


def test_one_that_a_mapping_names_as_missing_is_an_empty_cell() -> None:
    mapping = {
        "time": {"column": "at"},
        "reading": [{"column": "t", "station": "1", "unit": "C"}],
        "missing": ["#N/A"],
    }
    assert len(read("at,t\n2026-05-03T07:40,55\n2026-05-03T08:40,#N/A\n", mapping).rows["R7"]) == 1

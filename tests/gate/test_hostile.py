"""Whatever bytes come in: readings or Refused, never anything else, and never a machine brought down."""

import io
import zipfile
import zlib
from zoneinfo import ZoneInfo

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.gate.files import Intake, read_temperatures
from turnrow.gate.mapping import mapping_from
from turnrow.yard.wrongs import Refused

ZONE = ZoneInfo("Europe/Dublin")
HEAD = b"at,station,value,unit\n"
ROW = b"2026-05-03T07:40,1,55,C\n"


def read(data: bytes) -> Intake:
    return read_temperatures(data, "f", zone=ZONE, row="R7")


def _zip(parts: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in parts.items():
            packed.writestr(name, text)
    return held.getvalue()


def _workbook() -> bytes:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["at", "station", "value", "unit"])
    sheet.write_row(1, 0, ["2026-05-03T07:40", "1", 55, "C"])
    book.close()
    return held.getvalue()


def _far_cells() -> bytes:
    """A few kilobytes that ask for a sheet of 1,048,576 rows by 16,384 columns."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    sheet = book.add_worksheet()
    sheet.write(0, 0, "at")
    sheet.write(1_048_575, 16_383, "x")
    book.close()
    return held.getvalue()


def _lying_zip() -> bytes:
    """A part whose list says ten bytes and which unpacks to four hundred million."""
    whole = bytearray(_zip({"xl/worksheets/sheet1.xml": b"\0" * 400_000_000}))
    at = whole.rindex(b"PK\x01\x02")
    whole[at + 24 : at + 28] = (10).to_bytes(4, "little")
    return bytes(whole)


BAD: dict[str, bytes] = {
    "nothing": b"",
    "blanks": b" \n \n",
    "headings alone": HEAD,
    "headings and blank rows": HEAD + b"\n,,,\n",
    "binary": bytes(range(256)) * 40,
    "a picture": b"\x89PNG\r\n\x1a\n" + b"\0" * 100,
    "zero bytes": HEAD + b"2026-05-03,1,5\x005,C\n",
    "one line of ten million": b"a" * 10_000_000,
    "ten million commas": b"," * 10_000_000,
    "one cell of ten million": HEAD + b"2026-05-03,1," + b"5" * 10_000_000 + b",C\n",
    "a name of ten million": HEAD + b"2026-05-03," + b"n" * 10_000_000 + b",55,C\n",
    "a quote never closed": HEAD + b'2026-05-03,"1,55,C\n2026-05-04,1,55,C\n',
    "a quote inside": HEAD + b'2026-05-03,"1"x,55,C\n',
    "the same heading twice": b"at,value,value,unit\n2026-05-03,55,56,C\n",
    "three thousand columns": b",".join(b"c%d" % i for i in range(3000)) + b"\n" + b"," * 2999 + b"\n",
    "more cells than headings": HEAD + b"2026-05-03,1,55,C,9\n",
    "a formula for a station": HEAD + b"2026-05-03,\"=cmd|' /C calc'!A0\",55,C\n",
    "a formula for a row": b"at,row,value,unit\n2026-05-03,@SUM(A1),55,C\n",
    "huge": HEAD + b"2026-05-03,1,1e999,C\n",
    "long": HEAD + b"2026-05-03,1," + b"9" * 60 + b",C\n",
    "negative depth": b"at,depth_cm,value,unit\n2026-05-03,-90,55,C\n",
    "half a character": HEAD + b"2026-05-03,\xe2\x82,55,C\n",
    "utf-16 cut short": b"\xff\xfea\0t\0,",
    "no workbook": b"PK\x03\x04" + b"nonsense" * 50,
    "a zip of something else": _zip({"a.txt": b"hello"}),
    "an empty zip": b"PK\x05\x06" + b"\0" * 18,
    "a workbook cut short": _workbook()[:2000],
    "far cells": _far_cells(),
    "a zip bomb": _zip({"xl/worksheets/sheet1.xml": b"\0" * 400_000_000}),
    "a zip that lies": _lying_zip(),
    "three thousand parts": _zip({f"p{i}": b"" for i in range(3000)}),
}


@pytest.mark.parametrize("name", BAD)
def test_it_is_refused_with_what_to_do(name: str) -> None:
    with pytest.raises(Refused) as caught:
        read(BAD[name])
    assert all(wrong.where and wrong.do and len(wrong.got) <= 200 for wrong in caught.value.refusals)
    assert len(caught.value.refusals) <= 41


def test_names_that_are_words_of_other_scripts_and_no_formula_are_kept() -> None:
    found = read(HEAD + "2026-05-03,Haufen-Süd #2,55,C\n".encode())
    assert found.rows["R7"].stations == ("Haufen-Süd #2",)


def test_blank_rows_above_and_a_spreadsheets_own_mark_are_no_harm() -> None:
    found = read(b"sep=;\n\nat;value;unit\n2026-05-03;63,4;C\n")
    assert found.rows["R7"].value.tolist() == [63_400_000]
    assert found.rows["R7"].item.tolist() == [4]


def _only_refused(data: bytes) -> None:
    try:
        found = read(data)
    except Refused as wrong:
        assert wrong.refusals
    else:
        assert sum(len(one) for one in found.rows.values()) > 0


@given(st.binary(max_size=400))
@settings(max_examples=300, deadline=None)
def test_any_bytes(data: bytes) -> None:
    _only_refused(data)


@given(st.text(max_size=200))
@settings(max_examples=300, deadline=None)
def test_any_text_under_good_headings(text: str) -> None:
    _only_refused(HEAD + ROW + text.encode("utf-8", "replace"))


CELL = st.one_of(
    st.sampled_from(
        [
            "2026-05-03",
            "2026-05-03T07:40Z",
            "03/04/2026",
            "55",
            "54,9",
            "1e9",
            "",
            "C",
            "°F",
            "-127",
            '"',
            ";",
            "nan",
        ]
    ),
    st.text(max_size=8),
)


@given(st.lists(st.lists(CELL, min_size=1, max_size=6), max_size=8), st.sampled_from([",", ";", "\t"]))
@settings(max_examples=400, deadline=None)
def test_any_cells_under_good_headings(rows: list[list[str]], mark: str) -> None:
    head = mark.join(["at", "station", "depth_cm", "value", "unit"])
    _only_refused("\n".join([head, *(mark.join(row) for row in rows)]).encode("utf-8", "replace"))


@given(st.integers(0, 6000), st.binary(min_size=1, max_size=6))
@settings(max_examples=150, deadline=None)
def test_a_workbook_with_some_bytes_changed(place: int, change: bytes) -> None:
    whole = bytearray(_workbook())
    place %= len(whole)
    whole[place : place + len(change)] = change
    _only_refused(bytes(whole))


@given(st.text(max_size=120))
@settings(max_examples=200, deadline=None)
def test_any_mapping_text(text: str) -> None:
    try:
        mapping = mapping_from(text)
        found = read_temperatures(HEAD + ROW, "f", zone=ZONE, row="R7", mapping=mapping)
    except Refused as wrong:
        assert wrong.refusals
    else:
        assert len(found.rows["R7"]) == 1


def test_the_lying_zip_is_one() -> None:
    """The list says ten bytes; inflating says otherwise."""
    whole = _lying_zip()
    assert zipfile.ZipFile(io.BytesIO(whole)).infolist()[0].file_size == 10
    name = len("xl/worksheets/sheet1.xml")
    assert len(zlib.decompressobj(-15).decompress(whole[30 + name :], 1000)) == 1000

"""Workbooks made to harm end in a refusal and leave nothing behind; what stands in a cell is told."""

import io
import re
import zipfile
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter

from turnrow.gate import workbook
from turnrow.gate.workbook import sheet
from turnrow.yard.wrongs import Refusal, Refused


def made(*rows: list[Any]) -> bytes:
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    page = book.add_worksheet()
    for place, row in enumerate(rows):
        page.write_row(place, 0, row)
    book.close()
    return held.getvalue()


def with_parts(data: bytes, change: dict[str, bytes], moved: dict[str, str] | None = None) -> bytes:
    """The workbook with other bytes in some parts, or parts of other names."""
    held = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr((moved or {}).get(name, name), change.get(name, old.read(name)))
    return held.getvalue()


def with_sheet(cells: bytes, path: str = "worksheets/sheet1.xml", text: str = "x") -> bytes:
    """A workbook of one sheet with these cells, at this place of the zip; its shared text 0 is `text`."""
    data = made([text])
    whole = zipfile.ZipFile(io.BytesIO(data)).read("xl/worksheets/sheet1.xml")
    rels = zipfile.ZipFile(io.BytesIO(data)).read("xl/_rels/workbook.xml.rels")
    body = re.sub(rb"<sheetData>.*</sheetData>", b"<sheetData>" + cells + b"</sheetData>", whole)
    return with_parts(
        data,
        {
            "xl/worksheets/sheet1.xml": body,
            "xl/_rels/workbook.xml.rels": rels.replace(b"worksheets/sheet1.xml", path.encode()),
        },
        {"xl/worksheets/sheet1.xml": f"xl/{path}"},
    )


def refused(data: bytes) -> tuple[Refusal, ...]:
    with pytest.raises(Refused) as caught:
        sheet(data, "book.xlsx")
    return caught.value.refusals


def children() -> set[int]:
    """The processes that this one has started and that are there still, ended ones included."""
    found = Path("/proc/self/task").glob("*/children")
    return {int(word) for one in found for word in one.read_text().split()}


ONE = b'<row r="1"><c r="A1"><v>1</v></c></row>'
FAR = b'<row r="1048576"><c r="%s"><v>2</v></c></row>'
ATTACKS = {
    "a far cell in small letters": with_sheet(ONE + FAR % b"xfd1048576"),
    "a far cell of a sheet elsewhere": with_sheet(ONE + FAR % b"XFD1048576", "pages/one.xml"),
    "a column of five letters": with_sheet(ONE + FAR % b"AAAAA1"),
    "a column of forty letters": with_sheet(ONE + FAR % (b"Z" * 40 + b"1")),
    "a row of forty digits": with_sheet(ONE + FAR % (b"A" + b"9" * 40)),
    # a mark > within a value hides the place from the count, and the reader's process asks for it
    "a far cell that no count sees": with_sheet(
        ONE + b'<row x=">" r="1048576"><c x=">" r="XFD1048576"><v>2</v></c></row>'
    ),
    "one long text in very many cells": with_sheet(
        b"".join(b'<row r="%d"><c t="s"><v>0</v></c></row>' % r for r in range(1, 100_000)), text="y" * 30_000
    ),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_it_is_refused_and_the_next_workbook_is_read(name: str) -> None:
    wrong = refused(ATTACKS[name])
    assert all(one.where and one.do and "…" not in one.got for one in wrong)
    assert sheet(made(["at", "value"], ["2026-05-03", 55]), "next.xlsx").rows() == [
        ("at", "value"),
        ("2026-05-03", "55"),
    ]


def test_a_reader_that_died_is_replaced_and_leaves_no_process() -> None:
    sheet(made(["x"]), "book.xlsx")
    before, reader = children(), workbook._idle[-1][0]._process.pid
    assert reader in before
    refused(ATTACKS["a far cell that no count sees"])
    assert reader not in children(), "the reader that died over it is still there"
    sheet(made(["x"]), "book.xlsx")
    assert len(children()) == len(before)


def test_an_idle_reader_that_was_killed_is_replaced() -> None:
    sheet(made(["x"]), "book.xlsx")
    workbook._idle[-1][0]._process.kill()
    workbook._idle[-1][0]._process.wait()
    assert sheet(made(["x"]), "book.xlsx").rows() == [("x",)]


def test_an_idle_reader_ends_when_its_wait_is_over() -> None:
    sheet(made(["x"]), "book.xlsx")
    reader, timer = workbook._idle[-1]
    timer.function(*timer.args)
    assert not workbook._idle and reader._process.pid not in children()


def test_one_that_takes_too_long_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook, "SECONDS", 0.01)
    slow = made(*([n, n, n] for n in range(20_000)))
    assert refused(slow)[0].where == "book.xlsx"


def test_no_file_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    sheet(made(["x"]), "book.xlsx")
    refused(ATTACKS["a far cell that no count sees"])
    assert not list(tmp_path.iterdir())


def test_cells_that_are_formatted_and_empty_are_no_far_cells() -> None:
    """Spreadsheets write whole columns so; the reader leaves them out."""
    empty = b'<row r="1048576" s="1" customFormat="1"><c r="A1048576" s="1"/><c r="XFD1048576" s="1"/></row>'
    assert sheet(with_sheet(ONE + empty), "book.xlsx").height == 1


def test_errors_and_formulas_without_a_result_are_texts_that_say_so() -> None:
    cells = (
        b'<row r="3"><c r="C3"><v>1</v></c><c r="D3" t="e"><f>1/0</f><v>#DIV/0!</v></c>'
        b'<c r="E3" s="4"><f>B2&amp;"&lt;"</f><v></v></c><c r="F3"><f>B2*2</f><v>17</v></c></row>'
        b'<row r="4"><c r="C4" t="e"><v>#N/A</v></c><c r="D4"><f>SUM(A1)</f></c>'
        b'<c r="E4" t="str"><f>IF(1,"","")</f><v></v></c><c r="F4"/></row>'
    )
    rows = sheet(with_sheet(cells), "book.xlsx").rows()
    assert rows[2] == ("1", "#DIV/0!", '#=B2&"<"', "17")
    assert rows[3][:2] == ("#N/A", "#=SUM(A1)") and not rows[3][2]

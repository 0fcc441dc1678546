"""A glance at a file's headings, to tell what kind of file it is before it is read in earnest."""

from turnrow.gate.mapping import Mapped
from turnrow.gate.tables import read_table
from turnrow.gate.workbook import is_workbook
from turnrow.yard.wrongs import Refused

PEEK = 4096  # bytes of a text file looked at
LARGEST_SHEET = 4 * 1024 * 1024  # bytes of a workbook that is opened for a glance


def headings_of(data: bytes) -> tuple[str, ...]:
    """The headings of a table; none where there is no telling: whoever reads it says what is wrong."""
    if is_workbook(data):
        if len(data) > LARGEST_SHEET:
            return ()
        try:
            return read_table(data, "file", Mapped()).headings
        except Refused:
            return ()
    head = data[:PEEK].decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig", "replace")
    lines = [line for line in head.splitlines() if line.strip() and not line.startswith("sep=")]
    if not lines:
        return ()
    cells = lines[0].replace(";", ",").replace("\t", ",").replace('"', "").split(",")
    return tuple(cell.strip() for cell in cells)

"""The doors that take input from outside, each with inputs that it knows, for `tools/fuzz.py` to spoil.

A door is given bytes and answers, or raises Refused; anything else that it raises is a fault.
"""

import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import xlsxwriter

from turnrow.gate import workbook
from turnrow.gate.chain_file import read_chain
from turnrow.gate.entry_file import read_entries
from turnrow.gate.event_file import read_events
from turnrow.gate.files import read_temperatures
from turnrow.gate.forms import KINDS, entry_from, fields_of
from turnrow.gate.handed import Handed
from turnrow.gate.heap_described import read_described
from turnrow.gate.heap_file import read_heap, read_weather
from turnrow.gate.lab_file import read_lab
from turnrow.gate.mapping import EXAMPLE, mapping_from
from turnrow.gate.photograph import photograph
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Entry, Line, RowBuilt, YardLaidOut
from turnrow.yard.goods import LotMade, Sampled, Share

ZONE = ZoneInfo("Europe/Dublin")
NOW = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)
CELLS = (
    b"",
    b"55",
    b"-1",
    b"5.8e1",
    b"1e999",
    b"nan",
    b"1,5",
    b"#N/A",
    b"#=A1",
    b"A",
    b"C",
    b"\xc2\xb0F",
    b"1/0",
)
TIMES = (
    b"2026-05-03",
    b"2026-05-03T07:40",
    b"2026-03-29T01:30",
    b"0001-01-01",
    b"9999-12-31T23:59",
    b"45000.5",
)
MARKS = (
    b",",
    b";",
    b"\t",
    b"\n",
    b"\r\n",
    b'"',
    b"'",
    b"\0",
    b"\xff",
    b"\xef\xbb\xbf",
    b"sep=;\n",
    b"=",
    b"[",
    b"]",
)
NUMBERS = (
    b"0",
    b"-0",
    b"999999999",
    b"9" * 30,
    b"0.000001",
    b"1e-300",
    b"18446744073709551616",
    b"NaN",
    b"inf",
)
TOML = (
    b"[[reading]]\n",
    b"[time]\n",
    b"[heap]\n",
    b"true",
    b"{}",
    b"[]",
    b'""',
    b"2026-05-03",
    b"[[event]]\n",
)
XML = (
    b'<c r="XFD1048576"><v>1</v></c>', b'<c r="aaaaa1"/>', b't="s"', b't="e"', b'<v>99999999</v>',
    b"<f>1/0</f>", b'r="', b"<row>", b"</row>", b"<c>", b"</c>", b"&amp;", b"&#x0;", b"<!DOCTYPE a>",
    b"<is><t>", b's="99"',
)  # fmt: skip


@dataclass(frozen=True)
class Door:
    """What is tried, with the inputs it starts from, words to put into them, and how many are tried.

    parts  whether an input is a zip, whose parts are spoiled as well as its bytes
    """

    takes: Callable[[bytes], object]
    seeds: tuple[bytes, ...]
    words: tuple[bytes, ...]
    count: int
    parts: bool = False


def _diary() -> Diary:
    diary = Diary({}.__getitem__)
    whats = [
        YardLaidOut(name="a yard", zone="Europe/Dublin"),
        RowBuilt(row="R7"),
        RowBuilt(row="R8"),
        RowBuilt(row="R6"),
        LotMade(lot="26-04", sources=(Share(row="R7"),)),
        Sampled(sample="S-11", lot="26-04", increments=20),
    ]
    start = datetime(2026, 5, 1, tzinfo=UTC)
    diary.add(
        [Line(n, NOW, "", Entry(id=f"t{n}", happened=start, who="t", what=w)) for n, w in enumerate(whats, 1)]
    )
    return diary


DIARY = _diary()


def _table(data: bytes) -> None:
    read_temperatures(data, "f.csv", zone=ZONE, row="R7")


def _mapped(data: bytes) -> None:
    """A mapping, and a table that it fits, parted by a line of dashes."""
    text, _, table = data.partition(b"\n-----\n")
    given = mapping_from(text.decode("utf-8", "replace"))
    read_temperatures(table, "f.csv", zone=ZONE, mapping=given, row="R7")


def _lab(data: bytes) -> None:
    read_lab(Handed(data, "lab.csv", NOW, "office", lot="26-04"), DIARY)


def _entries(data: bytes) -> None:
    read_entries(data, "w.csv", DIARY, kind="weather")


def _form(data: bytes) -> None:
    """A kind and its fields as lines of field=value."""
    kind, _, rest = data.decode("utf-8", "replace").partition("\n")
    pairs = (line.partition("=") for line in rest.split("\n") if line)
    entry_from(kind, {name: value for name, _, value in pairs}, diary=DIARY, now=NOW, who="office")


def _workbook(data: bytes) -> None:
    if workbook.is_workbook(data):
        _table(data)


def _toml(data: bytes) -> None:
    read_described(data, "h.toml", ZONE)


def _books() -> tuple[bytes, ...]:
    rows = (
        [["at", "value", "unit"], ["2026-05-03T07:40", 55, "C"], ["2026-05-04", "56.5", "C"]],
        [["at", "station", "value", "unit"], *[[45000 + n / 2, "A", 50 + n, "C"] for n in range(9)]],
    )
    made = []
    for table in rows:
        held = io.BytesIO()
        book = xlsxwriter.Workbook(held, {"in_memory": True})
        page = book.add_worksheet()
        for place, row in enumerate(table):
            page.write_row(place, 0, row)
        page.write(0, 5, "mean")
        page.write_formula(2, 5, "=1/0", None, "#DIV/0!")
        book.close()
        made.append(held.getvalue())
    return tuple(made)


def rezipped(data: bytes, change: Callable[[bytes], bytes], which: Callable[[list[str]], str]) -> bytes:
    """A zip with one of its parts changed; the same bytes where it is none."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as old:
            chosen = which(old.namelist())
            parts = {name: old.read(name) for name in old.namelist()}
    except (zipfile.BadZipFile, ValueError, OSError, RuntimeError, EOFError):
        return data
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as new:
        for name, body in parts.items():
            new.writestr(name, change(body) if name == chosen else body)
    return held.getvalue()


def _pictures() -> tuple[bytes, ...]:
    from PIL import Image

    made = []
    for kind in ("JPEG", "PNG", "WEBP"):
        held = io.BytesIO()
        exif = Image.Exif()
        exif[0x0112], exif[0x010F] = 6, "Invented"
        exif.get_ifd(0x8769)[0x9003] = "2026:05:03 07:40:12"
        Image.effect_noise((24, 16), 60).save(held, kind, exif=exif)
        made.append(held.getvalue())
    return tuple(made)


def _forms() -> tuple[bytes, ...]:
    """Each kind with all of its fields as VALUES has them, and TYPED, which do as they stand."""
    whole = ("\n".join([k, *(f"{f.name}={VALUES.get(f.name, 'R8')}" for f in fields_of(k))]) for k in KINDS)
    return tuple(one.encode() for one in (*TYPED, *TYPED, *whole))


TYPED = tuple(
    line.replace("; ", "\n", 1).replace(" | ", "\n")
    for line in """\
yard-laid-out; name=Invented Farm | zone=Europe/Dublin
load-in; load=T-9 | material=straw | amount=12 t
row-built; row=R9 | length=62 m | parts=dairy manure: 40 t; straw: 6 t | stations=1, 2
round; row=R8 | readings=1@90: 54.9, 2@90: 61.5 | unit=C | skipped=3 | probe=P1
round; row=R8 | station.1=58 | station.2@60=61,5 | unit=C | depth_cm=60
turned; row=R8 | happened=2026-05-03T07:40 | water=2 m3
watered; row=R8 | water=400 gal (US)
measured; row=R8 | quantity=moisture | amount=55 %
covered; row=R8
moved-to-curing; row=R8
merged; row=R8 | sources=R6
weather; air=12.5 C | rain=4 mm | wind=3 m/s
probe-checked; probe=P1 | bath=0 C | read=0.4 C
lot-made; lot=26-05 | sources=row R8: 30 t @ 45 %
sampled; sample=S-12 | lot=26-04 | increments=20
lab-result; sample=S-11 | results=N total: 1.53 % dry; Cu: 63 mg/kg dry
weighed; lot=26-04 | amount=12 t
spent; row=R8 | cost=labour | amount=3 h
rate; rate=18.50 EUR/h | what=labour
setting-chosen; name=suspect_frozen_hours | amount=24 h
customer; customer=A Garden
struck; line=1 | reason=typed twice
""".splitlines()
)
VALUES = {
    "happened": "2026-05-03T07:40", "length": "62 m", "parts": "dairy manure: 40 t; straw: 6 t",
    "lot": "26-04", "amount": "12 t", "moisture": "55", "A": "58", "unit": "C", "sample": "S-11",
    "depth_cm": "60", "line": "1", "sources": "R7: 100 %", "analyte": "Cu", "value": "63.5",
    "stations": "A, B, C", "rain": "4 mm", "readings": "A@60: 58, B@60: 61", "row": "R8",
    "quantity": "moisture", "text": "steam seen", "air": "12 C", "reason": "typed twice", "what": "smoke",
}  # fmt: skip
LOG = b"at,station,depth_cm,value,unit\n2026-05-03T07:40,A,60,58.5,C\n2026-05-04T07:40,B,60,59,C\n,,,,\n"
WIDE = b'sep=;\nwhen;core (C);"shell, outer";note\n03/05/2026 07:40;58,5;41,2;turned\n04/05/2026 07:40;59;;\n'
MAPPING = b"""[time]
column = "when"
format = "%d/%m/%Y %H:%M"
[[reading]]
column = "core (C)"
station = "1"
depth_cm = 60
unit = "C"
[event]
column = "note"
means = {turned = "turned"}
"""
MAPPED = MAPPING + b"\n-----\n" + WIDE
LAB = b"analyte,value,unit,basis,sampled,sample\n"
LAB += b"Cu,63.5,mg/kg,dry,2026-05-01,S-11\nCd,<0.5,mg/kg,dry,2026-05-01,S-11\n"
LAB_WIDE = (
    b"sample,sampled,N total,Cd,moisture\nUnits,,%,mg/kg,%\nBasis,,dry,dry,\nS-11,2026-05-01,1.53,<0.5,41\n"
)
WEATHER = b"date,air_c,rain (mm),wind (m/s)\n2026-05-03,12.5,4,2\n2026-05-04,9,0,\n"
HOURLY = b"air_c,humidity_pct,rain_mm\n" + b"".join(b"%d,70,0.%d\n" % (n, n) for n in range(26))
DESCRIBED = (
    b"built = 2026-05-03T07:40\n[heap]\nbase_m = 4.2\nheight_m = 1.7\nlength_m = 40\n[material]\ncn = 27\n"
)
HEAP = b'days = 9\n[heap]\nbase_m = 4.2\n[air]\ntemp_c = 12\n[[event]]\nat_day = 4.3\nkind = "turn"\n'
CHAIN = (
    b"[[load]]\nt = 40\nmoisture_pct = 60\nash_pct_dry = 20\n[[stage]]\nash_pct_dry = 30\nmoisture_pct = 40\n"
)
EVENTS = b"at,kind,amount_t\n2026-05-03T08:00,Turned,\n2026-05-02,watered,4\n"
TEXT = (*CELLS, *TIMES, *MARKS, *NUMBERS)
CODED = (
    b"\0",
    b"\xff",
    b"\xff\xd8",
    b"\xff\xd9",
    b"\xff\xda",
    b"\xff\xff",
    b"IDAT",
    b"IEND",
    b"\0\0\0\0",
    b"\x7f\xff",
)

DOORS = {
    "form": Door(_form, _forms(), (*TEXT, b"R7", b"%", b" t", b": ", b"; "), 25_000),
    "table": Door(_table, (LOG, WIDE.replace(b"when", b"at"), LOG.replace(b",", b";")), TEXT, 5_000),
    "mapping": Door(_mapped, (MAPPED, EXAMPLE.encode() + MAPPED[len(MAPPING) :]), (*TEXT, *TOML), 8_000),
    "lab": Door(_lab, (LAB, LAB_WIDE), (*TEXT, b"mg/kg", b"dry", b"<", b"absent"), 5_000),
    "weather": Door(_entries, (WEATHER,), (*TEXT, b"rain", b" (in)", b"F"), 5_000),
    "hourly weather": Door(lambda data: read_weather(data, "w.csv", 24), (HOURLY,), TEXT, 12_000),
    "events": Door(lambda data: read_events(data, "e.csv", zone=ZONE), (EVENTS,), TEXT, 4_000),
    "described heap": Door(_toml, (DESCRIBED,), (*TEXT, *TOML), 12_000),
    "heap": Door(lambda data: read_heap(data, "h.toml"), (HEAP,), (*TEXT, *TOML), 10_000),
    "chain": Door(lambda data: read_chain(data, "c.toml", 1000.0), (CHAIN,), (*TEXT, *TOML), 10_000),
    "photograph": Door(photograph, _pictures(), CODED, 12_000),
    "workbook": Door(_workbook, _books(), (*TEXT, *XML), 3_000, parts=True),
}  # fmt: skip

"""The seal, against something outside: published test vectors, and the standard library alone."""

import hashlib
import io
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnrow.journal import seal
from turnrow.journal.export import export_lines
from turnrow.yard import blocks, entries

# NIST, FIPS 180-4 example messages for SHA-256 (FIPS 180-2 appendix B), READ as repeated in several public
# test suites of hash libraries; the third crosses many blocks
FIPS_180 = [
    (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
]


@pytest.mark.parametrize(("message", "digest"), FIPS_180)
def test_names_and_seals_are_sha256__fips180(message, digest):
    assert blocks.name_of(message) == digest
    # split as a seal is made: 32 bytes before, three figures, then the stored bytes
    before, number, written_us, raw = seal.GENESIS, 1, 2, message
    figures = b"".join(n.to_bytes(8, "big") for n in (number, written_us, len(raw)))
    assert seal.seal(before, number, written_us, raw).hex() == blocks.name_of(before + figures + raw)


def test_the_first_seal_stands_before_line_one(book):
    assert book.head().seal == hashlib.sha256(b"turnrow book 1").hexdigest()


def test_the_chain_follows_by_the_standard_library_alone(full):
    """Only json and hashlib: entries written anew by the rule in docs/record-keeping.md give the seals."""
    out = io.BytesIO()
    export_lines(full, out)
    told = [json.loads(text) for text in out.getvalue().splitlines()]
    before = hashlib.sha256(b"turnrow book 1").digest()
    lines = [thing for thing in told if "line" in thing]
    assert len(lines) == 6
    for thing in lines:
        raw = json.dumps(thing["entry"], sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
        figures = b"".join(n.to_bytes(8, "big") for n in (thing["line"], thing["written"], len(raw)))
        before = hashlib.sha256(before + figures + raw).digest()
        assert before.hex() == thing["seal"]
    assert before.hex() == told[0]["head"]


@settings(max_examples=300, deadline=None)
@given(st.text(), st.text(), st.integers(-(2**63), 2**63 - 1))
def test_stored_bytes_are_what_the_standard_library_writes_with_sorted_keys(text, name, value):
    what = entries.RuleChosen(rule=text, facts={name: text, "b": name, "": "x"})
    amount = entries.Weather(air=entries.Amount(value, name))
    for thing in (what, amount):
        raw = seal.canonical(thing)
        plain = json.loads(raw)
        assert json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode() == raw


def test_every_part_of_a_line_is_in_its_seal():
    whole = (seal.GENESIS, 1, 2, b"abc")
    changed = [(b"x" * 32, 1, 2, b"abc"), (seal.GENESIS, 2, 2, b"abc"), (seal.GENESIS, 1, 3, b"abc")]
    changed += [(seal.GENESIS, 1, 2, b"abd"), (seal.GENESIS, 1, 2, b"abc\0"), (seal.GENESIS, 1, 2, b"")]
    assert len({seal.seal(*parts) for parts in [whole, *changed]}) == 7

"""What stands in the invented book could have been written: its entries pass the gate unchanged.

Each line sampled is turned back into the fields a person would type and read again by the gate,
with the diary as it was before that line.
"""

from typing import Any

import msgspec
import pytest

from turnrow.foreman.left import left_without_release
from turnrow.gate.forms import FORMS, entry_from
from turnrow.yard import entries, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount, Line
from turnrow.yard.numbers import plain
from turnrow.yard.wrongs import Refused


def _amount(amount: Amount) -> str:
    return f"{plain(amount.value)} {amount.unit}"


def _round(what: entries.Round) -> dict[str, str]:
    typed = [f"{r.station}@{r.depth_mm / 10:g}:{plain(r.value)} {what.unit}" for r in what.readings]
    return {"readings": ", ".join(typed), "skipped": ", ".join(what.skipped), "unit": ""}


def _part(part: entries.Part) -> str:
    return ": ".join(
        filter(None, (part.material, _amount(part.amount), part.load, part.lot and f"lot {part.lot}"))
    )


def _share(share: goods.Share) -> str:
    kind = next(kind for kind in ("load", "row", "lot") if getattr(share, kind))
    return (
        f"{kind} {getattr(share, kind)}"
        + (f": {_amount(share.amount)}" if share.amount else "")
        + (f" @ {_amount(share.moisture)}" if share.moisture else "")
    )


def _result(one: goods.Result) -> str:
    size = f"{'<' if one.below else ''}{_amount(one.amount)}"
    told = f"{one.analyte}: {size} {one.basis}".strip()
    return f"{told} by {one.method}" if one.method else told


def _text(name: str, value: Any) -> dict[str, str]:
    if isinstance(value, Amount):
        return {name: _amount(value)}
    if isinstance(value, bool):
        return {name: "yes" if value else "no"}
    if isinstance(value, dict):
        stem = {"policies": "policy", "facts": "fact", "maturity": "maturity"}[name]
        return {f"{stem}.{key}": text for key, text in value.items()}
    if name == "parts":
        return {name: "; ".join(_part(part) for part in value)}
    if name == "sources" and value and isinstance(value[0], goods.Share):
        return {name: "; ".join(_share(share) for share in value)}
    if name == "results":
        return {name: "; ".join(_result(one) for one in value)}
    if isinstance(value, tuple):
        return {name: ", ".join(map(str, value))}
    if name == "depth_mm":
        return {"depth_cm": f"{value / 10:g}"} if value >= 0 else {}
    return {name: str(value)} if value not in (None, "") else {}


def _fields(line: Line) -> dict[str, str]:
    what = line.entry.what
    out: dict[str, str] = {"happened": line.entry.happened.isoformat()}
    for name in what.__struct_fields__:
        if not (isinstance(what, entries.Round) and name in ("readings", "skipped", "unit")):
            out |= _text(name, getattr(what, name))
    if isinstance(what, entries.Round):
        out |= _round(what)
    if isinstance(what, goods.Released):
        out["limits"] = "\n".join(what.limits)
    return {name: text for name, text in out.items() if text}


def _sample(lines: tuple[Line, ...]) -> list[Line]:
    """The first, a middle and the last line of every kind the gate has a form for."""
    kinds: dict[str, list[Line]] = {}
    for line in lines:
        kinds.setdefault(type(line.entry.what).__struct_config__.tag, []).append(line)
    return sorted(
        {
            line.number: line
            for kind, found in kinds.items()
            if kind in FORMS
            for line in (found[0], found[len(found) // 2], found[-1])
        }.values(),
        key=lambda line: line.number,
    )


def test_a_sample_passes_the_gate_unchanged(built) -> None:
    sample = _sample(built.lines)
    assert {type(line.entry.what).__struct_config__.tag for line in sample} == set(FORMS)
    diary, done = Diary(built.book.blob), 0
    for line in sample:
        diary.add(built.lines[done : line.number - 1])
        done = line.number - 1
        entry = entry_from(
            type(line.entry.what).__struct_config__.tag,
            _fields(line),
            diary=diary,
            now=line.written,
            who=line.entry.who,
            device=line.entry.device,
            id=line.entry.id,
        )
        assert msgspec.json.encode(entry.what) == msgspec.json.encode(line.entry.what), line.number
        assert (entry.happened, entry.day_only) == (line.entry.happened, line.entry.day_only)


def test_nothing_of_the_goods_stands_against_the_ledger_or_left_unreleased(built) -> None:
    assert built.desk.lots.wrongs == ()
    assert left_without_release(built.desk.diary) == ()


def test_a_wrong_field_would_have_been_refused(built) -> None:
    """The way back is not so kind that anything passes."""
    line = next(line for line in built.lines if isinstance(line.entry.what, entries.Measured))
    fields = {**_fields(line), "amount": "9 score"}
    diary = Diary(built.book.blob, built.lines[: line.number - 1])
    with pytest.raises(Refused, match="1 to 5"):
        entry_from("measured", fields, diary=diary, now=line.written, who="yard hand")

"""Writes the pages of docs/ that are made from the code; `--check` only says which are stale.

docs/validation.md   from tests/literature: what the project was held against
docs/rules.md        from the handbook
docs/settings.md     from the handbook
docs/feedstocks.md   from the handbook
docs/lot-limits.md   from the handbook: limit sets, maturity schemes, sampling plans
docs/entries.md      from yard/entries.py
docs/commands.md     from the command line itself
"""

import argparse
import ast
import re
import sys
import textwrap
import typing
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import typer.main
from msgspec import structs

from turnrow.cli.door import app
from turnrow.handbook.book import Handbook, handbook
from turnrow.handbook.feedstocks import OTHER_NAMES, Feedstock, Figure, feedstocks
from turnrow.handbook.quality import LotLimit, PlanRow, limit_sets, sampling_plans, schemes
from turnrow.yard import entries, evidence, goods, kind
from turnrow.yard.numbers import plain

ROOT = Path(__file__).resolve().parents[1]
MADE = "<!-- Made by tools/docs.py; change what it is made from, then `make docs`. -->\n"
TAG = re.compile(r"^(Source|Known|Tolerance):\s*(.*?)\s*$", re.MULTILINE)


def table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    drawn = [headings, ["---"] * len(headings), *rows]
    return "".join(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in row)} |\n" for row in drawn)


def prose(text: str) -> str:
    return textwrap.fill(" ".join(text.split()), 115) + "\n"


def tags(docstring: str) -> dict[str, list[str]]:
    """The `Source:`, `Known:` and `Tolerance:` lines of a docstring; a tag may stand more than once."""
    found: dict[str, list[str]] = {}
    for name, text in TAG.findall(docstring):
        found.setdefault(name, []).append(text)
    return found


def first_paragraph(docstring: str) -> str:
    return " ".join(docstring.strip().split("\n\n")[0].split())


def each_test(tree: ast.Module) -> Iterator[ast.FunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node


def validation(files: Mapping[str, str]) -> str:
    """One row a test of tests/literature, from the docstrings (CONTRIBUTING.md says how)."""
    parts = [MADE, "# What it was held against\n"]
    parts.append(
        prose(
            """One row for each test of `tests/literature/`. READ: the source's own text or table was read.
            MEMORY: the value is recalled and still to be checked against the source. CALC: worked out by
            hand from the source's formula. The tolerance is the agreement reached; exact means equal."""
        )
    )
    for name, text in sorted(files.items()):
        tree = ast.parse(text)
        whole = ast.get_docstring(tree) or ""
        marks = tags(whole)
        title = first_paragraph(whole).rstrip(".") or name
        rows = []
        for test in each_test(tree):
            own = ast.get_docstring(test) or ""
            said = tags(own)
            what = first_paragraph(TAG.sub("", own)) or test.name
            known = said.get("Known") or marks.get("Known") or ["not said"]
            where = "; ".join(said.get("Source", []))
            rows.append(
                [what + (f" ({where})" if where else ""), _tolerance(said), known[0], f"`{test.name}`"]
            )
        parts.append(f"## {title}\n")
        parts.append("".join(f"- {source}\n" for source in marks.get("Source", [])))
        parts.append(f"\n`{name}`\n\n" + table(["What is checked", "Tolerance", "Known", "Test"], rows))
    return "\n".join(parts)


def _tolerance(said: Mapping[str, Sequence[str]]) -> str:
    return "; ".join(said.get("Tolerance", ["exact"]))


def rules(book: Handbook) -> str:
    read = sum(rule.known == "READ" for rule in book.rules.values())
    parts = [MADE, "# Rules\n"]
    parts.append(
        prose(
            f"""{len(book.rules)} rules; the text of {read} was read, the others are from memory, and every
            screen and paper says so. A rule here is our reading of a clause, not legal advice: your
            regulator, your certifier and the text in force come first. Where a text leaves something open
            the policies are listed, the default first; none is ever picked silently."""
        )
    )
    by_place: dict[str, list[list[str]]] = {}
    for rule in sorted(book.rules.values(), key=lambda rule: (rule.jurisdiction, rule.id)):
        left = (
            "; ".join(f"{name}: {', '.join(ways)}" for name, ways in sorted(rule.open.items())) or "nothing"
        )
        row = [f"`{rule.id}`", rule.clause, rule.meaning, rule.status, rule.known, left]
        by_place.setdefault(rule.jurisdiction, []).append(row)
    for place, rows in by_place.items():
        parts.append(
            f"## {place}\n\n" + table(["Rule", "Clause", "Says", "Status", "Known", "Left open"], rows)
        )
    return "\n".join(parts)


def settings(book: Handbook) -> str:
    rows = [
        [
            f"`{one.name}`",
            one.words,
            f"{plain(one.amount.value)} {one.amount.unit}",
            f"{plain(one.low)} to {plain(one.high)}",
            _source(book, one.source),
            one.known,
        ]
        for one in book.settings.values()
    ]
    intro = prose(
        """A yard changes one with `turnrow write 'setting chosen'` or on the settings page; the change is
            a line of the journal with its reason. Outside the range it is refused. OWN: our choice, or
            common practice without a source."""
    )
    head = ["Setting", "Is", "Default", "Range", "Source", "Known"]
    return "\n".join([MADE, "# Settings\n", intro, table(head, rows)])


def _source(book: Handbook, key: str) -> str:
    return f"{book.sources[key].title} ({key})" if key in book.sources else key


def feedstocks_page(book: Handbook, table_of: Mapping[str, Feedstock]) -> str:
    """What a recipe takes for each feedstock named to it, and what is missing."""
    rows = [
        [
            f"`{key}`",
            *(_figure(one.figure(name)) for name in ("moisture", "n", "c", "cn")),
            "; ".join(f"{_figure(one.figure('density', form))} {form}" for form in one.forms),
            ", ".join(one.missing),
        ]
        for key, one in table_of.items()
    ]
    names = ", ".join(f"{name}: `{key}`" for name, key in OTHER_NAMES.items())
    used = sorted({figure.source for one in table_of.values() for figure in one.figures})
    says = """What a recipe takes when only the name is given: the typical value, the range where one is
        known, and how it is known. R was read at the source or in a copy that names its original, M is
        recalled and still to be checked, O is our own; the letter is the value's, the ranges are mostly
        recalled. Nitrogen and carbon are % of dry matter (ar: as received), moisture is on the wet basis,
        density in kg/m³. Of nitrogen, carbon and C:N two are kept and the third follows. Weigh and sample
        your own: farms differ from books by half. Rival and refused figures stand in
        `handbook/tables/feedstocks.csv` with their notes."""
    sources = "".join(f"- {_source(book, key)}\n" for key in used)
    heads = ("Feedstock", "Moisture", "N", "C", "C:N", "Density and form", "Missing")
    listed = f"{MADE}\n# Feedstocks\n\n{prose(says)}\n{table(heads, rows)}"
    return f"{listed}\n## Other names\n\n{prose(names)}\n## Sources\n\n{sources}"


def _figure(one: Figure | None) -> str:
    if one is None:
        return ""
    span = f" ({one.low:g}–{one.high:g})" if one.low is not None else ""
    received = " ar" if one.basis == "as received" else ""
    return f"{one.value:g}{span}{received} {one.known[0]}"


def lot_limits() -> str:
    """Limit sets, maturity schemes and sampling plans by the names a yard asks for them."""
    says = """What a yard may ask of its lots with `turnrow write quality-asked` (see [quality](quality.md)).
        Operators are the texts' own. READ: the text or a copy of it was read; MEMORY: recalled, and said so
        wherever a verdict under it stands. This is our reading, not legal advice."""
    parts = [MADE, "# Limits, maturity schemes, sampling plans\n", prose(says), "## Limit sets\n"]
    rows = []
    for one in limit_sets().values():
        limits = "; ".join(_limit(limit) for limit in one.limits)
        rows.append([f"`{one.id}`", f"{one.name} ({one.jurisdiction})", one.words, limits, one.known])
    parts.append(table(("Set", "Is", "Holds", "Limits", "Known"), rows))
    parts.append("## Maturity schemes\n")
    rows = []
    for scheme in schemes().values():
        for ladder in scheme.ladders:
            steps = "; ".join(
                f"{step.word}: {step.op} {_exact(step.value)}{', edge shared' if step.edge == 'both' else ''}"
                if step.op
                else f"{step.word}: else"
                for step in ladder.steps
            )
            of = f"{ladder.analyte}, {ladder.unit}"
            rows.append([f"`{scheme.name}`", of, ladder.part or "alone", steps, scheme.known])
    parts.append(table(("Scheme", "Test", "Part", "Classes, best first", "Known"), rows))
    parts.append("## Sampling plans\n")
    rows = [
        [f"`{name}`", "; ".join(_asks(row) for row in plan.rows), plan.known]
        for name, plan in sampling_plans().items()
    ]
    parts.append(table(("Plan", "Asks", "Known"), rows))
    return "\n".join(parts)


def _limit(limit: LotLimit) -> str:
    how = "" if limit.how == "each" else f", {limit.how}"
    days = f", from {limit.since}" if limit.since else f", until {limit.until}" if limit.until else ""
    group = f", one of {limit.any}" if limit.any else ""
    return f"{limit.analyte} {limit.op} {_exact(limit.value)} {limit.unit} {limit.basis}".strip() + (
        how + days + group
    )


def _asks(row: PlanRow) -> str:
    when = f" for {row.op} {_exact(row.above)} {row.above_unit}" if row.op else ""
    return f"{row.asks} {_exact(row.number)} {row.unit}{when}"


def _exact(value: Fraction) -> str:
    return f"{float(value):.10g}"


def entry_kinds() -> tuple[type, ...]:
    return typing.get_args(entries.What)


def entries_page() -> str:
    said = {}
    for page in (kind, goods, evidence, entries):
        text = Path(page.__file__).read_text("utf-8")
        found = [node for node in ast.parse(text).body if isinstance(node, ast.ClassDef)]
        said |= {node.name: (node, text.splitlines()) for node in found}
    parts = [MADE, "# Entries\n"]
    parts.append(
        prose(
            """Every kind of entry the diary holds. Numbers are kept as typed: millionths of the unit typed,
            and the unit. `turnrow write KIND field=value ...` makes one, as a person would write it:
            `turnrow write round row=R1 unit=C readings="1@90:58.2, 2@90:61"` is two stations at 90 cm. A
            field that is not needed may be left out."""
        )
    )
    nested = (
        entries.Amount,
        entries.Part,
        entries.Reading,
        entries.Advice,
        goods.Share,
        goods.Result,
    )
    for one in (*entry_kinds(), *nested):
        node, lines = said[one.__name__]
        name = one.__struct_config__.tag or f"{one.__name__}, within an entry"  # type: ignore[attr-defined]
        parts.append(f"## {name}\n")
        doc = ast.get_docstring(node)
        if doc:
            parts.append(" ".join(doc.split()) + "\n")
        notes = {
            item.target.id: (ast.unparse(item.annotation), _comment(lines, item))
            for item in node.body
            if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name)
        }
        rows = [
            [f"`{field.name}`", notes[field.name][0], "yes" if field.required else "", notes[field.name][1]]
            for field in structs.fields(one)
        ]
        parts.append(table(["Field", "Type", "Needed", "Means"], rows))
    return "\n".join(parts)


def _comment(lines: Sequence[str], item: ast.AnnAssign) -> str:
    after = lines[(item.end_lineno or item.lineno) - 1][item.end_col_offset or 0 :]
    return after.partition("#")[2].strip()


def commands() -> str:
    parts = [MADE, "# Commands\n"]
    parts.append(
        prose(
            """Every command prints a table for people; with `--json` it prints exactly one JSON object on
            stdout. Exit 0: an answer, whatever the answer is. Exit 2: input refused, every refusal listed
            with where, what was got and what to do. Exit 1: a fault of ours, or a damaged journal; of
            `verify`: the book has faults, and the answer names them."""
        )
    )
    for name, command in sorted(typer.main.get_group(app).commands.items()):
        if command.hidden:
            continue
        given = [p for p in command.params if p.param_type_name == "argument"]
        chosen = [p for p in command.params if p.param_type_name == "option"]
        usage = " ".join(
            ["turnrow", name, *(_argument(p) for p in given), *(["[OPTIONS]"] if chosen else [])]
        )
        parts.append(f"## {name}\n\n{_help(command.help)}\n\n    {usage}\n")
        rows = [[f"`{_argument(p)}`", _help(getattr(p, "help", "")), ""] for p in given]
        rows += [[f"`{', '.join([*p.opts, *p.secondary_opts])}`", _option(p), _default(p)] for p in chosen]
        parts.append(table(["", "Is", "Default"], rows))
    return "\n".join(parts)


def _help(text: str | None) -> str:
    return " ".join((text or "").split())


def _argument(param: Any) -> str:
    shown = (param.metavar or param.name or "").strip("[]").upper()
    shown += " ..." if param.nargs == -1 else ""
    return shown if param.required else f"[{shown}]"


def _option(param: Any) -> str:
    more = [f"One of {', '.join(_choices(param))}."] if _choices(param) else []
    more += ["May be given more than once."] if param.multiple else []
    more += [f"Or the environment variable `{param.envvar}`."] if param.envvar else []
    return " ".join([_help(param.help), *more]).strip()


def _choices(param: Any) -> list[str]:
    annotation = getattr(getattr(param, "type_descriptor", None), "annotation", None)
    return (
        [str(one) for one in typing.get_args(annotation)]
        if typing.get_origin(annotation) is typing.Literal
        else []
    )


def _default(param: Any) -> str:
    if param.required:
        return "needed"
    if param.is_flag or param.default in (None, "", [], ()) or callable(param.default):
        return ""
    return f"`{param.default}`"


def pages() -> dict[str, str]:
    """Name under docs/ -> the text it should have."""
    literature = sorted((ROOT / "tests" / "literature").glob("test_*.py"))
    book = handbook()
    return {
        "validation.md": validation({f"tests/literature/{p.name}": p.read_text("utf-8") for p in literature}),
        "rules.md": rules(book),
        "settings.md": settings(book),
        "feedstocks.md": feedstocks_page(book, feedstocks()),
        "lot-limits.md": lot_limits(),
        "entries.md": entries_page(),
        "commands.md": commands(),
    }


def stale(want: Mapping[str, str], folder: Path) -> list[str]:
    """Names whose file under `folder` is absent or says something else."""
    return [
        name
        for name, text in want.items()
        if not (folder / name).is_file() or (folder / name).read_text("utf-8") != text
    ]


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 when a page is stale")
    given = parser.parse_args()
    want, folder = pages(), ROOT / "docs"
    old = stale(want, folder)
    if given.check:
        for name in old:
            print(f"docs/{name} is stale; run: make docs", file=sys.stderr)
        return 1 if old else 0
    for name in old:
        (folder / name).write_text(want[name], "utf-8")
        print(f"wrote docs/{name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

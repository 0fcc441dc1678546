"""What the docs say exists, and what exists is said: commands, options, entries, rules, settings, links."""

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import pytest
import typer.main

from tools.docs import entry_kinds, pages, stale
from turnrow.cli.door import app
from turnrow.handbook.book import handbook

FENCE = re.compile(r"^(<!-- run -->\n)?```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\]\(([^)#\s]+)[^)]*\)")
Commands = Mapping[str, set[str]]


def commands() -> dict[str, set[str]]:
    """Every command of the door -> the options it takes."""
    return {
        name: {"--help", *(opt for p in command.params for opt in (*p.opts, *p.secondary_opts))}
        for name, command in typer.main.get_group(app).commands.items()
    }


def missing(names: Iterable[str], docs: str) -> list[str]:
    """Names without a line of their own in the docs."""
    return [f"docs/ has no line on {name}" for name in names if not _said(name, docs)]


def _said(name: str, docs: str) -> bool:
    return re.search(rf"(?:^## |`|turnrow ){re.escape(name)}(?:`|$|\s)", docs, re.MULTILINE) is not None


def lines_of(text: str) -> list[str]:
    """Command lines in fenced blocks of `text`, continued lines joined."""
    bodies = "\n".join(body for _, kind, body in FENCE.findall(text) if kind in {"sh", "console", ""})
    joined = bodies.replace("\\\n", " ")
    return [line.strip().removeprefix("$ ") for line in joined.splitlines()]


def command_faults(name: str, text: str, known: Commands) -> list[str]:
    """`turnrow ...` lines that name a command or an option which does not exist."""
    found = []
    for line in lines_of(text):
        for part in re.split(r"\s*(?:\||&&|;)\s*", line):
            if not part.startswith("turnrow "):
                continue
            words = shlex.split(part, comments=True)
            called = next((word for word in words[1:] if not word.startswith("-")), "")
            if not called:
                continue
            if called not in known:
                found.append(f"{name}: {part}: there is no command {called}")
                continue
            options = [word.split("=")[0] for word in words[2:] if re.match(r"--?[a-z]", word)]
            found += [f"{name}: {part}: {called} has no {one}" for one in options if one not in known[called]]
    return found


def link_faults(name: str, text: str, root: Path) -> list[str]:
    """Links to files that are not there."""
    here = (root / name).parent
    return [
        f"{name}: links to {target}, which is not there"
        for target in LINK.findall(text)
        if "://" not in target and not target.startswith("mailto:") and not (here / target).exists()
    ]


def runnable(text: str) -> list[str]:
    """Blocks marked `<!-- run -->`, to be run as they stand in an empty folder."""
    return [body for mark, _, body in FENCE.findall(text) if mark]


def _prose(texts: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in texts.items() if name.endswith(".md")}


def test_every_command_has_a_line(docs: str, said: Callable[[list[str]], str]) -> None:
    known = commands()
    assert known
    faults = missing(known, docs)
    assert not faults, said(faults)


def test_every_kind_of_entry_has_a_line(docs: str, said: Callable[[list[str]], str]) -> None:
    faults = missing([str(kind.__struct_config__.tag) for kind in entry_kinds()], docs)
    assert not faults, said(faults)


def test_every_rule_has_a_line(docs: str, said: Callable[[list[str]], str]) -> None:
    faults = missing(handbook().rules, docs)
    assert not faults, said(faults)


def test_every_setting_has_a_line(docs: str, said: Callable[[list[str]], str]) -> None:
    faults = missing(handbook().settings, docs)
    assert not faults, said(faults)


def test_listings_are_as_made_from_the_code(root: Path) -> None:
    assert stale(pages(), root / "docs") == [], "run: make docs"


def test_commands_in_the_docs_exist(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    known = commands()
    faults = [f for name, text in _prose(texts).items() for f in command_faults(name, text, known)]
    assert not faults, said(faults)


def test_links_in_the_docs_lead_somewhere(
    texts: dict[str, str], root: Path, said: Callable[[list[str]], str]
) -> None:
    faults = [f for name, text in _prose(texts).items() for f in link_faults(name, text, root)]
    assert not faults, said(faults)


def unlisted(index: str, pages_there: Iterable[str]) -> list[str]:
    """Pages of docs/ to which its README does not lead."""
    return [f"docs/README.md does not lead to {page}" for page in pages_there if f"]({page})" not in index]


def test_the_index_leads_to_every_page(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    there = [name.removeprefix("docs/") for name in texts if re.fullmatch(r"docs/[\w-]+\.md", name)]
    faults = unlisted(texts["docs/README.md"], [name for name in there if name != "README.md"])
    assert not faults, said(faults)


def test_blocks_marked_to_run_do(texts: dict[str, str], tmp_path: Path) -> None:
    """Each as a new user would type it, in an empty folder of its own, the first fault ending it."""
    blocks = [(name, body) for name, text in _prose(texts).items() for body in runnable(text)]
    assert any(name == "README.md" for name, _ in blocks)
    for number, (name, body) in enumerate(blocks):
        folder = tmp_path / str(number)
        folder.mkdir()
        done = _run(body, folder)
        assert done.returncode == 0, f"{name}:\n{body}\n{done.stdout}{done.stderr}"


def _run(body: str, folder: Path) -> subprocess.CompletedProcess[str]:
    plain = {key: value for key, value in os.environ.items() if not key.startswith("TURNROW")}
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    return subprocess.run(
        ["bash", "-euo", "pipefail", "-c", body],
        cwd=folder,
        env={**plain, "PATH": path},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )


KNOWN = {"prove": {"--rule", "--json"}, "new": {"--help"}}


@pytest.mark.parametrize(
    "line",
    [
        "turnrow bake a.csv",
        "turnrow prove a.csv --ruel X",
        "cat a | turnrow new --json",
        "turnrow \\\n  bake",
    ],
)
def test_the_law_of_commands_bites(line: str) -> None:
    assert len(command_faults("a.md", f"```sh\n{line}\n```\n", KNOWN)) == 1


def test_a_true_command_line_and_prose_are_free() -> None:
    text = "```sh\nturnrow prove a.csv --rule=X --json  # a note\n```\nturnrow bakes no bread\n"
    assert command_faults("a.md", text, KNOWN) == []


def test_the_laws_of_listing_and_links_bite(tmp_path: Path) -> None:
    assert missing(["prove", "bake"], "## prove\nbaked") == ["docs/ has no line on bake"]
    assert missing(["turn_limit"], "| `turn_limit` | x |") == []
    (tmp_path / "there.md").write_text("x")
    assert len(link_faults("a.md", "[a](there.md) [b](gone.md) [c](https://x.org/y)", tmp_path)) == 1
    assert stale({"a.md": "new"}, tmp_path) == ["a.md"]
    assert len(unlisted("[a](a.md)", ["a.md", "b.md"])) == 1


def test_a_block_that_fails_is_noticed(tmp_path: Path) -> None:
    blocks = runnable("<!-- run -->\n```sh\nturnrow --help | grep -q no-such-word\n```\n```sh\nfalse\n```\n")
    assert len(blocks) == 1
    assert _run(blocks[0], tmp_path).returncode != 0

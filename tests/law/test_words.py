"""What no tracked file may hold: registry hosts, one machine's paths, unfinished marks, talk of its making.

The words stand here in pieces so that this file keeps its own law.
"""

import re
from collections.abc import Callable

import pytest

HOSTS = tuple(
    "".join(pieces)
    for pieces in (
        ("py", "pi.", "org"),
        ("python", "hosted.", "org"),
        ("npm", "js.", "org"),
        ("npm", "js.", "com"),
        ("yarn", "pkg.", "com"),
        ("deb.", "debian.", "org"),
        ("security.", "debian.", "org"),
        ("snapshot.", "debian.", "org"),
        ("ftp.", "debian.", "org"),
        ("files.", "python", "hosted"),
        ("cdn.", "js", "delivr"),
        ("un", "pkg.", "com"),
    )
)
MACHINE = re.compile(r"(?:^|[^\w.])/(?:work|farm|root|tmp|opt|home/[a-z]+|Users/[A-Za-z]+)/", re.MULTILINE)
UNFINISHED = re.compile(
    "|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X", "Not" + "ImplementedError", "x" + "fail"))
)
MAKING = re.compile(
    "|".join(
        (
            r"\bA" + r"I\b",
            r"\bL" + r"LMs?\b",
            r"(?i:\bgp"
            + r"t\b|chat"
            + r"bot|lang"
            + r"uage model|anth"
            + r"ropic|open"
            + r"ai\b|clau"
            + r"de)",
            r"(?i:seed " + r"document|trans" + r"cript|sub-?ag" + r"ent|co-" + r"authored-by)",
            r"(?i:\b(?:an|another|other|fellow|each|coding) ag" + r"ents?\b)",
            r"(?i:\b(?:the|this|your|my) bri" + r"ef\b)",
            r"(?i:\bissue #?\d)",
            r"(?i:\bhel" + r"pers?\b)",
            r"(?i:(?<!scope=\")\bsess" + r"ions?\b)",
        )
    )
)
NOT_OURS = ("/vendor/", "LICENSE", ".lock")


def host_faults(texts: dict[str, str]) -> list[str]:
    return [
        f"{name}: names the host {host}" for name, text in texts.items() for host in HOSTS if host in text
    ]


def pattern_faults(texts: dict[str, str], pattern: re.Pattern[str], what: str) -> list[str]:
    return [
        f"{name}:{text.count(chr(10), 0, hit.start()) + 1}: {what}: {hit.group().strip()}"
        for name, text in texts.items()
        if not any(part in name for part in NOT_OURS)
        for hit in pattern.finditer(text)
    ]


def test_no_registry_host_is_named(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    assert {"requirements.lock", "pyproject.toml"} <= set(texts)
    faults = host_faults(texts)
    assert not faults, said(faults)


def test_no_path_of_one_machine(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = pattern_faults(texts, MACHINE, "a path of one machine")
    assert not faults, said(faults)


def test_nothing_is_marked_unfinished(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = pattern_faults(texts, UNFINISHED, "an unfinished mark")
    assert not faults, said(faults)


def test_the_project_speaks_of_itself_alone(texts: dict[str, str], said: Callable[[list[str]], str]) -> None:
    faults = pattern_faults(texts, MAKING, "talk of its making")
    assert not faults, said(faults)


@pytest.mark.parametrize("host", HOSTS)
def test_the_law_of_hosts_bites(host: str) -> None:
    assert host_faults({"some.lock": f"--index-url https://{host}/simple"})


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        (MACHINE, "open('/" + "work/main/a')"),
        (MACHINE, "/" + "home/joe/yard"),
        (MACHINE, "at /" + "tmp/x"),
        (UNFINISHED, "# TO" + "DO later"),
        (UNFINISHED, "raise Not" + "ImplementedError"),
        (MAKING, "written by an A" + "I"),
        (MAKING, "as the bri" + "ef says, the bri" + "ef"),
        (MAKING, "closes issue" + " #12"),
        (MAKING, "another ag" + "ent wrote"),
        (MAKING, "in an earlier sess" + "ion"),
    ],
)
def test_the_laws_of_words_bite(pattern: re.Pattern[str], text: str) -> None:
    assert pattern_faults({"a.py": text}, pattern, "found")


@pytest.mark.parametrize(
    "text", ['scope="sess' + 'ion"', "a bulking ag" + "ent", "the yard/work row", "the farm/work"]
)
def test_ordinary_words_are_free(text: str) -> None:
    assert pattern_faults({"a.py": text}, MAKING, "found") == []
    assert pattern_faults({"a.py": text}, MACHINE, "found") == []

"""Further cases of every rule, made by hand, through `turnrow prove` from plain files.

Source: the clause each rule of `handbook/rules/*.toml` names, with its sources
Known: READ, save where the rule itself is MEMORY

The records are invented. Each case of `rules_more_cases.toml` and of `rules_edge_cases.toml` carries its
derivation from the clause's text; the verdict was written down before anything was run.
"""

import json
import tomllib
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.handbook.book import handbook

CASES = [
    case
    for name in ("rules_more_cases.toml", "rules_edge_cases.toml")
    for case in tomllib.loads((Path(__file__).parent / name).read_text("utf-8"))["case"]
]
CASE = {case["id"]: case for case in CASES}
STEPS = {"m": "minutes", "d": "days"}


def moments(text):
    """`2026-05-01..2026-05-03`, or with times and a step: `A..B/5m`."""
    span, _, step = text.partition("/")
    first, _, last = span.partition("..")
    read = datetime.fromisoformat if "T" in first else date.fromisoformat
    step = timedelta(**{STEPS[step[-1]]: int(step[:-1])}) if step else timedelta(days=1)
    at, end = read(first), read(last or first)
    while at <= end:
        yield at.isoformat()
        at += step


def readings(lines):
    out = ["at,station,depth_cm,value,unit"]
    for line in lines:
        span, values, unit, *depth = (part.strip() for part in line.split("|"))
        for at in moments(span):
            for value in values.split():
                station, _, number = value.partition("=")
                out.append(f"{at},{station},{depth[0] if depth else ''},{number},{unit}")
    return "\n".join(out) + "\n"


def asked(case, folder):
    words = ["prove", "-", "--rule", case["rule"], *case.get("options", []), "--json"]
    if case.get("days"):
        words[1] = str(folder / "readings.csv")
        (folder / "readings.csv").write_text(readings(case["days"]), "utf-8")
    if case.get("turns"):
        (folder / "turns.csv").write_text("at\n" + "\n".join(case["turns"]) + "\n", "utf-8")
        words += ["--turns", str(folder / "turns.csv")]
    return CliRunner().invoke(app, words)


def prove(case, folder):
    done = asked(case, folder)
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


@pytest.mark.parametrize("name", [name for name, case in CASE.items() if "refused" in case])
def test_what_a_text_does_not_leave_open_is_refused(name, tmp_path):
    """The question may not be asked so, and the refusal says why."""
    done = asked(CASE[name], tmp_path)
    assert done.exit_code == 2 and CASE[name]["refused"] in done.output, done.output


@pytest.mark.parametrize("name", [name for name, case in CASE.items() if "refused" not in case])
def test_case(name, tmp_path):
    """The verdict and the figures the derivation gives, exactly."""
    case = CASE[name]
    found = prove(case, tmp_path)
    assert found["verdict"] == case["verdict"], (case["why"], found["short_of"], found["because"])
    for figure in ("hot_days", "longest_run_days", "turns_counted"):
        if figure in case:
            assert found[figure] == case[figure], (figure, case["why"], found["because"])
    assert (found["verdict"] == "PASS") == (not found["short_of"])
    if "without" in case:
        assert found["without_suspects"] == case["without"], (case["why"], found["suspects"])
    if "warning" in case:
        said = [one for one in found["warnings"] if (case["warning"] or "span") in one]
        assert bool(said) == bool(case["warning"]), found["warnings"]


def test_every_rule_has_a_further_case():
    """Each rule of the handbook has at least one of these cases, and no case's name is used twice."""
    assert {case["rule"] for case in CASE.values()} == set(handbook().rules)
    assert len(CASE) == len(CASES)

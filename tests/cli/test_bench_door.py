"""`python -m bench` finds every benchmark and says what it measured; it never judges."""

import json
from typing import Any

import pytest

from bench import __main__ as door


def measured(scale: float) -> dict[str, Any]:
    return {
        "name": "sums",
        "ours_s": 0.5 * scale,
        "baseline_s": 1.5 * scale,
        "ratio": 3.0,
        "must": "at least 2",
        "rows": 7,
    }


@pytest.fixture
def one_bench(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "names", lambda: ["sums"])
    monkeypatch.setattr(door, "run", lambda name, scale: measured(scale))


@pytest.mark.usefixtures("one_bench")
def test_one_benchmark_is_one_json_object_with_the_machine(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["bench", "sums", "--json", "--scale", "2"])
    assert door.main() == 0
    said = json.loads(capsys.readouterr().out)
    assert (said["ratio"], said["baseline_s"], said["must"]) == (3.0, 3.0, "at least 2")
    assert {"cores", "python", "polars", "sqlite"} <= set(said["machine"])


@pytest.mark.usefixtures("one_bench")
def test_all_is_a_table_for_people(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["bench", "all"])
    assert door.main() == 0
    shown = capsys.readouterr().out
    assert "at least 2" in shown
    assert "rows: 7" in shown


def test_a_bench_whose_name_python_keeps_for_itself_is_found_by_what_people_type() -> None:
    assert "intake" not in door.names()
    assert door.CALLED["import"] == "intake"

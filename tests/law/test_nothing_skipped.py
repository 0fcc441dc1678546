"""With TURNROW_REQUIRE_ALL=1 a skipped test fails the run; only the absent open data is excused."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

SKIPS = "import pytest\n\ndef test_a():\n    pytest.skip('no browser')\n"
WHOLE = "import pytest\npytest.skip('no browser', allow_module_level=True)\n"
DATA = (
    "import pytest\n\n@pytest.mark.needs_shared_data\ndef test_a(open_data):\n    assert open_data.is_dir()\n"
)


def run(root: Path, folder: Path, text: str, require_all: str) -> int:
    """The exit code of pytest on one test file under our conftest, in a project of its own."""
    tests = folder / "project" / "tests"
    tests.mkdir(parents=True)
    shutil.copy(root / "tests" / "conftest.py", tests)
    (tests / "test_it.py").write_text(text)
    (tests.parent / "pytest.ini").write_text("[pytest]\nmarkers = needs_shared_data: x\n")
    words = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"]
    env = {**os.environ, "TURNROW_REQUIRE_ALL": require_all, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    return subprocess.run(words, cwd=tests.parent, env=env, capture_output=True).returncode


@pytest.mark.parametrize("text", [SKIPS, WHOLE], ids=["one test", "a whole file"])
def test_a_skip_fails_the_run_where_all_is_required(root: Path, tmp_path: Path, text: str) -> None:
    assert run(root, tmp_path / "all", text, "1") in {1, 2}
    assert run(root, tmp_path / "some", text, "0") in {0, 5}


def test_absent_open_data_is_excused_and_present_data_is_used(root: Path, tmp_path: Path) -> None:
    assert run(root, tmp_path / "absent", DATA, "1") == 0
    (tmp_path / "present" / "shared" / "data").mkdir(parents=True)
    assert run(root, tmp_path / "present", DATA, "1") == 0

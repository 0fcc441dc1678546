"""What is compiled on first use is said while it happens, and kept where a file may be written."""

import os
import time
from pathlib import Path

import pytest

from turnrow.api import compiled


@pytest.fixture(autouse=True)
def no_cache_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NUMBA_CACHE_DIR", "x")  # so that it is put back as it was
    monkeypatch.delenv("NUMBA_CACHE_DIR")


def test_where_nothing_may_be_written_a_private_folder_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    compiled.ready(lambda: None, tmp_path)
    made = Path(os.environ["NUMBA_CACHE_DIR"])
    assert made.stat().st_mode & 0o077 == 0
    made.rmdir()


def test_where_the_code_may_be_written_beside_nothing_is_changed(tmp_path: Path) -> None:
    compiled.ready(lambda: None, tmp_path)
    assert "NUMBA_CACHE_DIR" not in os.environ


def test_a_long_wait_is_explained_and_a_short_one_is_silent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    compiled.ready(lambda: None, tmp_path)
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(compiled, "PATIENCE_S", 0.01)
    compiled.ready(lambda: time.sleep(0.3), tmp_path)
    told = capsys.readouterr()
    assert "compiling" in told.err
    assert told.out == ""


def test_what_goes_wrong_inside_comes_out(tmp_path: Path) -> None:
    def broken() -> None:
        raise ValueError("so it is")

    with pytest.raises(ValueError, match="so it is"):
        compiled.ready(broken, tmp_path)

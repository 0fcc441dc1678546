"""What every test may use: the open data beside the project, and the promise that nothing is skipped."""

import os
from collections.abc import Generator
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[1]
OPEN_DATA = PROJECT.parent / "shared" / "data"
REQUIRE_ALL = os.environ.get("TURNROW_REQUIRE_ALL") == "1"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Without the open data, the tests that read it say so and are passed over."""
    if OPEN_DATA.is_dir():
        return
    absent = pytest.mark.skip(reason="the open data folder is not beside the project")
    for item in items:
        if item.get_closest_marker("needs_shared_data"):
            item.add_marker(absent)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """With TURNROW_REQUIRE_ALL=1 a skipped test is a failed one, save where the open data is absent."""
    report = yield
    excused = item.get_closest_marker("needs_shared_data") is not None and not OPEN_DATA.is_dir()
    if REQUIRE_ALL and report.skipped and not excused:
        report.outcome = "failed"
        report.longrepr = f"skipped, and TURNROW_REQUIRE_ALL=1 lets nothing be: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """The same for a whole file that skips itself."""
    report = yield
    if REQUIRE_ALL and report.outcome == "skipped":
        report.outcome = "failed"
        report.longrepr = f"whole file skipped, and TURNROW_REQUIRE_ALL=1 lets nothing be: {report.longrepr}"
    return report


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of open data; a test that asks for it is marked `needs_shared_data`."""
    return OPEN_DATA

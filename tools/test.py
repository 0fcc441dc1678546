"""Runs every check, in the order in which they are quick to fail; called by `make test`.

As root on Debian it first installs the browser and the PDF reader that some tests open. Elsewhere, tests
that need what is not there say so and are passed over, unless TURNROW_REQUIRE_ALL=1.
"""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
WANTED = {"chromium": "chromium", "pdftoppm": "poppler-utils"}  # program -> package
WORKERS = "2"


def checks() -> dict[str, list[str]]:
    python = [sys.executable, "-m"]
    return {
        "ruff check": [*python, "ruff", "check", "."],
        "ruff format": [*python, "ruff", "format", "--check", "."],
        "mypy": [*python, "mypy"],
        "docs": [sys.executable, "tools/docs.py", "--check"],
        "tests": [
            *python,
            "pytest",
            "-q",
            "-n",
            WORKERS,
            "--dist",
            "loadfile",
            "--durations=15",
            *sys.argv[1:],
        ],
        "spoiled input": [*python, "tools.fuzz"],
    }


def install_missing() -> None:
    """Debian packages for the programs that are not there, when we may."""
    missing = sorted(package for program, package in WANTED.items() if shutil.which(program) is None)
    if not missing:
        return
    names = " ".join(missing)
    if os.geteuid() != 0 or shutil.which("apt-get") is None or not Path("/etc/debian_version").exists():
        print(f"not installed, and not ours to install here: {names}; tests that need them are passed over")
        return
    print(f"installing with apt-get: {names}", flush=True)
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update"], ["install", "--yes", "--no-install-recommends", *missing]):
        done = subprocess.run(
            ["apt-get", "-qq", *words], env=quiet, stdin=subprocess.DEVNULL, capture_output=True, text=True
        )
        if done.returncode:
            print(done.stdout[-2000:] + done.stderr[-4000:], file=sys.stderr)
            print(f"apt-get {words[0]} failed; tests that need {names} are passed over", file=sys.stderr)
            return


def main() -> int:
    install_missing()
    passed, failed = [], []
    for name, words in checks().items():
        print(f"\n== {name}", flush=True)
        began = time.monotonic()
        code = subprocess.run(words, cwd=ROOT, stdin=subprocess.DEVNULL).returncode
        took = f"{name} {time.monotonic() - began:.0f} s"
        (failed if code else passed).append(took)
    print()
    if failed:
        print(f"FAILED: {', '.join(failed)}; passed: {', '.join(passed) or 'nothing'}")
        return 1
    print(f"passed: {', '.join(passed)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

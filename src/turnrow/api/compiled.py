"""Making ready what is compiled on first use: said while it happens, kept where a file may be written."""

import os
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path

PATIENCE_S = 1.5
HEAP = "the heap's equations: once after installing or updating, about 20 seconds"


def ready(first: Callable[[], object], room: Path, what: str = HEAP) -> None:
    """Call `first`, which compiles or finds its cache; say so when it takes long.

    The cache lies beside the code, else in the user's own cache folder; where neither may be written, in a
    private folder of this run, so that the work is done but not kept.
    """
    if "NUMBA_CACHE_DIR" not in os.environ and not (_writable(room) or _writable(_users())):
        os.environ["NUMBA_CACHE_DIR"] = tempfile.mkdtemp(prefix="turnrow-")
    told = threading.Timer(PATIENCE_S, _say, [what])
    told.daemon = True
    told.start()
    try:
        first()
    finally:
        told.cancel()


def _say(what: str) -> None:
    print(f"note  compiling {what}", file=sys.stderr, flush=True)


def _users() -> Path:
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")


def _writable(folder: Path) -> bool:
    while not folder.exists():
        folder = folder.parent
    return os.access(folder, os.W_OK)

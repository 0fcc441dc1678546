"""The bytes of a file that a command was given."""

from pathlib import Path

from turnrow.gate.text_of import LARGEST
from turnrow.yard.wrongs import refuse


def file_bytes(path: Path, where: str) -> bytes:
    """Its bytes; its size is looked at first, and of a device or a pipe no more than that is read.

    Raises Refused, naming `where`, when it cannot be read or is too large.
    """
    try:
        with path.open("rb") as file:
            size = path.stat().st_size
            data = b"" if size > LARGEST else file.read(LARGEST + 1)
    except OSError as wrong:
        told = wrong.strerror or "no file"
        raise refuse(where, path, f"Name a file that can be read ({told}).") from None
    if max(size, len(data)) > LARGEST:
        got = f"{path.name}, {max(size, len(data)):,} bytes"
        raise refuse(where, got, f"A file may have {LARGEST:,} bytes. Split it and take the parts.")
    return data

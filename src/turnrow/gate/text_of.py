"""The bytes of a text file as one text with plain line ends."""

import codecs

from turnrow.yard.wrongs import refuse

LARGEST = 96 * 1024 * 1024  # bytes of a file
ENCODINGS = {"": "utf-8", "utf-8": "utf-8", "cp1252": "cp1252", "latin-1": "latin-1"}


def text_of(data: bytes, name: str, encoding: str = "") -> str:
    """UTF-8 with or without its mark, UTF-16 with its mark, or the `encoding` a mapping names.

    Raises Refused for anything that is no text.
    """
    if len(data) > LARGEST:
        raise refuse(
            name, f"{len(data):,} bytes", f"A file may have {LARGEST:,} bytes. Split it and take the parts."
        )
    if not data.strip():
        raise refuse(name, "an empty file", "Export the readings again.")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        coding = "utf-16"
    elif data.startswith(codecs.BOM_UTF8):
        coding = "utf-8-sig"
    else:
        coding = ENCODINGS[encoding]
    try:
        text = data.decode(coding)
    except UnicodeDecodeError as wrong:
        raise refuse(
            f"{name}, byte {wrong.start + 1}",
            data[wrong.start : wrong.start + 8].decode("cp1252", "replace"),
            'Save the file as UTF-8, or write encoding = "cp1252" in the mapping if an old Windows '
            "program made it.",
        ) from wrong
    if "\x00" in text:
        raise refuse(name, "zero bytes in the text", "This is no text file; export CSV or XLSX.")
    return text.replace("\r\n", "\n").replace("\r", "\n")

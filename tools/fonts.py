"""Make the papers' fonts: `python tools/fonts.py FOLDER` with the two npm packages unpacked in FOLDER.

FOLDER holds `source-serif-4/` (@fontsource/source-serif-4 5.3.1) and `atkinson-hyperlegible/`
(@fontsource/atkinson-hyperlegible 5.3.0), each as npm packs it: `files/*.woff2` and `LICENSE`.
Typst reads no woff2, and a family in two files (latin, latin-ext) is one face too many for it, so
the two subsets are joined into one TrueType file a weight. The same input gives the same bytes.
"""

import sys
import tempfile
from hashlib import sha256
from pathlib import Path

from fontTools.merge import Merger
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent.parent / "src" / "turnrow" / "records" / "fonts"
FACES = (
    ("source-serif-4", "400-normal", "SourceSerif4-Regular.ttf"),
    ("source-serif-4", "600-normal", "SourceSerif4-SemiBold.ttf"),
    ("atkinson-hyperlegible", "400-normal", "AtkinsonHyperlegible-Regular.ttf"),
    ("atkinson-hyperlegible", "700-normal", "AtkinsonHyperlegible-Bold.ttf"),
)
SUBSETS = ("latin", "latin-ext")
FIXED = 3_786_912_000  # seconds since 1904: a fixed moment in the font header


def make(packages: Path) -> None:
    """Write each face of FACES, and the licences, into the records room."""
    HERE.mkdir(parents=True, exist_ok=True)
    for package, weight, name in FACES:
        with tempfile.TemporaryDirectory() as folder:
            parts = []
            for subset in SUBSETS:
                font = TTFont(packages / package / "files" / f"{package}-{subset}-{weight}.woff2")
                font.flavor = None
                part = Path(folder) / f"{subset}.ttf"
                font.save(part)
                parts.append(str(part))
            joined = Merger().merge(parts)
        joined["head"].created = joined["head"].modified = FIXED
        joined.recalcTimestamp = False
        joined.save(HERE / name)
        print(f"{name}  {(HERE / name).stat().st_size} bytes, {len(joined.getBestCmap())} characters")
    shared = set.intersection(*(set(TTFont(HERE / name).getBestCmap()) for _, _, name in FACES))
    (HERE / "characters.txt").write_text("\n".join(f"{code:04X}" for code in sorted(shared)) + "\n")
    sums = [f"{sha256((HERE / name).read_bytes()).hexdigest()}  {name}\n" for _, _, name in FACES]
    (HERE / "SUMS").write_text("".join(sums))
    for package in dict.fromkeys(package for package, _, _ in FACES):
        (HERE / f"LICENSE-{package}.txt").write_bytes((packages / package / "LICENSE").read_bytes())


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python tools/fonts.py FOLDER")
    make(Path(sys.argv[1]))

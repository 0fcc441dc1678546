"""Fonts and browser files that were copied in are the ones named, and their licence lies beside them."""

import hashlib
from collections.abc import Callable
from pathlib import Path

COPIED = (".woff2", ".ttf", ".otf", ".min.js", ".min.css")


def faults_of(folder: Path) -> list[str]:
    """What is wrong in one folder of copied files: no licence, no checksum, another checksum."""
    copied = sorted(path for path in folder.iterdir() if path.name.endswith(COPIED))
    if not copied:
        return []
    found = []
    if not any("LICENSE" in path.name for path in folder.iterdir()):
        found.append(f"{folder.name}: no licence beside the copied files")
    sums = folder / "SUMS"
    listed = dict(reversed(line.split()) for line in sums.read_text().splitlines()) if sums.is_file() else {}
    for path in copied:
        true = hashlib.sha256(path.read_bytes()).hexdigest()
        if listed.get(path.name) != true:
            found.append(f"{folder.name}/{path.name}: SUMS says {listed.get(path.name)}, is {true}")
    return found


def test_copied_files_are_the_ones_named(root: Path, said: Callable[[list[str]], str]) -> None:
    folders = {path.parent for ending in COPIED for path in (root / "src").rglob(f"*{ending}")}
    assert folders
    faults = [fault for folder in sorted(folders) for fault in faults_of(folder)]
    assert not faults, said(faults)


def test_the_law_of_copied_files_bites(tmp_path: Path) -> None:
    (tmp_path / "a.min.js").write_text("x")
    assert len(faults_of(tmp_path)) == 2
    (tmp_path / "a-LICENSE.txt").write_text("free")
    (tmp_path / "SUMS").write_text(f"{hashlib.sha256(b'x').hexdigest()}  a.min.js\n")
    assert faults_of(tmp_path) == []
    (tmp_path / "a.min.js").write_text("y")
    assert len(faults_of(tmp_path)) == 1

"""`turnrow tables`: every table and its dictionary in one folder, or a clear refusal."""

import json
from pathlib import Path

from typer.testing import CliRunner

from turnrow.cli.door import app
from turnrow.records.tables import TABLES


def test_the_diary_is_written_as_tables_with_their_dictionary(tmp_path: Path) -> None:
    door, yard, to = CliRunner(), tmp_path / "y.journal", tmp_path / "out"
    door.invoke(app, ["new", str(yard), "--zone", "Europe/Dublin"])
    assert door.invoke(app, ["tables", "--yard", str(yard), "-o", str(to)]).exit_code == 2
    to.mkdir()
    for ending, flag in (("csv", []), ("parquet", ["--parquet"])):
        found = door.invoke(app, ["tables", "--yard", str(yard), "-o", str(to), "--json", *flag])
        assert found.exit_code == 0
        names = {f"{table.name}.{ending}" for table in TABLES} | {"dictionary.csv"}
        assert set(json.loads(found.stdout)["files"]) == names
        assert names <= {path.name for path in to.iterdir()}

"""A command asked as a program would ask it: its answer, or its refusals. Files are written beside it."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner, Result

from turnrow.cli.door import app


@dataclass(frozen=True)
class Command:
    name: str

    def run(self, *options: str) -> Result:
        return CliRunner().invoke(app, [self.name, *options])

    def answer(self, *options: str) -> Any:
        done = self.run(*options, "--json")
        assert done.exit_code == 0, done.output
        return json.loads(done.stdout)

    def refusals(self, *options: str) -> list[str]:
        """Each as "where: got do"."""
        done = self.run(*options, "--json")
        assert done.exit_code == 2, done.output
        return [f"{r['where']}: {r['got']} {r['do']}" for r in json.loads(done.stdout)["refusals"]]


@dataclass(frozen=True)
class Files:
    folder: Path

    def __call__(self, text: str, name: str = "log.csv") -> str:
        path = self.folder / name
        path.write_bytes(text.encode("utf-8"))
        return str(path)

"""Commands of this family."""

import typer


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""

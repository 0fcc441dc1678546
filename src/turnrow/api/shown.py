"""How results look in a notebook: a heading, sentences, a small table and a picture, as HTML."""

from collections.abc import Iterable
from html import escape

_STYLE = "font-family:inherit;max-width:60em"
_LEFT = "text-align:left"


def html(
    title: str,
    sentences: Iterable[str] = (),
    rows: Iterable[tuple[str, object]] = (),
    picture: str = "",
) -> str:
    """One block. picture: an SVG of the house's own pen, which holds no script."""
    cells = "".join(
        f"<tr><th style='{_LEFT}'>{escape(name)}</th><td style='{_LEFT}'>{escape(str(value))}</td></tr>"
        for name, value in rows
    )
    said = "".join(f"<p>{escape(one)}</p>" for one in sentences)
    table = f"<table>{cells}</table>" if cells else ""
    return f"<div style='{_STYLE}'><strong>{escape(title)}</strong>{picture}{said}{table}</div>"

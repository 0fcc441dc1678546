"""Templates to pages: text is always escaped; pictures from the records room come as markup."""

from datetime import date, datetime
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse

from turnrow.records.row_picture import long_date
from turnrow.records.verdict import beside_words, verdict
from turnrow.web import saying, units
from turnrow.web.asking import Asked
from turnrow.web.forms import job_answer
from turnrow.web.links import cite, row_url, walk_url, write_url
from turnrow.yard import days
from turnrow.yard.numbers import plain

PAGES = (
    ("/", "Today"),
    ("/rows", "Rows"),
    ("/blend", "Blend"),
    ("/lots", "Lots"),
    ("/quality", "Quality"),
    ("/stock", "Stock"),
    ("/write", "Write"),
    ("/lines", "Diary"),
    ("/papers", "Papers"),
    ("/settings", "Settings"),
    ("/ask", "Ask the heap"),
)


def clock(moment: datetime) -> str:
    """ "3 May, 7:40" on the moment's own clock."""
    return f"{moment.day} {moment:%B}, {moment.hour}:{moment:%M}"


def day(when: date | int) -> str:
    """ "3 May"."""
    return days.short_date(when if isinstance(when, int) else when.toordinal())


def long_day(when: date) -> str:
    """ "Sunday 3 May 2026"."""
    return f"{when:%A} {when.day} {when:%B %Y}"


def here(path: str, target: str) -> bool:
    """Is `target` the page, or the one above it, at `path`?"""
    return path == target or (target != "/" and path.startswith(target + "/"))


def counted(number: int, one: str, many: str = "") -> str:
    """ "one job", "7 jobs"."""
    return f"one {one}" if number == 1 else f"{number or 'no'} {many or one + 's'}"


def upfirst(text: str) -> str:
    """The first letter large, the rest as it is: "C:N" stays so."""
    return text[:1].upper() + text[1:]


def since_day(when: int | None, now: datetime) -> str:
    """How long ago a day is: "today", "yesterday", "3 May"."""
    if when is None:
        return "never"
    ago = now.toordinal() - when
    return ("today", "yesterday")[ago] if ago in (0, 1) else day(when)


def happened(moment: datetime, day_only: bool) -> str:
    """When a line happened, for people."""
    return day(moment) if day_only else clock(moment)


def exact(moment: datetime) -> str:
    """With seconds and offset, for whoever compares."""
    return f"{moment:%Y-%m-%d %H:%M:%S} {moment.isoformat()[-6:]}"


TEMPLATES = Environment(
    loader=PackageLoader("turnrow.web"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
TEMPLATES.globals.update(
    pages=PAGES,
    here=here,
    cite=cite,
    row_url=row_url,
    walk_url=walk_url,
    write_url=write_url,
    sentence=saying.sentence,
    title_of=saying.title,
    amount=units.amount,
    unit_sign=units.unit_sign,
    counted=counted,
    since_day=since_day,
    dated=long_date,
    heat_of=units.shown_in,
    bare_heat=units.bare_heat,
    bare_number=plain,
    source_words=saying.source_words,
    verdict=verdict,
    beside_words=beside_words,
    job_answer=job_answer,
)
TEMPLATES.filters.update(
    clock=clock, day=day, long_day=long_day, happened=happened, exact=exact, upfirst=upfirst
)


def page(asked: Asked, template: str, status: int = 200, **data: Any) -> HTMLResponse:
    """The page as a response; `data` are the template's own names."""
    return HTMLResponse(TEMPLATES.get_template(template).render(asked=asked, **data), status)


def bare(template: str, status: int, **data: Any) -> HTMLResponse:
    """A page that must not look into the book: when the book itself is what is wrong."""
    return HTMLResponse(TEMPLATES.get_template(template).render(asked=None, **data), status)

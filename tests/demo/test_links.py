"""Every link of the invented yard's pages leads somewhere."""

from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin

import pytest
from fastapi.testclient import TestClient

from turnrow.web.app import create_app

HOME = "http://127.0.0.1:8017"
FEW = 6  # pages of one kind that are asked for: those of two rows differ by names alone
KINDS = 90  # fewer would mean that the walk stopped early


class Links(HTMLParser):
    """What a page's own address, href and src, point to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value for name, value in attrs if name in ("href", "src") and value]


def kind_of(address: str) -> str:
    """A page's address without its names and numbers: /rows/R7?day=3 is of the kind /rows/.?day."""
    path, _, query = address.removeprefix(HOME).partition("?")
    first, *rest = path.strip("/").split("/")
    named = rest if first in ("write", "static") else ["." for _ in rest]
    asked = sorted({one.partition("=")[0] for one in query.split("&") if one})
    return "/" + "/".join([first, *named]) + ("?" + "&".join(asked) if asked else "")


@pytest.fixture
def pages(built) -> Iterator[TestClient]:
    app = create_app(built.desk, clock=lambda: built.morning)
    with TestClient(app, base_url=HOME, raise_server_exceptions=False) as client:
        yield client


def test_no_link_leads_nowhere(pages: TestClient) -> None:
    """From the first page on, each address once; of pages that differ by a name alone a few."""
    waiting, seen, asked, wrong = [(HOME + "/", "")], {HOME + "/"}, Counter[str](), []
    while waiting:
        address, found_on = waiting.pop(0)
        kind = kind_of(address)
        if asked[kind] >= FEW:
            continue
        asked[kind] += 1
        answer = pages.get(address)
        if answer.status_code >= 400:
            wrong.append(f"{answer.status_code} {address}, linked from {found_on}")
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        for link in Links(answer.text).found:
            there = urldefrag(urljoin(address, link)).url
            if there.startswith(HOME + "/") and there not in seen:
                seen.add(there)
                waiting.append((there, address))
    assert not wrong, "\n" + "\n".join(wrong)
    assert len(asked) >= KINDS, sorted(asked)

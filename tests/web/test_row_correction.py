"""A row measured too wet says on its page what to mix in, with the lines it rests on."""

from datetime import timedelta

from fastapi.testclient import TestClient

from turnrow.foreman.desk import Desk

from .conftest import NOW


def test_a_row_too_wet_says_what_would_mend_it(pages: TestClient, laid: Desk) -> None:
    def write(kind: str, ago: int, **fields: str) -> int:
        when = (NOW - timedelta(hours=ago)).isoformat()
        receipt = laid.write(kind, {**fields, "happened": when}, now=NOW, who="Ada", device="test")
        return receipt.lines[0].number

    built = write("row built", 48, row="R50", parts="dairy manure: 40 t; straw: 6 t", stations="1, 2")
    assert "Too wet" not in pages.get("/rows/R50").text
    read = write("measured", 5, row="R50", quantity="moisture", amount="74")
    text = pages.get("/rows/R50").text
    assert "<h2>Too wet</h2>" in text and "kg of straw" in text
    assert f"only={built}-{read}" in text.split("<h2>Too wet</h2>")[0][-400:]
    assert "Too wet" not in pages.get("/rows/R7").text

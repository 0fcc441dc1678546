"""What a chain file may say, and every refusal at once with what to do."""

import pytest

from turnrow.cli.chain import EXAMPLE
from turnrow.gate.chain_file import ChainFile, read_chain
from turnrow.yard.wrongs import Refused

LOAD = '[[load]]\nname = "a"\nt = 40\nmoisture_pct = 60\n'


def read(text: str) -> ChainFile:
    return read_chain(text.encode(), "a.toml", 400)


def refused(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as wrong:
        read(text)
    return [(one.where.removeprefix("a.toml, "), one.do) for one in wrong.value.refusals]


def test_the_example_is_read() -> None:
    found = read(EXAMPLE)
    assert [one.name for one in found.stages] == ["turned", "cured"]
    assert found.loads[1].wet == pytest.approx(16.5)
    assert found.screen is not None and found.screen.share == pytest.approx(0.8)


def test_every_refusal_at_once() -> None:
    said = refused(
        "reference_moisture_pct = 100\nlaod = 1\n"
        '[[load]]\nname = "a"\nmoisture_pct = 60\n[[load]]\nm3 = 3\nt = 2\n[[stage]]\nmoisture_pct = 40\n'
        "[screen]\nfines_pct = 80\nfines_t = 3\n"
    )
    places = [place for place, _ in said]
    assert {"reference_moisture_pct", "laod", "load 1, t", "load 2, m3", "load 2, moisture_pct"} <= set(
        places
    )
    assert {"stage 1, t", "[screen], fines_pct"} <= set(places)


@pytest.mark.parametrize(
    ("text", "place", "do"),
    [
        ("", "load", "under its own [[load]]"),
        (LOAD.replace("t = 40", "t = 18500"), "load 1, t", "Likely 18500 kg, not t."),
        (LOAD.replace("t = 40", "m3 = 40"), "load 1, bulk_density_kg_m3", "a volume is no mass"),
        (LOAD + "[[stage]]\nmoisture_pct = 45\nt = 21000\n", "stage 1, t", "Likely it is in kg, not t."),
        (
            LOAD + "[[stage]]\nmoisture_pct = 45\nt = 21\ndm_loss_pct = 4\n",
            "stage 1, dm_loss_pct",
            "leave one out",
        ),
        (
            LOAD + "[[stage]]\nmoisture_pct = 45\nash_pct_dry = 30\n",
            "stage 1",
            "Write ash_pct_dry of every load",
        ),
        (LOAD + LOAD, "load", "a name of its own"),
        (LOAD.replace("60", '"60"'), "load 1, moisture_pct", "plain number"),
    ],
)
def test_what_is_refused_and_what_to_do(text: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(text)
    assert where == place and do in what and not more


TOLD = {  # one of each, exactly: NIST SP 811, appendix B (MEMORY)
    "short_ton = 1": 0.90718474, "long_ton = 1": 1.0160469088, "lb = 2000": 0.90718474, "kg = 500": 0.5,
    "yd3 = 1\nbulk_density_kg_m3 = 1000": 0.764554857984, "yd3 = 2\nbulk_density_lb_yd3 = 1000": 0.90718474,
    "ft3 = 27\nbulk_density_lb_yd3 = 1000": 0.45359237, "ft3 = 10\nbulk_density_lb_ft3 = 50": 0.226796185,
    "m3 = 0.764554857984\nbulk_density_lb_yd3 = 1000": 0.45359237, "l = 1500\nbulk_density_kg_m3 = 600": 0.9,
}  # fmt: skip


@pytest.mark.parametrize(("said", "tonnes"), TOLD.items())
def test_a_load_in_any_unit(said: str, tonnes: float) -> None:
    (load,) = read(LOAD.replace("t = 40", said)).loads
    assert load.wet == pytest.approx(tonnes, rel=1e-12)


def test_stages_screen_and_water_in_any_unit() -> None:
    """44 short tons laid, 1000 US gal of 3.785411784 L given (NIST SP 811, MEMORY)."""
    found = read(
        "water_gal = 1000\n"
        + LOAD.replace("t = 40", "short_ton = 44")
        + '[[stage]]\nname = "b"\nshort_ton = 25\nmoisture_pct = 50\nwater_l = 500\n'
        + "[screen]\nfines_short_ton = 20\novers_lb = 8000\nbulk_density_lb_yd3 = 1000\n"
    )
    assert found.water == pytest.approx(3.785411784, rel=1e-12)
    assert found.stages[0].wet == pytest.approx(25 * 0.90718474, rel=1e-12)
    assert found.stages[0].water == pytest.approx(0.5)
    assert found.screen is not None and found.screen.fines == pytest.approx(18.1436948, rel=1e-12)
    assert found.screen.overs == pytest.approx(3.62873896, rel=1e-12)


@pytest.mark.parametrize(
    ("said", "place", "do"),
    [
        ("", "t", "t, short_ton, kg, lb, long_ton; or one of m3, yd3"),
        ("yd3 = 40", "bulk_density_kg_m3", "bulk_density_lb_yd3"),
        (
            "short_ton = 3\nyd3 = 4\nbulk_density_lb_yd3 = 900",
            "yd3",
            "Write short_ton, or yd3 with its density",
        ),
        ("t = 3\nshort_ton = 3", "t, short_ton", "Keep one unit"),
        ("short_ton = 41000", "short_ton", "Likely 41000 kg, not ton."),
        ("yd3 = 4\nbulk_density_lb_yd3 = 9000", "bulk_density_lb_yd3", "at most 3371"),
        ("yds = 4\nt = 3", "yds", "Likely yd3."),
    ],
)
def test_a_refusal_names_the_keys_of_the_units(said: str, place: str, do: str) -> None:
    ((where, what), *more) = refused(LOAD.replace("t = 40", said))
    assert where == f"load 1, {place}" and do in what and not more


def test_no_toml_and_no_text() -> None:
    assert "turnrow chain --example" in refused("load = [")[0][1]
    with pytest.raises(Refused, match="UTF-8"):
        read_chain(b"\xff\xfe", "a.toml", 400)

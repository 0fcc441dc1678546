"""How much compost a field takes: the least of what nitrogen, phosphorus, potassium and caps allow."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from turnrow.handbook.figures import Figures
from turnrow.sales.analysis import Analysis

NUTRIENTS = {"n": "nitrogen", "p2o5": "phosphorus", "k2o": "potassium"}
MM_OF_M3_HA = 0.1  # 10 m3 on a hectare lie 1 mm deep


@dataclass(frozen=True)
class Before:
    """An earlier spreading: `years_ago` 1 or 2 still gives nitrogen; t/ha of dry matter, kg/t organic N."""

    years_ago: int
    dry_t_ha: float
    organic_n: float


@dataclass(frozen=True)
class FieldRate:
    """A rate for one hectare.

    dry_t_ha, wet_t_ha  the rate; volume_m3_ha and depth_mm where the density is told
    limited_by          the limit that is met first
    rates               what each limit alone would allow, wet t/ha
    gives               what the rate carries, kg/ha: n_first, n_second, n_third, n_total, p2o5_total ...
    over                available above what the crop needs, kg/ha, where it is more than nothing
    """

    dry_t_ha: float
    wet_t_ha: float
    volume_m3_ha: float | None
    depth_mm: float | None
    limited_by: str
    rates: dict[str, float]
    gives: dict[str, float]
    over: dict[str, float]


def available_n(analysis: Analysis, book: Figures, *, raw: bool = False) -> float:
    """Nitrogen a crop finds in the first year [kg per t of dry matter].

        PAN = k (NH4-N + NO3-N) + f1 (N - NH4-N - NO3-N)

    k  share of mineral nitrogen kept; f1  first-year share of organic nitrogen
    Source: alberta-nmp. ValueError where the analysis has no nitrogen.
    """
    organic = analysis.organic_n
    if organic is None:
        raise ValueError("no total nitrogen in the analysis")
    first = book["n_organic_year1_raw" if raw else "n_organic_year1"].value / 100.0
    return book["n_mineral_kept"].value / 100.0 * analysis.mineral_n + first * organic


def credits(before: Sequence[Before], book: Figures, *, raw: bool = False) -> float:
    """Nitrogen that earlier spreadings still give this year [kg/ha]: 7 % after one year, 4 % after two."""
    tail = "_raw" if raw else ""
    share = {1: book["n_organic_year2" + tail].value / 100.0, 2: book["n_organic_year3" + tail].value / 100.0}
    return sum(share.get(one.years_ago, 0.0) * one.dry_t_ha * one.organic_n for one in before)


def field_rate(
    analysis: Analysis,
    need: Mapping[str, float],
    most: Mapping[str, float],
    book: Figures,
    before: Sequence[Before] = (),
    *,
    raw: bool = False,
) -> FieldRate:
    """The rate at which the first limit is met.

    need  kg/ha a crop is to find this year, by "n" (available), "p2o5", "k2o"
    most  kg/ha that may be brought in all, by the same names (totals) and "t" (wet tonnes)
    raw   the lot counts as fresh manure
    Raises ValueError when there is no limit, or a limit names what the analysis does not tell.
    """
    first = {
        "n": available_n(analysis, book, raw=raw) if analysis.n_total is not None else None,
        "p2o5": None if analysis.p2o5 is None else analysis.p2o5 * book["p_year1"].value / 100.0,
        "k2o": None if analysis.k2o is None else analysis.k2o * book["k_year1"].value / 100.0,
    }
    total = {"n": analysis.n_total, "p2o5": analysis.p2o5, "k2o": analysis.k2o}
    wanted = {
        key: max(0.0, kg - (credits(before, book, raw=raw) if key == "n" else 0.0))
        for key, kg in need.items()
    }
    dry = {NUTRIENTS[key]: _over(kg, first[key], key) for key, kg in wanted.items()}
    dry |= {f"most {NUTRIENTS[key]}": _over(kg, total[key], key) for key, kg in most.items() if key != "t"}
    if "t" in most:
        dry["most tonnes"] = most["t"] * (1.0 - analysis.moisture)
    if not dry:
        raise ValueError("neither a need nor a limit")
    limit = min(dry, key=lambda name: dry[name])
    rate = dry[limit]
    gives = _gives(analysis, rate, first, book, raw)
    available = {"n": gives.get("n_first"), "p2o5": gives.get("p2o5_first"), "k2o": gives.get("k2o_first")}
    over = {k: have - wanted[k] for k, have in available.items() if have is not None and k in wanted}
    wet = analysis.wet(rate)
    volume = analysis.volume_m3(wet)
    return FieldRate(
        dry_t_ha=rate,
        wet_t_ha=wet,
        volume_m3_ha=volume,
        depth_mm=None if volume is None else volume * MM_OF_M3_HA,
        limited_by=limit,
        rates={name: analysis.wet(value) for name, value in dry.items()},
        gives=gives,
        over={key: value for key, value in over.items() if value > 1e-9},
    )


def _over(kg: float, per_t: float | None, key: str) -> float:
    """Tonnes of dry matter that carry `kg`."""
    if per_t is None:
        raise ValueError(f"a limit on {NUTRIENTS[key]}, of which the analysis says nothing")
    return kg / per_t if per_t > 0.0 else float("inf")


def _gives(
    analysis: Analysis,
    rate: float,
    first: Mapping[str, float | None],
    book: Figures,
    raw: bool,
) -> dict[str, float]:
    found: dict[str, float] = {}
    tail = "_raw" if raw else ""
    for key, total in (("n", analysis.n_total), ("p2o5", analysis.p2o5), ("k2o", analysis.k2o)):
        now = first[key]
        if total is not None and now is not None:
            found |= {f"{key}_total": total * rate, f"{key}_first": now * rate}
    if analysis.organic_n is not None:
        for name, year in (("n_second", "n_organic_year2"), ("n_third", "n_organic_year3")):
            found[name] = analysis.organic_n * rate * book[year + tail].value / 100.0
    return found

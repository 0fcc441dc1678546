"""What is believed of any heap before its own log has taught anything."""

from dataclasses import dataclass, fields, replace

import numpy as np


@dataclass(frozen=True)
class Beliefs:
    """Priors of the outlook of a bare log; hours and days as the name says, temperatures °C, rates K/day.

    Basis: OWN unless said otherwise, round figures chosen from what is known of composting heaps.
    docs/outlook.md tells what moved when each was halved or doubled, and on which logs it was looked at.

    warming (a heap whose log begins cold)
        ceiling_c           57: the middle of the 54-60 °C that NRAES-54 (1992, as quoted in a farm
                            factsheet, READ there) calls the preferred range; no rise is drawn past it
        taper_k             from so far below the ceiling the rise slows: vapour carries the heat away
        rise_k_day, rise_sd how fast a warm fresh heap rises: the trade's "hot within three to seven days"
        still_sd            how a heap that is not warming up may yet drift in a day
        fresh_odds          odds that a log beginning cold is of a fresh heap
        begins_below_c      a log that begins hotter tells nothing of a start
        above_air_k, near_k a fresh heap begins near the air; each near_k above that divides the odds by e
        lag_below_c, lag_days   before growth shows, a slow day is no evidence against warming
        warming_days        after so long it is no fresh heap
        fell_k              so far below its own highest, no turn about: the rise is over
    settled
        spend_days          the excess over the air fades so slowly: quick food lasts days, slow food a season
        trend_days          a drift of the last day is believed for so long
    turned
        recover_days        a turned core is back towards where it was
        comes_back          share of its excess over the air that comes back, counted as one earlier turn
        awake_h             how long after a turn the recovery is looked for
    odds of now, fade, trend, recovery before the log has scored them: `odds_*`
    learning
        eta                 how hard a miss counts against a guess (1: one spread missed divides by e)
        memory_days         a miss is forgotten at this rate
    spreads at 24 h [K], growing with the square root of the time ahead to at most `widest` times:
        settled_k, rising_k, turned_k;  narrowest_k: a probe's own error, nothing is surer than that
    prior_weight            how many past misses the belief about spreads is worth
    """

    ceiling_c: float = 57.0
    taper_k: float = 20.0
    rise_k_day: float = 12.0
    rise_sd: float = 6.0
    still_sd: float = 2.5
    fresh_odds: float = 9.0
    begins_below_c: float = 35.0
    above_air_k: float = 6.0
    near_k: float = 2.0
    lag_below_c: float = 25.0
    lag_days: float = 3.0
    warming_days: float = 14.0
    fell_k: float = 5.0
    spend_days: float = 25.0
    trend_days: float = 0.5
    recover_days: float = 0.35
    comes_back: float = 0.85
    awake_h: float = 24.0
    odds_now: float = 1.0
    odds_fade: float = 1.0
    odds_trend: float = 0.5
    odds_recovery: float = 1.0
    eta: float = 0.5
    memory_days: float = 14.0
    settled_k: float = 3.5
    rising_k: float = 7.0
    turned_k: float = 7.0
    widest: float = 1.9
    narrowest_k: float = 0.5
    prior_weight: float = 6.0


SETS, SPAN, SEED = 8, 0.6, 2  # OWN; what other seeds and spans give is told in docs/outlook.md
CEILING_SPAN_K = 5.0  # at a whole doubling
TOP_C = (
    71.6  # no heap heats itself further: upper end of the handbook's `hot` (Richard & Walker 1998, MEMORY)
)


def around(b: Beliefs, *, sets: int = SETS, span: float = SPAN, seed: int = SEED) -> list[Beliefs]:
    """`sets` of beliefs about `b`, in pairs that lie as far to either side of it: every belief times 2 to the
    power of -span to span, the ceiling as many times CEILING_SPAN_K more or less; none gives back more than
    was lost."""
    rng = np.random.default_rng(seed)
    names = [one.name for one in fields(b)]
    found = []
    for moved in rng.uniform(-span, span, (sets // 2, len(names))):
        for side in (moved, -moved):
            to = {n: getattr(b, n) * 2.0 ** float(m) for n, m in zip(names, side, strict=True)}
            to["ceiling_c"] = b.ceiling_c + CEILING_SPAN_K * float(side[names.index("ceiling_c")])
            to["comes_back"] = min(to["comes_back"], 1.0)
            found.append(replace(b, **to))
    return found

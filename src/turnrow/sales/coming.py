"""What rows will be worth selling: how much of one is left when it is ripe, and when that is."""

from dataclasses import dataclass
from math import hypot

from turnrow.sales.promise import Coming, Deciles


@dataclass(frozen=True)
class Way:
    """What stands between a ripe row and the gate.

    proven, proof_day  chance that its rule is met, and days from now until it can be at the earliest
    tested      chance that its sample meets all that the yard asks; 1 where it asks for none
    after       days, p10, p50, p90, of the laboratory and of the release
    kept, kept_off  share that passes the sieve and its standard deviation
    """

    proven: float = 1.0
    proof_day: float = 0.0
    tested: float = 1.0
    after: tuple[Deciles, ...] = ()
    kept: float = 1.0
    kept_off: float = 0.0


STRAIGHT = Way()


def row_coming(
    name: str,
    wet_t: float,
    age_days: float,
    *,
    active_days: float,
    curing_days: float,
    left: float,
    spread: float,
    off: float,
    curing_since: float | None = None,
    curing_in: Deciles | None = None,
    known_at: float | None = None,
    way: Way = STRAIGHT,
) -> Coming:
    """A row as goods to come [t].

    wet_t         what it held when that was last known; age_days since it was built
    active_days, curing_days  how long rows heat and cure on this yard
    left          share of a fresh row's wet mass that is left when it is ripe, shed evenly over its days
    spread        deciles of what is left of its time, as a share of it to each side
    off           standard deviation of the mass it comes to, as a share of it
    curing_since  days since it was moved to curing; None: it still heats
    curing_in     p10, p50, p90 of days until it can be moved, where its own outlook says so
    known_at      its age in days when `wet_t` was known; None: today
    way           what stands between ripe and the gate
    """
    final = wet_left(wet_t, age_days if known_at is None else known_at, active_days + curing_days, left)
    if curing_since is not None:
        days = (max(0.0, curing_days - curing_since),) * 3
        base = 0.0
    elif curing_in is not None:
        days, base = curing_in, curing_days
    else:
        days, base = (max(0.0, active_days - age_days),) * 3, curing_days
    low, middle, high = (day + base for day in days)
    ready = (max(0.0, min(low, middle * (1 - spread))), middle, max(high, middle * (1 + spread)))
    amount = final * way.kept
    chances = (("proven", way.proven), ("tested", way.tested))
    return Coming(
        name, amount, amount * hypot(off, way.kept_off / way.kept), ready, way.proof_day, chances, way.after,
        way.kept,
    )  # fmt: skip


def wet_left(wet_t: float, age_days: float, whole_days: float, left: float, at_days: float = -1.0) -> float:
    """What of a mass known at an age is left when the row is `at_days` old, ripe where none is given [t]:
    it sheds 1 - left of what was laid, evenly over its whole time."""

    def share(age: float) -> float:
        return 1.0 - (1.0 - left) * min(max(age, 0.0), whole_days) / whole_days

    return wet_t * share(whole_days if at_days < 0 else at_days) / share(age_days)

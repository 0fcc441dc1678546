"""What rows will be worth selling: how much of one is left when it is ripe, and when that is."""

from turnrow.sales.promise import Coming


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
    curing_in: tuple[float, float, float] | None = None,
) -> Coming:
    """A row as goods to come [t].

    wet_t         what it holds now; age_days since it was built
    active_days, curing_days  how long rows heat and cure on this yard
    left          share of a fresh row's wet mass that is left when it is ripe, shed evenly over its days
    spread        deciles of what is left of its time, as a share of it to each side
    off           standard deviation of the mass it comes to, as a share of it
    curing_since  days since it was moved to curing; None: it still heats
    curing_in     p10, p50, p90 of days until it can be moved, where its own outlook says so
    """
    whole = active_days + curing_days
    gone = min(age_days, whole) / whole
    final = wet_t * left / (1.0 - (1.0 - left) * gone)
    if curing_since is not None:
        days = (max(0.0, curing_days - curing_since),) * 3
        base = 0.0
    elif curing_in is not None:
        days, base = curing_in, curing_days
    else:
        days, base = (max(0.0, active_days - age_days),) * 3, curing_days
    low, middle, high = (day + base for day in days)
    ready = (max(0.0, min(low, middle * (1 - spread))), middle, max(high, middle * (1 + spread)))
    return Coming(name, final, off * final, ready)

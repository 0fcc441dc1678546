"""A composting trial's own figures, added up: what was lost, and whether what it states agrees with that."""

from dataclasses import dataclass

AGREE_POINTS = 2.0  # stated and reckoned loss may differ by so much before it is said


@dataclass(frozen=True)
class Trial:
    """Dry mass [any unit] and nitrogen and carbon shares [% dry] before and after; loss stated [%]."""

    dry0: float
    dry1: float
    n0_pct: float
    n1_pct: float
    c0_pct: float
    c1_pct: float
    stated_n_loss_pct: float | None = None


@dataclass(frozen=True)
class Losses:
    """Losses [% of the start] and what does not agree."""

    dry_pct: float
    nitrogen_pct: float
    carbon_pct: float
    warnings: tuple[str, ...]


def losses(trial: Trial) -> Losses:
    """Dry matter, nitrogen and carbon lost. ValueError for masses or shares that are not above 0."""
    if min(trial.dry0, trial.dry1, trial.n0_pct, trial.c0_pct) <= 0:
        raise ValueError(f"{trial}: want masses and shares above 0")
    left = trial.dry1 / trial.dry0
    dry = 100.0 * (1.0 - left)
    nitrogen = 100.0 * (1.0 - left * trial.n1_pct / trial.n0_pct)
    carbon = 100.0 * (1.0 - left * trial.c1_pct / trial.c0_pct)
    said = []
    stated = trial.stated_n_loss_pct
    if stated is not None and abs(stated - nitrogen) > AGREE_POINTS:
        said.append(f"nitrogen: {stated:g} % was stated lost, masses and shares give {nitrogen:.1f} %")
    for name, value in (("dry matter", dry), ("nitrogen", nitrogen), ("carbon", carbon)):
        if value < 0.0:
            said.append(f"{name}: {-value:.1f} % more at the end than at the start")
    return Losses(dry, nitrogen, carbon, tuple(said))

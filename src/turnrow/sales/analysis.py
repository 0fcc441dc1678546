"""A lot's analysis as a user of compost needs it: all figures per tonne of dry matter."""

from dataclasses import dataclass

EXTRACTS = ("saturated extract", "1:5 by volume", "1:5 by weight")


@dataclass(frozen=True)
class Analysis:
    """What a tonne holds. Nutrients in kg per t of dry matter; None: not told.

    moisture   share of wet mass, 0 to below 1
    density    kg of wet compost per m3
    p2o5, k2o  as the oxides that labels name
    ec         electrical conductivity [dS/m] in `extract`: figures of two extracts cannot be compared
    """

    moisture: float
    density: float | None = None
    n_total: float | None = None
    nh4_n: float = 0.0
    no3_n: float = 0.0
    p2o5: float | None = None
    k2o: float | None = None
    carbon: float | None = None
    ec: float | None = None
    extract: str = ""

    def __post_init__(self) -> None:
        if not 0.0 <= self.moisture < 1.0:
            raise ValueError(f"moisture {self.moisture}, want 0 to below 1 of wet mass")
        if self.n_total is not None and self.nh4_n + self.no3_n > self.n_total:
            raise ValueError(f"mineral N {self.nh4_n + self.no3_n} kg/t above total N {self.n_total} kg/t")
        if self.extract and self.extract not in EXTRACTS:
            raise ValueError(f"extract {self.extract!r}, want one of {', '.join(EXTRACTS)}")

    @property
    def mineral_n(self) -> float:
        return self.nh4_n + self.no3_n

    @property
    def organic_n(self) -> float | None:
        """Total less ammonium and nitrate nitrogen [kg/t dry]."""
        return None if self.n_total is None else self.n_total - self.mineral_n

    @property
    def cn(self) -> float | None:
        """Carbon over nitrogen by mass, of this one analysis: a mean of many ratios is something else."""
        return self.carbon / self.n_total if self.carbon and self.n_total else None

    def wet(self, dry_t: float) -> float:
        """Tonnes as they lie that hold `dry_t` tonnes of dry matter: W = D / (1 - m)."""
        return dry_t / (1.0 - self.moisture)

    def volume_m3(self, wet_t: float) -> float | None:
        return None if self.density is None else 1000.0 * wet_t / self.density

"""Whether what came out can have been made of what went in: ash, phosphorus and iron beside the weights."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.lots.shrink import kept, loss_by_ash, loss_by_weight

STAYS = ("ash", "phosphorus", "iron", "potassium")  # neither burns nor flies; potassium may wash out
NITROGEN = "nitrogen"


@dataclass(frozen=True)
class Side:
    """Dry matter [t, or any mass], and what a lab found in it, shares of the dry matter."""

    dry: float | None
    found: Mapping[str, float]


@dataclass(frozen=True)
class Balance:
    """What went in beside what came out.

    by_weight, by_ash  share of the dry matter lost, each alone; None where it cannot be told
    kept               of ash, phosphorus, iron, potassium, nitrogen: what came out of what went in
    said               what cannot be, in sentences
    """

    by_weight: float | None
    by_ash: float | None
    kept: dict[str, float]
    said: tuple[str, ...]

    def sentence(self, name: str) -> str:
        """Both losses side by side, for people; one that cannot be told says what is missing."""
        weight = "not known by weight (a mass or a moisture was not measured)"
        ash = "not known by ash (it was not tested on both sides)"
        if self.by_weight is not None:
            weight = f"{_pct(self.by_weight)} by weight"
        if self.by_ash is not None:
            ash = f"{_pct(self.by_ash)} by ash"
        return f"{name}: dry matter lost {weight}, {ash}."


def balance(went_in: Side, came_out: Side, low: float, high: float) -> Balance:
    """Compare both sides. low, high: within them what was kept of something that stays is believed."""
    weights = None
    if went_in.dry is not None and came_out.dry is not None and went_in.dry > 0.0:
        weights = loss_by_weight(went_in.dry, came_out.dry)
    ash_in, ash_out = went_in.found.get("ash"), came_out.found.get("ash")
    ash = loss_by_ash(ash_in, ash_out) if ash_in is not None and ash_out else None
    shares = {}
    for name in (*STAYS, NITROGEN):
        part_in, part_out = went_in.found.get(name), came_out.found.get(name)
        if (
            weights is not None
            and part_in
            and part_out is not None
            and went_in.dry
            and came_out.dry is not None
        ):
            shares[name] = kept(part_in, went_in.dry, part_out, came_out.dry)
    return Balance(weights, ash, shares, tuple(_sentences(weights, ash, shares, low, high)))


def told_loss(name: str, told: float, share_kept: float, off: float) -> str:
    """A sentence where a loss somebody states is not the one the masses give; empty where it is.

    told, off  the loss, and how far it may be out: shares of what went in
    """
    masses = 1.0 - share_kept
    if abs(masses - told) <= off:
        return ""
    return f"{name.capitalize()}: {_pct(told)} is said to be lost, and the masses say {_pct(masses)}."


def _sentences(
    weights: float | None, ash: float | None, shares: Mapping[str, float], low: float, high: float
) -> list[str]:
    said = []
    if weights is not None and weights < 0.0:
        said.append(
            f"More dry matter came out than went in ({_pct(-weights)} more): a mass or a moisture is wrong."
        )
    if ash is not None and ash < 0.0:
        said.append(
            "The ash thinned: nothing rots so that less of it is ash; one of the two results is wrong."
        )
    if weights is not None and ash is not None and not low <= shares.get("ash", 1.0) <= high:
        said.append(f"Dry matter lost: {_pct(weights)} by weight, {_pct(ash)} by ash; they do not agree.")
    for name in STAYS:
        if (share := shares.get(name)) is None or low <= share <= high:
            continue
        more = share > high
        found = f"{name.capitalize()}: {_pct(share)} of what went in came out"
        said.append(f"{found}; {_why(name, more, shares, low, high)}.")
    nitrogen = shares.get(NITROGEN)
    if nitrogen is not None and nitrogen > high:
        said.append(
            f"Nitrogen: {_pct(nitrogen)} of what went in came out; it does not close: air gives next to none."
        )
    return said


def _why(name: str, more: bool, shares: Mapping[str, float], low: float, high: float) -> str:
    others = [one for one in ("phosphorus", "iron") if one in shares and one != name]
    close = [one for one in others if low <= shares[one] <= high]
    if name == "potassium" and not more:
        return "it may have washed out"
    if name in ("ash", "iron") and more and "phosphorus" in close:
        return "phosphorus closes, so grit or soil was picked up, or a result is wrong"
    if close:
        return f"{close[0]} closes, so its own results are doubtful before the weights are"
    return "a mass, a moisture or a result is wrong" + (", or soil came with it" if more else "")


def _pct(share: float) -> str:
    return f"{100.0 * share:.3g} %"

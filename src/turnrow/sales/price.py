"""What a load costs its buyer: the list's price, moisture counted where it is sold by weight; to the cent."""

from dataclasses import dataclass
from fractions import Fraction

from turnrow.yard.entries import Amount
from turnrow.yard.numbers import MICRO
from turnrow.yard.units import of_kind

MASS = of_kind("mass")  # t
VOLUME = of_kind("volume")  # m3


@dataclass(frozen=True)
class Priced:
    """A load with its price.

    quantity  in the price's own unit, after moisture; `money` its currency's hundredths, rounded half up
    how       in words: what was turned into what, with which line's density or moisture
    """

    quantity: Fraction
    unit: str
    cents: int
    currency: str
    how: str


def at_moisture(mass: Fraction, moisture: Fraction, reference: Fraction) -> Fraction:
    """The mass the same dry matter has at a reference moisture: M (1 - m) / (1 - m_ref); shares of wet mass.

    ValueError for a moisture outside 0 to below 1.
    """
    for share in (moisture, reference):
        if not 0 <= share < 1:
            raise ValueError(f"moisture {float(share)}, want 0 to below 1")
    return mass * (1 - moisture) / (1 - reference)


def convert(
    amount: Amount, unit: str, *, density: Fraction | None = None, bag: Amount | None = None
) -> Fraction:
    """An amount in another unit of goods.

    density  kg/m3 as it lies, between mass and volume; bag: what one bag holds, by mass or volume
    ValueError says what is missing.
    """
    return _converted(Fraction(amount.value, MICRO), amount.unit, unit, density, bag)


def _converted(size: Fraction, has: str, unit: str, density: Fraction | None, bag: Amount | None) -> Fraction:
    """As `convert`, exact to the end: bags of pounds and cubic feet are no whole millionths of anything."""
    if has == unit:
        return size
    if "bag" in (has, unit):
        if bag is None:
            raise ValueError("how much one bag holds is not written")
        one, of = _bag(bag)
        if has == "bag":
            return _converted(size * one, of, unit, density, None)
        return _converted(size, has, of, density, None) / one
    if has in MASS and unit in MASS:
        return size * MASS[has] / MASS[unit]
    if has in VOLUME and unit in VOLUME:
        return size * VOLUME[has] / VOLUME[unit]
    if density is None or density <= 0:
        raise ValueError(f"{has} cannot become {unit} without a bulk density")
    if has in MASS:
        return size * MASS[has] * 1000 / density / VOLUME[unit]
    return size * VOLUME[has] * density / 1000 / MASS[unit]


def _bag(bag: Amount) -> tuple[Fraction, str]:
    """One bag in m3 or t."""
    unit, sizes = ("t", MASS) if bag.unit in MASS else ("m3", VOLUME)
    return Fraction(bag.value, MICRO) * sizes[bag.unit], unit


def priced(
    amount: Amount,
    price: Amount,
    *,
    density: Fraction | None = None,
    bag: Amount | None = None,
    moisture: Fraction | None = None,
    reference: Fraction | None = None,
) -> Priced:
    """What `amount` comes to at `price` ("EUR/m3").

    moisture   of the load, share of wet mass; reference: what the price per tonne is for
    ValueError says what is missing.
    """
    currency, _, unit = price.unit.partition("/")
    if not unit:
        raise ValueError(f"price {price.unit}, want money per unit")
    quantity, how = convert(amount, unit, density=density, bag=bag), ""
    if amount.unit != unit:
        how = f"{float(Fraction(amount.value, MICRO)):g} {amount.unit} as {float(quantity):.4g} {unit}"
    if reference is not None and unit in MASS:
        if moisture is None:
            raise ValueError(
                f"the price is for {float(reference) * 100:g} % moisture; the load's is not written"
            )
        quantity = at_moisture(quantity, moisture, reference)
        said = f"{float(moisture) * 100:g} % moisture reckoned as {float(reference) * 100:g} %"
        how = f"{how}; {said}" if how else said
    return Priced(quantity, unit, cents(quantity * Fraction(price.value, MICRO)), currency, how)


def cents(money: Fraction) -> int:
    """Hundredths, halves away from nothing, as an invoice rounds."""
    doubled = abs(money) * 200 + 1
    found = int(doubled // 2)
    return found if money >= 0 else -found

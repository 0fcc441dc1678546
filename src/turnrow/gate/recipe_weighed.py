"""What a recipe file gives as weighed on the yard (pail, oven, ash) turned to the keys it stands for."""

from typing import Any

from turnrow.blend.basis import density_of_pail, moisture_of_sample
from turnrow.blend.carbon import carbon_from_ash
from turnrow.blend.shrink import BucketTest, fit_shrink
from turnrow.blend.weighed import Several, several, spread_words
from turnrow.gate.recipe_values import Values

PAIL, OVEN, ASH = ("pail_l", "pail_empty_kg", "pail_full_kg"), ("wet_g", "dry_g", "cup_g"), ("ash_pct_dry",)
WEIGHED = (*PAIL, *OVEN, *ASH)
BUCKET_TEST = ("parts_l", "mix_l")
MOST_L, MOST_KG, MOST_G = 1_000.0, 2_000.0, 100_000.0
MOST_TESTS, MOST_SHRINK = 12, 0.5
STANDS_IN, ASH_STANDS_IN = (
    50.0,
    20.0,
)  # for a figure whose weights were refused, so that it is not called missing too


def weighed(part: Values, notices: list[str]) -> Values:
    """The ingredient with moisture_pct, bulk_density_kg_m3, organic_matter_pct_dry and c_pct_dry in the place
    of what was weighed; refusals go to those of `part`."""
    given = [key for key in WEIGHED if key in part.raw]
    if not given:
        return part
    raw: dict[str, Any] = {key: value for key, value in part.raw.items() if key not in WEIGHED}
    name = str(part.raw.get("name", part.where))
    for keys, stands_for, read in ((PAIL, "bulk_density_kg_m3", _pail), (OVEN, "moisture_pct", _oven)):
        if not any(key in part.raw for key in keys):
            continue
        if stands_for in part.raw:
            part.wrong(stands_for, part.raw[stands_for], f"Keep it or {', '.join(keys)}, not both.")
            continue
        found = read(part)
        raw[stands_for] = STANDS_IN if found is None else found.mean
        if found is not None:
            words = (
                spread_words("density", found) if keys is PAIL else spread_words("moisture", _shares(found))
            )
            many = f"{len(found.each)} weighed"
            spread = "" if found.sd is None else f", standard deviation {found.sd:.3g}"
            notices.append(f"{name}: {stands_for} {found.mean:.4g}, {many}{spread}. {words}".rstrip())
    if "ash_pct_dry" in part.raw:
        _ash(part, raw, name, notices)
    made = Values(raw, part.where)
    made.refusals = part.refusals
    return made


def shrink_of(top: Values) -> float | None:
    """The shrink by the file's bucket tests; None where there are none, or one is refused."""
    if "bucket_test" not in top.raw:
        return None
    if "shrink" in top.raw:
        top.wrong("shrink", top.raw["shrink"], "Keep it or the bucket tests, not both.")
    before, tests = len(top.refusals), []
    each = top.each("bucket_test", BUCKET_TEST, MOST_TESTS)
    if not each and len(top.refusals) == before:
        top.wrong("bucket_test", "none", "Write at least one, or leave it out.")
    for one in each:
        parts = one.numbers("parts_l", above=0.0, most=MOST_L)
        mix = one.number("mix_l", above=0.0, most=MOST_L)
        _needed(one, BUCKET_TEST)
        if parts is not None and len(parts) < 2:
            one.wrong("parts_l", list(parts), "Write the litres of each part, at least two: [10, 10].")
        elif parts is not None and mix is not None:
            tests.append(BucketTest(parts, mix))
    if len(top.refusals) > before:
        return None
    found = fit_shrink(tests)
    if found.shrink > MOST_SHRINK:
        top.wrong("bucket_test", f"{found.shrink:.2g} lost", f"At most {MOST_SHRINK}: {found.words}.")
    return found.shrink


def _pail(part: Values) -> Several | None:
    litres = part.number("pail_l", above=0.0, most=MOST_L)
    empty = part.number("pail_empty_kg", least=0.0, most=MOST_KG)
    full = part.numbers("pail_full_kg", above=0.0, most=MOST_KG)
    _needed(part, PAIL)
    if litres is None or empty is None or full is None:
        return None
    if min(full) <= empty:
        do = "A full pail weighs more than an empty one: look at both."
        part.wrong("pail_full_kg", f"{min(full):g} full, {empty:g} empty", do)
        return None
    return several([density_of_pail(one, empty, litres) for one in full])


def _oven(part: Values) -> Several | None:
    wet, dry = (part.numbers(key, above=0.0, most=MOST_G) for key in ("wet_g", "dry_g"))
    cup = part.number("cup_g", least=0.0, most=MOST_G)
    _needed(part, OVEN[:2])
    if wet is None or dry is None or ("cup_g" in part.raw and cup is None):
        return None
    if len(wet) != len(dry):
        part.wrong(
            "dry_g", f"{len(dry)} for {len(wet)} samples", "Write one for each of wet_g, in its order."
        )
        return None
    cup = cup or 0.0
    for a, b in zip(wet, dry, strict=True):
        if not cup < b <= a:
            do = "Dry weighs no more than wet, and both more than cup_g, their container."
            part.wrong("dry_g", f"{b:g} of {a:g} in {cup:g}", do)
            return None
    return several([100 * moisture_of_sample(a - cup, b - cup) for a, b in zip(wet, dry, strict=True)])


def _ash(part: Values, raw: dict[str, Any], name: str, notices: list[str]) -> None:
    """Organic matter by ash, and carbon where the file does not tell it: two of one sheet are surer."""
    ash = part.number("ash_pct_dry", least=0.0, most=100.0)
    if "organic_matter_pct_dry" in part.raw:
        part.wrong("organic_matter_pct_dry", part.raw["organic_matter_pct_dry"], "It is 100 - ash: keep one.")
    if part.raw.get("basis", "dry") == "as received":
        part.wrong("ash_pct_dry", part.raw["ash_pct_dry"], 'Ash is of dry mass: write basis = "dry".')
        raw["basis"] = "dry"
    ash = ASH_STANDS_IN if ash is None else ash
    raw["organic_matter_pct_dry"] = 100 - ash
    if "c_pct_dry" not in raw and not ("n_pct_dry" in raw and "cn" in raw):
        found = carbon_from_ash(ash / 100)
        raw["c_pct_dry"] = 100 * found.c_dry
        low, high = 100 * found.low, 100 * found.high
        notices.append(f"{name}: carbon {100 * found.c_dry:.3g} % by its ash, from {low:.3g} to {high:.3g} %")


def _needed(part: Values, keys: tuple[str, ...]) -> None:
    for key in keys:
        if key not in part.raw:
            part.wrong(key, "nothing", f"Write all of {', '.join(keys)}.")


def _shares(found: Several) -> Several:
    return several([one / 100 for one in found.each])

"""The recipe as a paper: loads in order, water, the mix and its bases, chances, sources. Pure."""

from msgspec import Struct

from turnrow.records import recipe_words as words
from turnrow.records.recipe_paper import RecipePaper
from turnrow.records.recipe_picture import mix_window, window_picture, window_words

WIDTH = 640.0  # px of the picture
TITLES = {"moisture": "moisture", "n": "nitrogen", "c": "carbon", "cn": "C:N", "density": "density"}
CAUTION = (
    "A recipe is where to start, not a promise: weigh a bucket, squeeze a handful, look again after the "
    "first turn. Fresh manure gives off ammonia, hydrogen sulphide and carbon dioxide: never into a pit or a "
    "closed shed alone. Dry straw, leaves and chips give off dust and spores: wet them, stay upwind, wear a "
    "mask that fits. A row both warm and dry can burn. Nobody on foot near loader, spreader or turner; keep "
    "machines off soft ground and slopes. The local code, the machine's own instructions and licensed advice "
    "come first. Carcasses, slaughter waste and sewage have laws of their own and are not in the handbook's "
    "table."
)
BASIS = (
    "Moisture is of wet mass. Nitrogen and carbon are of dry matter, C:N by mass. Density is as the material "
    "lies, loose, before the heap presses on itself."
)


class Number(Struct, frozen=True):
    """One number used: whose, what, how much, range, whence, source and how it is known."""

    material: str
    quantity: str
    value: str
    range: str
    whence: str
    known: str


class Drawing(Struct, frozen=True):
    """SVG, and the sentence that stands for it; both empty where nothing can be drawn."""

    svg: str
    words: str


class RecipeSheet(Struct, frozen=True):
    title: str
    yard: str
    place: str
    invented: bool
    found: bool
    take: str
    water: str
    why: tuple[str, ...]
    layers: tuple[tuple[str, str, str], ...]
    mix: tuple[tuple[str, str, str, str], ...]
    said: tuple[str, ...]
    picture: Drawing
    ties: tuple[str, ...]
    numbers: tuple[Number, ...]
    sources: tuple[tuple[str, str], ...]
    notices: tuple[str, ...]
    basis: str
    caution: str
    edition: str
    seal_short: str
    made: str


def recipe_sheet(paper: RecipePaper) -> RecipeSheet:
    """The sheet of one answered recipe; the same paper gives the same sheet."""
    drawn = window_picture(paper)
    found = paper.recipe.found
    day = f"{paper.made.day} {paper.made:%B %Y}"
    return RecipeSheet(
        title=f"Recipe, {day}" + (f", {paper.yard}" if paper.yard else ""),
        yard=paper.yard or "A yard without a name",
        place=paper.place,
        invented=paper.invented,
        found=found,
        take=words.take_words(paper) if found else "There is no such mix.",
        water=words.water_words(paper) if found else "",
        why=() if found else words.why_words(paper),
        layers=words.layer_words(paper),
        mix=mix_rows(paper),
        said=tuple(
            text
            for text in (
                (
                    words.chance_words(paper),
                    words.air_words(paper, paper.recipe.mix),
                    words.unturned_words(paper),
                    words.row_words(paper),
                )
                if paper.recipe.mix is not None
                else ()
            )
            if text
        )
        + ((words.cost_words(paper),) if found else ()),
        picture=Drawing(mix_window(drawn, WIDTH), window_words(drawn)) if drawn else Drawing("", ""),
        ties=tuple(words.tie_words(tie) for tie in paper.recipe.near_ties),
        numbers=number_rows(paper),
        sources=tuple(paper.sources.items()),
        notices=paper.notices,
        basis=BASIS,
        caution=CAUTION,
        edition=paper.edition,
        seal_short="",
        made=paper.made.isoformat(),
    )


def mix_rows(paper: RecipePaper) -> tuple[tuple[str, str, str, str], ...]:
    """Quantity with its basis, what was asked, what it is on the means, in how many of 100 it holds."""
    mix, chances = paper.recipe.mix, paper.recipe.chances
    asked = dict(words.limit_words(paper))
    figures = words.figure
    rows: list[tuple[str, str, str | None]] = []
    if mix is not None:
        air = mix.fas is not None and "fas" not in paper.unsaid
        rows = [
            (
                "moisture, of wet mass",
                "moisture",
                None if "moisture" in paper.unsaid else f"{figures(100 * mix.moisture_wet)} %",
            ),
            ("C:N, by mass", "cn", None if "cn" in paper.unsaid or not mix.n_kg > 0 else figures(mix.cn)),
            ("air space, of the volume", "fas", f"{figures(100 * (mix.fas or 0), 2)} %" if air else None),
            (
                "air space, more cautious",
                "",
                f"{figures(100 * (mix.fas_conservative or 0), 2)} %" if air else None,
            ),
            ("density", "bulk_density", None if mix.density is None else f"{figures(mix.density)} kg/m³"),
        ]
    made = []
    for name, key, value in rows:
        if value is not None:
            share = getattr(chances, key) if chances is not None and key else None
            made.append((name, asked.get(name, ""), value, "" if share is None else figures(100 * share, 2)))
    return tuple(made)


def number_rows(paper: RecipePaper) -> tuple[Number, ...]:
    """Every number of every material, with source and READ, MEMORY or OWN."""
    found = []
    for one in paper.used:
        figure = one.figure
        unit = "" if one.quantity == "cn" else f" {one.unit.partition(' ')[0]}"
        low_high = ""
        if figure is not None and figure.low is not None and figure.high is not None:
            low_high = f"{words.figure(figure.low)} to {words.figure(figure.high)}"
        typed = "" if one.typed is None else f"{words.figure(one.typed, 4)} typed"
        whence = one.whence
        if figure is not None and one.typed is not None and whence != "typed":
            whence = f"{typed}, handbook {words.figure(figure.value, 4)}"
        known = "" if figure is None else f"{figure.source}, {figure.known}"
        value = f"{words.figure(one.value, 4)}{unit}"
        found.append(Number(one.material, TITLES[one.quantity], value, low_high, whence, known))
    return tuple(found)

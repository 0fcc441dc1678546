"""The forms of "Measure your own": what each asks, what to mind, and how it is done."""

from dataclasses import dataclass

from turnrow.gate.measuring import BUCKET_TESTS, DENSITIES, KILOGRAMS, LITRES, TONNES, WATERS
from turnrow.web.asks import Field

MANY = "A number for each, with blanks between: 10.2 9.8 10.4."
CUP = Field(
    "cup", "Empty container", hint="One weight for all, or one for each. Empty: the scale was set to 0."
)
OF = (
    Field("material", "Of which material", hint="To write it down: a material, a load or a row, just one."),
    Field("load", "Of which load"),
    Field("row", "Of which row", "row"),
)
SPORES = "Dust and spores: work upwind or with a mask that fits, gloves on, and wash your hands."
FURNACE = (
    "Burning is for a laboratory with a furnace and a hood (550 °C, 1020 °F): no kitchen oven, no stove, no "
    "torch. Send a dried sample, and write here what the sheet says."
)
OVEN = (
    "An oven: 105–110 °C (220–230 °F), 24 hours, in a room that is aired; tins and racks burn hands. Not an "
    "oven that cooks food. Manure and sharp smells belong outdoors. A microwave: 50 to 100 g at a time on a "
    "glass dish, a glass of water beside it, a minute or two a round, never left alone. Dry matter catches "
    "fire at once and smokes: stop at the first smell, door shut, plug out. No metal, no wire, no string."
)


@dataclass(frozen=True)
class Measuring:
    """One form of the page: its name in the address, what it tells, how it is done, what may hurt."""

    what: str
    title: str
    lead: str
    fields: tuple[Field, ...]
    care: str


FORMS = (
    Measuring(
        "pail",
        "Pail: weight and air",
        "Fill a marked pail in thirds, drop it squarely ten times after each third, top it up without "
        "dropping, weigh: the same way each time. Then pour water to the brim, slowly, till no bubble rises.",
        (
            Field("pail", "The pail holds", "number",
                  "Weigh it full of water: 1 kg is a litre, 8.34 lb a US gallon.", True,
                  tuple(LITRES), preset="20"),
            Field("empty", "Empty pail", "number", needed=True, units=tuple(KILOGRAMS)),
            Field("full", "Full pail, each fill", hint=MANY, needed=True),
            Field("brim", "Water to the brim of one of them", "number", "For its air.", units=tuple(WATERS)),
            *OF,
        ),
        f"{SPORES} A full pail of wet manure weighs 20 kg (44 lb): lift with your knees, or fill half of a "
        "smaller one. The water that was poured is drainage: not into a ditch.",
    ),
    Measuring(
        "oven",
        "Oven or microwave: moisture",
        "Grabs from many places, mixed; three samples of it at least. Weigh each wet, dry it, weigh it, dry "
        "it again and weigh it once more: dry is dry when two weighings agree. All in the same unit.",
        (
            CUP,
            Field("wet", "Wet, with the container", hint=MANY, needed=True),
            Field("dry", "Dry, with the container", hint=MANY, needed=True),
            Field("again", "Dried again, with the container", hint=MANY),
            *OF,
        ),
        f"{OVEN} {SPORES}",
    ),
    Measuring(
        "ash",
        "Ash: organic matter and carbon",
        "What is left of a dry sample after burning is ash; what went is organic matter, and about 5 parts "
        "in 9 of that are carbon.",
        (
            Field("ash", "Ash, % of dry mass", hint="As a lab’s sheet has it; or the weights below."),
            CUP,
            Field("dry", "Dry, with the container", hint=MANY),
            Field("burnt", "Burnt, with the container", hint=MANY),
            *OF,
        ),
        f"{FURNACE} {SPORES}",
    ),
    Measuring(
        "water",
        "Water: to give, or to lose",
        "The dry mass stays what it is, so the rest is a sum. With its density and organic matter the most "
        "water that leaves it air is told too.",
        (
            Field("mass", "How much there is", "number", needed=True, units=tuple(TONNES)),
            Field("moisture", "Its moisture, %", needed=True),
            Field("moisture_of", "That is a share of", "choice",
                  choices=(("wet", "the wet mass"), ("dry", "the dry mass")), preset="wet"),
            Field("wanted", "Moisture wanted, % of wet mass", needed=True),
            Field("stays", "Of the water given, % that stays", hint="What runs off is yours to judge."),
            Field("density", "Its density", "number", units=tuple(DENSITIES)),
            Field("organic", "Organic matter, % of dry mass"),
        ),
        "Give water in small lots while it is turned: what runs off carries nitrogen and germs, and belongs "
        f"in your pond or tank. {SPORES}",
    ),
    Measuring(
        "shrink",
        "Two pails into one: shrink",
        "Measure the parts apart, mix them on a sheet, fill the mix back the same way. Fines go into the "
        "gaps of what is coarse, so the mix takes less room. All in the same unit.",
        tuple(
            field
            for n in range(1, BUCKET_TESTS + 1)
            for field in (
                Field(f"apart_{n}", f"Test {n}: the parts apart", hint="A number for each part: 10 10.",
                      needed=n == 1),
                Field(f"mixed_{n}", f"Test {n}: the mix", needed=n == 1),
            )
        ),
        SPORES,
    ),
)  # fmt: skip
BY_NAME = {form.what: form for form in FORMS}

"""The forms of what an inspector asks for: certified, certificate, trained, cleaned, spread."""

from turnrow.handbook.quality import statements
from turnrow.web.asks import SOLIDS, Field, Form

_LOT = Field("lot", "Lot", "known", needed=True, known="lots")

EVIDENCE = (
    Form(
        "certify",
        "certified",
        "Sign the certification",
        "Sign it",
        (
            _LOT,
            Field("name", "Your name in full", hint="It stands on the papers.", needed=True),
            Field(
                "words",
                "I have read this statement and sign it",
                "choice",
                choices=tuple(
                    (key, f"the statement of {one.clause}, above") for key, one in statements().items()
                ),
                needed=True,
            ),
        ),
        care="A false certification is an offence. Sign only what was prepared under your own direction. "
        + " ".join(f"{one.clause}: “{one.words}”" for one in statements().values()),
        group="lots",
    ),
    Form(
        "certificate",
        "certificate",
        "Certificate of bought-in compost",
        "Keep the certificate",
        (
            Field("load", "Load", hint="Just one of load and material."),
            Field("material", "Material", hint="Where it holds for all that the issuer sells of it."),
            Field("issuer", "Who issued it", needed=True),
            Field("number", "Its number"),
            Field(
                "words",
                "What it vouches for",
                hint="The process, and that it was kept clean since.",
                needed=True,
            ),
            Field("issued", "Issued on", "day"),
            Field("until", "Holds until", "day"),
        ),
        group="yard",
    ),
    Form(
        "training",
        "trained",
        "Training",
        "Keep the training",
        (
            Field("name", "Who was trained, in full", needed=True),
            Field("short", "How the diary names them", hint="As it stands under who wrote a line."),
            Field("subject", "In what", hint="Probing, turning, hygiene, the fire plan.", needed=True),
            Field("by", "By whom"),
            Field("until", "Holds until", "day"),
        ),
        group="yard",
    ),
    Form(
        "cleaning",
        "cleaned",
        "Cleaning",
        "Keep the cleaning",
        (
            Field("what", "What was cleaned", hint="Loader bucket, turner, screen, trailer.", needed=True),
            Field("after", "After", hint="What it had touched: raw manure."),
            Field("before", "Before", hint="What it is to touch next: a finished lot."),
            Field("how", "How", hint="Scraped, washed at high pressure, left to dry.", needed=True),
        ),
        care="Stop the engine, take the key and let nothing move before anybody cleans a machine.",
        group="yard",
    ),
    Form(
        "spread",
        "spread",
        "Spread on a field",
        "Keep it",
        (
            _LOT,
            Field("ticket", "Load out", "known", known="tickets"),
            Field("field", "Field or bed", needed=True),
            Field("amount", "How much", "number", units=SOLIDS),
            Field("worked_in", "Worked into the soil on", "day", "The days before harvest count from here."),
            Field("crop", "Crop that follows"),
            Field("harvest", "Harvest", "day"),
            Field(
                "touches_soil",
                "What is eaten touches soil or its splash",
                "choice",
                choices=(("yes", "yes"), ("no", "no")),
                preset="yes",
            ),
        ),
        care="Material treated as raw goes on no bed that is eaten from before its waiting time is over.",
        group="lots",
    ),
)

"""The forms about lots, samples, release, sales and costs."""

from turnrow.web.asks import LENGTHS, ROW, SOLIDS, Field, Form
from turnrow.web.quality_forms import GROWTH

MATERIALS = (
    ("compost", "compost"),
    ("castings", "castings"),
    ("bulking", "overs for bulking"),
    ("mulch", "mulch"),
)
MEANS = (
    ("scale", "on a scale"),
    ("survey", "surveyed"),
    ("buckets", "counted in buckets"),
    ("judged", "judged by eye"),
)
COSTS = tuple((one, one) for one in ("machine", "fuel", "people", "water", "bulking", "lab", "land", "other"))
PERCENT = ("%",)
SHARES = (
    "One thing a line: row R7: 30 t @ 45 %, or lot 26-04, or load L3. Without an amount, all that is left."
)
LOT = Field("lot", "Lot", "known", needed=True, known="lots")
CUSTOMER = Field("customer", "Customer", "known", needed=True, known="customers")
ITS_PAGE = "The lot's own page says it, and fills it in."
PRICE = "For example 28.50 EUR/m3 or 3.20 USD/bag."
DUST = (
    "Dry compost dusts, and its dust carries spores: wet it, stay upwind or in a closed cab, wear a mask "
    "that fits. Nobody on foot near screen, loader or truck."
)

GOODS: tuple[Form, ...] = (
    Form(
        "lot",
        "lot made",
        "Make a lot",
        "Keep the lot",
        (
            Field("lot", "Lot", hint="Its name for ever: 26-04.", needed=True),
            Field("sources", "What it is made of", "area", SHARES, True),
            Field("amount", "How much it came to", "number", units=SOLIDS),
            Field("moisture", "Moisture", "number", units=PERCENT),
            Field("material", "It is", "choice", choices=MATERIALS, preset="compost"),
            Field("place", "Where it lies"),
        ),
        care="Material that is not proven makes the whole lot unproven.",
        group="lots",
    ),
    Form(
        "screen",
        "screened",
        "Screen",
        "Keep the screening",
        (
            Field("sources", "What was screened", "area", SHARES, True),
            Field("opening", "Opening of the screen", "number", units=("mm", "in")),
            Field("fines", "Lot of what passed", hint="A new name.", needed=True),
            Field("fines_amount", "How much passed", "number", units=SOLIDS),
            Field("fines_moisture", "Moisture of it", "number", units=PERCENT),
            Field("overs", "Lot of what did not pass", hint="Leave empty when it was not kept."),
            Field("overs_amount", "How much did not pass", "number", units=SOLIDS),
            Field("overs_moisture", "Moisture of it", "number", units=PERCENT),
        ),
        care=DUST,
        group="lots",
    ),
    Form(
        "split",
        "row split",
        "Split a row",
        "Keep the split",
        (
            ROW,
            Field("new", "Name of the part moved away", needed=True),
            Field("length", "Length of the part", "number", units=LENGTHS),
            Field("amount", "Or how much", "number", units=SOLIDS),
        ),
    ),
    Form(
        "weigh",
        "weighed",
        "Weigh or survey",
        "Keep the weight",
        (
            Field("amount", "How much there is", "number", needed=True, units=SOLIDS),
            Field("lot", "Lot", "known", "A lot, a row or a load: just one.", known="lots"),
            Field("row", "Row", "row"),
            Field("load", "Load"),
            Field("moisture", "Moisture", "number", units=PERCENT),
            Field("how", "How that is known", "choice", choices=MEANS, preset="scale"),
            Field("ticket", "Ticket of the scale"),
        ),
        group="lots",
    ),
    Form(
        "sample",
        "sampled",
        "Take a sample",
        "Keep the sample",
        (
            Field("sample", "Label of the sample", needed=True),
            Field("lot", "Lot", "known", "A lot or a row: just one.", known="lots"),
            Field("row", "Row", "row"),
            Field("increments", "Places it was taken from", "whole", needed=True, preset="12"),
            Field("mass", "Mass", "number", units=("kg", "g", "lb")),
            Field("container", "Put in"),
            Field("cooled", "Kept cool on its way", "tick"),
            Field("sent_to", "Sent to"),
            Field("plan", "Sampling plan"),
        ),
        care="Gloves; clean tools; the increments from all over the lot, mixed well.",
        group="lots",
    ),
    Form(
        "result",
        "lab result",
        "Lab result",
        "Keep the result",
        (
            Field(
                "sample", "Sample", "known", "Or, without a sample of ours, just one below.", known="samples"
            ),
            Field("lot", "Lot", "known", known="lots"),
            Field("row", "Row", "row"),
            Field("load", "Load"),
            Field("material", "Material"),
            Field(
                "results",
                "What was found",
                "area",
                "One figure a line: N total: 1.53 % dry. Fecal coliform: <10 MPN/g dry by SM 9221.",
                True,
            ),
            Field("sampled", "Taken on", "day"),
            Field("lab", "Lab"),
            Field("report", "Report number"),
            Field("accredited", "The lab's accreditation and its number"),
        ),
        group="lots",
    ),
    GROWTH,
    Form(
        "release",
        "released",
        "Release a lot",
        "Release it",
        (
            LOT,
            Field(
                "how",
                "As",
                "choice",
                choices=(("proven", "proven"), ("treated as raw", "treated as raw")),
                preset="proven",
            ),
            Field("name", "Your name in full", hint="It stands on the papers.", needed=True),
            Field("rule", "Rule", hint=ITS_PAGE, needed=True),
            Field("verdict", "Its standing", hint=ITS_PAGE, needed=True),
            Field("upto", "Read up to line", "line", "The last line that was read for it.", needed=True),
            Field("limits", "What may be done with it", "area", "One limit a line."),
            Field("remark", "Anything to add"),
        ),
        care="You answer for this lot with your name. What is not proven leaves only as raw material, with "
        "its limits printed; what has failed does not leave.",
        group="lots",
    ),
    Form(
        "recall",
        "recalled",
        "Call a lot back",
        "Call it back",
        (
            LOT,
            Field("reason", "Why", "area", needed=True),
            Field("told", "Customers told so far", hint="Names with commas."),
        ),
        care="Tell every buyer the lot’s page lists, and the authority where the local rules ask it.",
        group="lots",
    ),
    Form(
        "product",
        "product",
        "Product",
        "Keep the product",
        (
            Field("product", "Name on the list", needed=True),
            Field("material", "It is", "choice", choices=MATERIALS, preset="compost"),
            Field("price", "Price", hint=PRICE),
            Field("bag", "One bag holds", "number", units=("L", "kg", "ft3", "lb", "bu", "gal", "yd3")),
            Field("moisture", "A price by weight is for moisture", "number", units=PERCENT),
            Field("words", "What to say of it", "area"),
            Field("ended", "It is not sold any more", "tick"),
        ),
        group="sales",
    ),
    Form(
        "customer",
        "customer",
        "Customer",
        "Keep the customer",
        (
            Field("customer", "Name", needed=True),
            Field("address", "Address", "area"),
            Field("contact", "How to reach them"),
            Field("use", "What they do with it"),
            Field("ended", "They buy no more", "tick"),
        ),
        group="sales",
    ),
    Form(
        "order",
        "ordered",
        "Order",
        "Keep the order",
        (
            Field("order", "Order number", needed=True),
            CUSTOMER,
            Field("product", "Product", "known", needed=True, known="products"),
            Field("amount", "How much", "number", needed=True, units=(*SOLIDS, "bag")),
            Field("wanted", "Wanted by", "day"),
            Field("promised", "Promised for", "day"),
            Field("price", "Price, if not the list’s", hint=PRICE),
            Field("called_off", "The order no longer stands", "tick"),
        ),
        group="sales",
    ),
    Form(
        "out",
        "load out",
        "Load out",
        "Keep the load",
        (
            Field("ticket", "Ticket number", needed=True),
            LOT,
            Field("amount", "How much", "number", "Or all of it, below.", units=SOLIDS),
            Field("all", "All that lies there, unweighed: the amount is what the book has", "tick"),
            CUSTOMER,
            Field("product", "Product", "known", known="products"),
            Field("order", "Order", "known", known="orders"),
            Field("bags", "Bags", "whole", "Leave empty for loose material."),
            Field("moisture", "Moisture", "number", units=PERCENT),
            Field("vehicle", "Truck or trailer"),
            Field("price", "Price, if not the list’s", hint=PRICE),
            Field("unreleased", "Why it left although the lot was not released", hint="Only if it was not."),
        ),
        care=DUST,
        group="sales",
    ),
    Form(
        "back",
        "load back",
        "Load back",
        "Keep it",
        (
            Field("ticket", "Ticket it left with", "known", needed=True, known="tickets"),
            Field("amount", "How much came back", "number", needed=True, units=SOLIDS),
            Field("reason", "Why"),
        ),
        group="sales",
    ),
    Form(
        "bags",
        "bagged",
        "Fill bags",
        "Keep the bags",
        (
            LOT,
            Field("product", "Product", "known", needed=True, known="products"),
            Field("bags", "Bags", "whole", needed=True),
            Field("amount", "What they took", "number", units=SOLIDS),
        ),
        care=DUST,
        group="sales",
    ),
    Form(
        "invoice",
        "invoiced",
        "Invoice",
        "Keep the invoice",
        (
            Field("invoice", "Invoice number", needed=True),
            Field(
                "customer", "Customer", "known", "Left empty, the one its tickets went to.", known="customers"
            ),
            Field("tickets", "Tickets on it", hint="Numbers with commas.", needed=True),
            Field("due", "To be paid by", "day"),
            Field("remark", "Anything to add"),
        ),
        group="sales",
    ),
    Form(
        "cost",
        "spent",
        "Cost",
        "Keep the cost",
        (
            Field("cost", "Kind of cost", "choice", choices=COSTS, preset="machine"),
            Field(
                "amount",
                "How much was used",
                "number",
                units=(
                    "h",
                    "L",
                    "gal",
                    "m3",
                    "acre-in",
                    "t",
                    "ton",
                    "km",
                    "kWh",
                    "sample",
                    "ha",
                    "acre",
                    "day",
                ),
            ),
            Field("money", "Or the money", hint="For example 95.50 EUR."),
            Field("row", "Row", "row", "A row, a lot, or the whole yard."),
            Field("lot", "Lot", "known", known="lots"),
            Field("what", "Which machine or lab"),
            Field("task", "Task", hint="Turning, screening, loading."),
        ),
        group="sales",
    ),
    Form(
        "rate",
        "rate",
        "Rate of a cost",
        "Keep the rate",
        (
            Field("cost", "Kind of cost", "choice", choices=COSTS, preset="machine"),
            Field("rate", "What one comes to", hint="For example 85 EUR/h.", needed=True),
            Field("what", "Of which machine or lab", hint="Leave empty for any."),
        ),
        group="sales",
    ),
)

"""The entry forms: for each kind of thing that happens, what is asked and in which words."""

from collections.abc import Mapping
from dataclasses import dataclass

from turnrow.web.asks import LENGTHS, ROW, SOLIDS, Field, Form
from turnrow.web.evidence_forms import EVIDENCE
from turnrow.web.goods_forms import GOODS
from turnrow.web.quality_forms import ASKED

PARTS = 8  # materials asked for when a row is built


TEMPERATURES = ("C", "F")
VOLUMES = ("L", "m3", "gal", "imp gal", "acre-in")
HELD = ("", "m", "ft", "kg/m3", "lb/yd3", "lb/ft3")  # of what is measured; the first: its own
QUANTITIES = (
    ("squeeze", "Squeeze, 1 dust to 5 drips"),
    ("moisture", "Moisture, %"),
    ("bulk density", "Bulk density"),
    ("oxygen", "Oxygen, %"),
    ("length", "Length"),
    ("height", "Height"),
    ("width", "Width"),
    ("C:N", "C:N ratio"),
    ("carbon dioxide", "Carbon dioxide, %"),
    ("pH", "pH"),
)
PROCESSES = (
    ("turned", "turned"),
    ("static", "static, not turned"),
    ("slow", "slow heap, unturned for a year"),
    ("worm", "worm bed"),
)

DANGERS = (
    ("", "as the words say"),
    ("fire", "smoke or fire"),
    ("injury", "somebody hurt"),
    ("spill", "spill or runoff"),
    ("none", "none of these"),
)

FORMS: dict[str, Form] = {
    form.slug: form
    for form in (
        *GOODS,
        ASKED,
        *EVIDENCE,
        Form(
            "turn",
            "turned",
            "Turn",
            "Keep the turn",
            (
                ROW,
                Field("passes", "Passes", "whole", "How often the machine went through.", True, preset="1"),
                Field("machine", "Machine"),
                Field("water", "Water given in the same pass", "number", units=VOLUMES),
            ),
            care="Steam, dust and spores come out of an opened row: stay upwind, cab closed or mask on, "
            "nobody on foot near the machine. A row that smells of burning or reads over the fire limits "
            "stays closed.",
        ),
        Form(
            "water",
            "watered",
            "Water",
            "Keep the watering",
            (ROW, Field("water", "Water", "number", needed=True, units=VOLUMES)),
        ),
        Form(
            "measure",
            "measured",
            "Measure",
            "Keep the measurement",
            (
                ROW,
                Field("quantity", "What was measured", "choice", needed=True, choices=QUANTITIES),
                Field("amount", "How much", "number", needed=True, units=HELD),
                Field("station", "Station"),
                Field("how", "How it was measured", hint="Oven, kit, lab, by hand."),
            ),
        ),
        Form(
            "note",
            "note",
            "Note",
            "Keep the note",
            (
                Field("text", "What was seen", "area", needed=True),
                Field("row", "Row", "row", "Leave empty when it concerns the whole yard."),
                Field("photo", "Photograph", "photo", "JPEG, PNG or WebP, up to 8 MB."),
            ),
        ),
        Form(
            "build",
            "row built",
            "Build a row",
            "Keep the row",
            (
                Field("row", "Name of the row", needed=True),
                Field(
                    "parts",
                    "What it is made of",
                    "parts",
                    "Wet, as laid. Choose the load, so that a recall finds it; no amount takes all that is "
                    "left of it.",
                ),
                Field("length", "Length", "number", units=LENGTHS),
                Field("width", "Width", "number", units=LENGTHS),
                Field("height", "Height", "number", units=LENGTHS),
                Field(
                    "volume",
                    "Volume",
                    "number",
                    "Left empty, it follows from the section.",
                    units=("m3", "yd3", "ft3"),
                ),
                Field("stations", "Stations", hint="Names along the row, with commas: 1, 2, 3, 4."),
                Field("strip", "Strip", hint="The ground it stands on."),
                Field("process", "How it is kept", "choice", choices=PROCESSES, preset="turned"),
            ),
            group="yard",
        ),
        Form(
            "load",
            "load in",
            "Load in",
            "Keep the load",
            (
                Field("load", "Load", hint="Ticket number or a name of your own.", needed=True),
                Field("material", "Material", needed=True),
                Field("amount", "How much", "number", needed=True, units=SOLIDS),
                Field(
                    "how",
                    "How that is known",
                    "choice",
                    choices=(("weighed", "weighed"), ("counted", "counted"), ("judged", "judged by eye")),
                    preset="judged",
                ),
                Field("came_from", "Came from"),
                Field("refused", "Sent away because", hint="Leave empty when the load was taken."),
            ),
            group="yard",
        ),
        Form(
            "curing",
            "moved to curing",
            "Move to curing",
            "Keep the move",
            (ROW, Field("place", "Where it went")),
            care="Clean the loader first if it handled raw material: what touches proven compost must "
            "be clean.",
        ),
        Form(
            "merge",
            "merged",
            "Merge rows",
            "Keep the merge",
            (
                Field("row", "Row they were pushed into", "row", needed=True),
                Field("sources", "Rows that were pushed in", "rows", needed=True),
            ),
            care="Raw material pushed into a proven row makes the whole row raw again.",
        ),
        Form(
            "cover",
            "covered",
            "Cover",
            "Keep it",
            (ROW, Field("cover", "With what"), Field("taken_off", "The cover was taken off", "tick")),
        ),
        Form(
            "weather",
            "weather",
            "Weather",
            "Keep the weather",
            (
                Field("air", "Air", "number", units=TEMPERATURES),
                Field("rain", "Rain since last time", "number", units=("mm", "in")),
                Field("wind", "Wind", "number", units=("m/s", "km/h", "mph")),
                Field("wind_from", "Wind from", hint="SW, north, the road."),
            ),
            group="yard",
        ),
        Form(
            "complaint",
            "complaint",
            "Complaint",
            "Keep the complaint",
            (
                Field("nature", "What was complained of", "area", needed=True),
                Field("by", "By whom", hint="As they wish to be named."),
                Field("wind", "Wind at the time"),
                Field("done", "What was done", "area"),
            ),
            group="yard",
        ),
        Form(
            "incident",
            "incident",
            "Incident",
            "Keep the incident",
            (
                Field("what", "What happened", "area", needed=True),
                Field(
                    "danger", "Danger", "choice", "Left empty, it is read from the words.", choices=DANGERS
                ),
                Field("row", "Row", "row"),
                Field("done", "What was done", "area"),
            ),
            care="People first. Fire, smoke or a smell of burning: call the fire service, keep everyone "
            "upwind, do not open the row. Write it down afterwards.",
        ),
        Form(
            "probe",
            "probe checked",
            "Probe check",
            "Keep the check",
            (
                Field("probe", "Probe", needed=True),
                Field("bath", "The bath", "number", "Ice water is 0 °C.", True, TEMPERATURES),
                Field("read", "What the probe said", "number", needed=True, units=TEMPERATURES),
            ),
            group="yard",
        ),
        Form(
            "review",
            "reviewed",
            "Sign a row’s lines",
            "Sign",
            (ROW, Field("upto", "Read up to line", "line", needed=True)),
        ),
        Form(
            "strike",
            "struck",
            "Strike a line",
            "Strike it",
            (
                Field("line", "Line", "line", needed=True),
                Field("reason", "Why", "area", "Anyone who reads the diary will see it.", True),
            ),
            group="yard",
        ),
        Form(
            "yard",
            "yard laid out",
            "Lay the yard out",
            "Keep the yard",
            (
                Field("name", "Name of the yard", needed=True),
                Field(
                    "zone",
                    "Time zone",
                    hint="The calendar its days are counted on, such as Europe/Dublin.",
                    needed=True,
                ),
                Field("place", "Where it lies"),
            ),
            group="yard",
        ),
    )
}


def composed(form: Form, given: Mapping[str, str]) -> dict[str, str]:
    """The gate's fields from the form's inputs: a number and its unit are one text, "500 L"."""
    return _composed(form.fields, given)


def _composed(asked: tuple[Field, ...], given: Mapping[str, str]) -> dict[str, str]:
    fields: dict[str, str] = {}
    for field in asked:
        text = given.get(field.name, "").strip()
        if field.shape == "number":
            text = f"{text} {given.get(field.name + '_unit', '')}".strip() if text else ""
        elif field.shape == "parts":
            text = "; ".join(_parts(given))
        elif field.shape == "tick":
            text = "yes" if text else ""
        elif field.shape == "photo":
            continue
        if text:
            fields[field.name] = text
    return fields


def _parts(given: Mapping[str, str]) -> list[str]:
    parts = []
    for place in range(1, PARTS + 1):
        material = given.get(f"material_{place}", "").strip()
        much = given.get(f"part_{place}", "").strip()
        source = given.get(f"source_{place}", "").strip()
        if material or much or source:
            part = f"{material}: {much} {given.get(f'part_{place}_unit', '')}".strip()
            parts.append(f"{part}: {source}" if source else part)
    return parts


@dataclass(frozen=True)
class Answer:
    """How a job of the day is answered: a form elsewhere, or fields beside it; no words: nothing to do."""

    words: str = "Done"
    leads_to: str = ""
    fields: tuple[Field, ...] = ()


_TURN = Answer(fields=FORMS["turn"].fields[1:])
ANSWERS: dict[str, Answer] = {
    "turn": _TURN,
    "cool": _TURN,
    "wait": _TURN,
    "water": Answer(fields=FORMS["water"].fields[1:]),
    "probe": Answer("Write the round", "round"),
    "cure": Answer(fields=FORMS["curing"].fields[1:]),
    "check probe": Answer(fields=FORMS["probe"].fields),
    "alarm": Answer(
        "It is over", fields=(Field("words", "Who said so, and what was found", "area", needed=True),)
    ),
    "answer": Answer("Answered", fields=(Field("words", "What was done", "area", needed=True),)),
    "leave": Answer(""),
    "hold water": Answer(""),
}


def job_answer(job: str) -> Answer:
    return ANSWERS.get(job, Answer())


def composed_job(job: str, given: Mapping[str, str]) -> dict[str, str]:
    """The fields of the entry a job stands for, from the inputs beside it."""
    return _composed(job_answer(job).fields, given)

"""Entries an inspector asks for beside heat and figures: certified, trained, cleaned, bought in, spread."""

from datetime import date

from turnrow.yard.kind import Amount, Kind


class Certified(Kind, frozen=True, tag="certified"):
    """A named person signs a statement about a lot; `words` are those that were signed."""

    lot: str
    name: str  # in full; it stands on the papers
    words: str
    clause: str = ""


class Certificate(Kind, frozen=True, tag="certificate"):
    """What a seller of compost vouches for: of one load, or of all of a material from one supplier."""

    words: str  # the process it vouches for, and how it was kept clean since
    issuer: str
    load: str = ""
    material: str = ""
    number: str = ""
    issued: date | None = None
    until: date | None = None


class Trained(Kind, frozen=True, tag="trained"):
    """Somebody was trained. `short` is what stands under "who" in the diary."""

    name: str
    subject: str
    short: str = ""
    by: str = ""
    until: date | None = None


class Cleaned(Kind, frozen=True, tag="cleaned"):
    """A machine, tool or place was cleaned, as between raw material and finished compost."""

    what: str
    how: str
    after: str = ""  # what it had touched
    before: str = ""  # what it is to touch next


class Spread(Kind, frozen=True, tag="spread"):
    """A lot, or one load of it, put on a field: the days that a raw material's waiting time is counted by."""

    lot: str
    field: str
    amount: Amount | None = None
    ticket: str = ""
    worked_in: date | None = None
    crop: str = ""
    harvest: date | None = None  # planned or done
    touches_soil: bool = True  # what is eaten touches soil or its splash


Evidence = Certified | Certificate | Trained | Cleaned | Spread

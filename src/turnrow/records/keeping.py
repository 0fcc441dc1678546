"""How long a record is to be kept, by whose law; and what is said with every paper."""

from msgspec import Struct


class Keeping(Struct, frozen=True):
    """A duty to keep records: rules whose id begins so, the years, the text, and how it is known."""

    begins: str
    years: int
    where: str
    known: str


# READ or MEMORY as it was when this table was made; a law's own text decides.
DUTIES = (
    Keeping("US-503", 5, "40 CFR 503.17(a)", "READ"),
    Keeping("US-NOP", 5, "7 CFR 205.103", "READ"),
    Keeping("US-FSMA", 2, "21 CFR 112.164", "MEMORY"),
    Keeping("US-CA", 5, "14 CCR 17869", "READ"),
    Keeping("EU-CMC3", 5, "Regulation (EU) 2019/1009, Annex IV", "MEMORY"),
    Keeping("DE-BIOABFV", 10, "BioAbfV 4(9), results of the laboratory; 3 years for heat and turns", "READ"),
    Keeping("FR-", 10, "arrêté on composting, art. 30", "READ"),
)
OWN_YEARS = 10  # the longest of those above; nothing is ever deleted

CAUTION = (
    "This paper shows what the diary holds and what the rule named above makes of it. It is no permit and "
    "no release: whether the material may be used or sold is for the person and the authority the law names. "
    "A hot row gives off steam, gases and spores, can burn inside and can slide; turning machines kill. "
    "Keep to the local code, to the machine's own instructions and to the advice of licensed people."
)
DAY_CAUTION = (
    "Hot rows give off steam, gases and spores and can burn inside. Stand upwind, wear what the yard's "
    "safety plan asks for, keep clear of a turning machine, never open a smouldering row alone: people "
    "off, fire service first. The local code and the machine's own instructions come before this sheet."
)


def keeping_words(rule_id: str, last_year: int) -> str:
    """Until when at least, and by which text: one sentence or two."""
    duty = next((d for d in DUTIES if rule_id.startswith(d.begins)), None)
    until = last_year + OWN_YEARS
    own = f"Kept for {OWN_YEARS} years at least by the yard's own rule, that is through {until}."
    if duty is None:
        return f"{own} How long the law asks for is not in the handbook for this rule."
    said = f"{duty.where} asks for {duty.years} years"
    return f"{own} {said}{' (from memory, not read)' if duty.known == 'MEMORY' else ''}."

"""How long a record is to be kept, by whose law; and what is said with every paper."""

from turnrow.handbook.keeping import duty_of, own_years

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
    duty, years = duty_of(rule_id), own_years()
    own = f"Kept for {years} years at least by the yard's own rule, that is through {last_year + years}."
    if duty is None:
        return f"{own} How long the law asks for is not in the handbook for this rule."
    said = f"{duty.text} asks for {duty.years} years"
    return f"{own} {said}{' (from memory, not read)' if duty.known == 'MEMORY' else ''}."

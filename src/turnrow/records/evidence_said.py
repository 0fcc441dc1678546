"""What a line about certification, certificates, training, cleaning or spreading says, in a phrase."""

from turnrow.records.marks import amount_words
from turnrow.yard import evidence


def saying(what: evidence.Evidence) -> str:
    if isinstance(what, evidence.Certified):
        return f"lot {what.lot} certified by {what.name}" + (f" ({what.clause})" if what.clause else "")
    if isinstance(what, evidence.Certificate):
        of = f"load {what.load}" if what.load else what.material
        number = f" {what.number}" if what.number else ""
        until = f", until {what.until.isoformat()}" if what.until else ""
        return f"certificate{number} of {what.issuer} for {of}{until}: {what.words}"
    if isinstance(what, evidence.Trained):
        short = f" ({what.short})" if what.short else ""
        by = f" by {what.by}" if what.by else ""
        until = f", until {what.until.isoformat()}" if what.until else ""
        return f"{what.name}{short} trained in {what.subject}{by}{until}"
    if isinstance(what, evidence.Cleaned):
        after = f" after {what.after}" if what.after else ""
        before = f", before {what.before}" if what.before else ""
        return f"{what.what} cleaned{after}{before}: {what.how}"
    return _spread(what)


def _spread(what: evidence.Spread) -> str:
    size = f", {amount_words(what.amount)}" if what.amount else ""
    ticket = f" (ticket {what.ticket})" if what.ticket else ""
    worked = f", worked in {what.worked_in.isoformat()}" if what.worked_in else ""
    crop = f", then {what.crop}" if what.crop else ""
    harvest = f", harvest {what.harvest.isoformat()}" if what.harvest else ""
    return f"lot {what.lot}{ticket} spread on {what.field}{size}{worked}{crop}{harvest}"

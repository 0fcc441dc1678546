"""Tables of what the yard says of itself, of orders and papers, and of every reading of a logger."""

from collections.abc import Iterator
from datetime import datetime

from turnrow.records.table import LOT, MOIST, ROW, A, Cell, T, Table, W, Y, one_row
from turnrow.yard import entries, goods
from turnrow.yard.diary import Diary
from turnrow.yard.entries import Amount
from turnrow.yard.temperature import UNITS


def _logged(what: entries.LoggerBlock, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    """Each reading of a logger's file, as typed, by the yard's clock."""
    found = diary.block(what)
    columns = (found.at, found.timed, found.station, found.depth, found.value, found.unit)
    for at, timed, station, deep, value, unit in zip(*(one.tolist() for one in columns), strict=True):
        moment = datetime.fromtimestamp(at, diary.zone)
        when = moment.isoformat() if timed else moment.date().isoformat()
        depth = None if deep < 0 else deep
        yield what.row, when, found.stations[station], depth, Amount(value, UNITS[unit]), what.probe


def _advised(what: entries.SheetIssued, diary: Diary) -> Iterator[tuple[Cell, ...]]:
    for one in what.advice or (None,):
        job: tuple[Cell, ...] = (None,) * 8
        if one is not None:
            because = "; ".join(map(str, one.because))
            job = (one.key, one.row, one.job, one.text, one.why, because, one.urgent, one.rule)
        yield what.day.isoformat(), what.upto, what.edition, *job


MORE: tuple[Table, ...] = (
    Table("logger_readings", "Every reading of a logger's files", entries.LoggerBlock, (
        ROW, ("at", T, "when it was read, ISO 8601 on the yard's clock; a date where no time is known"),
        ("station", T, "the place along the row"), ("depth_mm", W, "along the probe; empty: not said"),
        ("value", A, "temperature as logged"), ("probe", T, "which probe"),
    ), _logged),
    Table("logger_files", "Files of loggers", entries.LoggerBlock, (
        ROW, ("blob", T, "SHA-256 of the packed readings"), ("count", W, "readings in it"),
        ("first", T, "the first reading"), ("last", T, "the last"), ("file", T, "its name"),
        ("file_hash", T, "SHA-256 of the file"), ("probe", T, "which probe"),
    ), one_row("row", "blob", "count", "first", "last", "file", "file_hash", "probe")),
    Table("rounds", "Rounds over a row's stations", entries.Round, (
        ROW, ("unit", T, "of its readings"), ("skipped", T, "stations planned and not read"),
        ("probe", T, "which probe"), ("confirmed", T, "stations whose surprising number was read again"),
    ), one_row("row", "unit", "skipped", "probe", "confirmed")),
    Table("lots_made", "Lots, a line a row", goods.LotMade, (
        LOT, ("amount", A, "once made"), MOIST, ("material", T, "what it is"), ("place", T, "where it lies"),
    ), one_row("lot", "amount", "moisture", "material", "place")),
    Table("screenings", "Screenings, a line a row", goods.Screened, (
        ("fines", T, "lot of what passed"), ("fines_amount", A, "of it"), ("fines_moisture", A, "of it"),
        ("overs", T, "lot of what did not"), ("overs_amount", A, "of it"), ("overs_moisture", A, "of it"),
        ("opening", A, "of the sieve"),
    ), one_row("fines", "fines_amount", "fines_moisture", "overs", "overs_amount", "overs_moisture",
               "opening")),
    Table("lab_sheets", "Lab sheets, a line a row", goods.LabResult, (
        ("sample", T, "its label"), LOT, ROW, ("load", T, "of a load"), ("material", T, "or material"),
        ("sampled", T, "the day it was taken"), ("lab", T, "which lab"), ("report", T, "its number"),
        ("accredited", T, "by whom"), ("file", T, "its name"), ("blob", T, "SHA-256 of the sheet"),
    ), one_row("sample", "lot", "row", "load", "material", "sampled", "lab", "report", "accredited", "file",
               "blob")),
    Table("growth_tests_done", "Growth tests, a line a row", goods.GrowthTest, (
        ("sample", T, "its label"), LOT, ROW, ("plant", T, "what was sown"), ("sampled", T, "the day"),
        ("abnormal", W, "plants not as they should be; empty: not counted"), ("mix", T, "what pots held"),
        ("control", T, "what pots without compost held"), ("leaves", T, "as they were seen"),
    ), one_row("sample", "lot", "row", "plant", "sampled", "abnormal", "mix", "control", "leaves")),
    Table("yard", "The yard as it was set up", entries.YardLaidOut, (
        ("name", T, "the yard's name"), ("zone", T, "IANA zone its days are counted on"),
        ("place", T, "where it is"), ("invented", Y, "demonstration data"),
    ), one_row("name", "zone", "place", "invented")),
    Table("merged", "Rows merged", entries.Merged, (
        ROW, ("sources", T, "rows pushed into it"),
    ), one_row("row", "sources")),
    Table("curing", "Rows moved to curing", entries.MovedToCuring, (
        ROW, ("place", T, "where to"),
    ), one_row("row", "place")),
    Table("covers", "Covers put on and taken off", entries.Covered, (
        ROW, ("cover", T, "what with"), ("taken_off", Y, "taken off, not put on"),
    ), one_row("row", "cover", "taken_off")),
    Table("notes", "Notes", entries.Note, (
        ("text", T, "as written"), ROW, ("photo", T, "SHA-256 of the picture"),
        ("photo_kind", T, "its media type"), ("photo_taken", T, "by the camera's clock, without a zone"),
    ), one_row("text", "row", "photo", "photo_kind", "photo_taken")),
    Table("day_sheets", "Day sheets as issued, a job a row", entries.SheetIssued, (
        ("day", T, "the day it is for"), ("upto", W, "the last line it had read"),
        ("edition", T, "of the handbook"), ("key", T, "of the job; empty: a sheet without jobs"), ROW,
        ("job", T, "its kind"), ("text", T, "what was said"), ("why", T, "its reason"),
        ("because", T, "lines it rests on"), ("urgent", Y, "to be done first"), ("rule", T, "its rule"),
    ), _advised),
    Table("jobs_done", "Jobs ticked or put off", entries.JobDone, (
        ("key", T, "of the job"), ("sheet", W, "line of its day sheet; 0: none"), ("done", Y, "no: put off"),
        ("reason", T, "why not"), ("entries", T, "ids of entries written with it"),
    ), one_row("key", "sheet", "done", "reason", "entries")),
    Table("rules_chosen", "Rules chosen", entries.RuleChosen, (
        ("rule", T, "its id"), ("row", T, "for one row; empty: for the yard"),
        ("policies", T, "how its text is read where it leaves that open"), ("facts", T, "as typed"),
    ), one_row("rule", "row", "policies", "facts")),
    Table("settings_chosen", "The yard's own settings", entries.SettingChosen, (
        ("name", T, "of the setting"), ("amount", A, "its value"), ("reason", T, "why"),
    ), one_row("name", "amount", "reason")),
    Table("probe_checks", "Probes checked in a bath", entries.ProbeChecked, (
        ("probe", T, "which"), ("bath", A, "temperature of the bath"), ("read", A, "what it read there"),
    ), one_row("probe", "bath", "read")),
    Table("reviews", "Lines of a row read and signed for", entries.Reviewed, (
        ROW, ("upto", W, "the last line read"),
    ), one_row("row", "upto")),
    Table("struck", "Lines struck", entries.Struck, (
        ("struck_line", W, "the line withdrawn"), ("reason", T, "why"),
    ), one_row("line", "reason")),
    Table("rows_split", "Parts of rows moved apart", goods.RowSplit, (
        ROW, ("new", T, "the new row"), ("amount", A, "moved"), ("length", A, "of the part"),
    ), one_row("row", "new", "amount", "length")),
    Table("samples", "Samples taken", goods.Sampled, (
        ("sample", T, "its label"), ROW, LOT, ("increments", W, "put together"), ("mass", A, "of the sample"),
        ("container", T, "what it is in"), ("cooled", Y, "on its way"), ("sent_to", T, "which lab"),
        ("plan", T, "the sampling plan it answers"),
    ), one_row("sample", "row", "lot", "increments", "mass", "container", "cooled", "sent_to", "plan")),
    Table("quality_asked", "What is asked of a lot before it may leave", goods.QualityAsked, (
        ("limits", T, "limit sets"), ("maturity", T, "scheme and class"), ("plan", T, "of sampling"),
        ("edge", T, "class taken on an edge of two"), ("reason", T, "why"),
        ("part_503", T, "what is asked under 40 CFR 503"),
    ), one_row("limits", "maturity", "plan", "edge", "reason", "part_503")),
    Table("products", "The price list", goods.ProductNamed, (
        ("product", T, "its name"), ("material", T, "what it is"), ("price", A, "for one unit"),
        ("bag", A, "what one bag holds"), MOIST, ("words", T, "on the list"), ("ended", Y, "no longer sold"),
    ), one_row("product", "material", "price", "bag", "moisture", "words", "ended")),
    Table("customers", "Customers", goods.CustomerNamed, (
        ("customer", T, "the name"), ("address", T, "where"), ("contact", T, "how to reach them"),
        ("use", T, "what they do with it"), ("ended", Y, "no longer a customer"),
    ), one_row("customer", "address", "contact", "use", "ended")),
    Table("orders", "Orders", goods.Ordered, (
        ("order", T, "its name"), ("customer", T, "who"), ("product", T, "of what"), ("amount", A, "ordered"),
        ("wanted", T, "the day it is wanted"), ("promised", T, "the day it is promised"),
        ("price", A, "where it is not the list's"), ("called_off", Y, "called off"),
    ), one_row("order", "customer", "product", "amount", "wanted", "promised", "price", "called_off")),
    Table("bagged", "Bags filled", goods.Bagged, (
        LOT, ("product", T, "as what"), ("bags", W, "how many"), ("amount", A, "in them together"),
    ), one_row("lot", "product", "bags", "amount")),
    Table("invoices", "Invoices", goods.Invoiced, (
        ("invoice", T, "its number"), ("customer", T, "who pays"), ("tickets", T, "on it"),
        ("due", T, "the day to pay by"), ("remark", T, "on it"),
    ), one_row("invoice", "customer", "tickets", "due", "remark")),
    Table("rates", "Rates of costs", goods.RateSet, (
        ("cost", T, "its kind"), ("rate", A, "of one unit"), ("what", T, "which machine"),
    ), one_row("cost", "rate", "what")),
)  # fmt: skip

"""From loads to lots: `chain` on a plain file, `recall` on a yard."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnrow.cli import desk_file, speak
from turnrow.cli.desk_file import Example, Found
from turnrow.cli.speak import Json, Yard
from turnrow.cli.yard_book import desk_of

if TYPE_CHECKING:
    from turnrow.lots.recall import Kin, Recall

EXAMPLE = """\
# An invented row from its loads to the screen. Run it: turnrow chain THIS.toml
reference_moisture_pct = 40     # moisture at which masses are compared and sold
water_m3 = 4                    # given when the row was laid; or water_l, water_gal, water_ac_in

[[load]]
name = "cow manure, barn 2"
t = 62                          # or kg, short_ton, long_ton, lb; or a volume with its density
moisture_pct = 76               # of wet mass
ash_pct_dry = 18                # ash, p, k, fe and n may be left out; they check the weights
p_pct_dry = 0.7
n_pct_dry = 2.3

[[load]]
name = "chopped straw"
m3 = 150                        # or yd3, ft3, bu, gal, l
bulk_density_kg_m3 = 110        # or bulk_density_lb_yd3, bulk_density_lb_ft3
moisture_pct = 14
ash_pct_dry = 8
p_pct_dry = 0.1
n_pct_dry = 0.6

[[stage]]
name = "turned"
t = 38                          # weighed; or dm_loss_pct; or ash_pct_dry alone
moisture_pct = 55
ash_pct_dry = 22
p_pct_dry = 0.71
n_pct_dry = 2.0

[[stage]]
name = "cured"
dm_loss_pct = 8                 # of what there was before
moisture_pct = 42

[screen]
fines_pct = 80                  # of the wet mass; or fines_t and overs_t, in any unit of mass
bulk_density_kg_m3 = 600        # of the fines
"""


def register(app: typer.Typer) -> None:
    """Add this family's commands to `app`."""
    app.command("chain")(chain)
    app.command("recall")(recall)


def chain(
    file: Annotated[str, typer.Argument(help="TOML: loads, stages, screen; --example shows one.")] = "",
    example: Example = False,
    as_json: Json = False,
) -> None:
    """A row's mass from its loads to fines and overs, with what does not close."""
    desk_file.answer(lambda: _found(file), _people, as_json, EXAMPLE if example else "")


def _found(file: str) -> Found:
    from turnrow.foreman.chains import answered, tolerance
    from turnrow.gate.chain_file import read_chain

    return answered(read_chain(*desk_file.opened(file), tolerance().load_most))


def recall(
    name: Annotated[
        str, typer.Argument(help='"lot 26-04", "load L3", "ticket T9", "customer Ann", "line 17".')
    ],
    yard: Yard = "",
    as_json: Json = False,
) -> None:
    """From a complaint, ticket, lot or load: what is in it, and everybody who has some of the same."""
    from datetime import UTC, datetime

    from turnrow.cli.stands import failed_json, say_failed, say_unproven, unproven_json

    with speak.answering(as_json), desk_of(yard) as desk:
        from turnrow.foreman.lots import proof_beside, recalled
        from turnrow.records.verdict import beside_words

        found = recalled(desk, name)
        besides = [beside_words(proof_beside(desk, one)) for one in found]
        named = {lot for one in found for lot in one.lots}
        stands = desk.stands(datetime.now(UTC))
        failed = [one for one in stands.failed if one[0] in named]
        doubts = [one for one in stands.unproven if one.lot in named]
        if as_json:
            speak.answer(
                {
                    "recalls": [
                        _recall_json(one) | {"beside": list(said)}
                        for one, said in zip(found, besides, strict=True)
                    ],
                    "call_back": [failed_json(*one) for one in failed],
                    "not_proven_now": [unproven_json(one) for one in doubts],
                }
            )
            return
        for one, beside in zip(found, besides, strict=True):
            _recall_people(one)
            for said in beside:
                speak.say(said)
        say_failed(failed)
        say_unproven(doubts)


def _people(found: Found) -> None:
    rows = [
        (
            one["name"],
            f"{one['t']:g}",
            f"{one['dry_t']:g}",
            f"{one['moisture_pct']:g}",
            f"{one['dm_loss_in_all_pct']:g}",
        )
        for one in found["steps"]
    ]
    speak.table(("", "t", "dry t", "moisture %", "dry matter lost %"), rows)
    speak.say(
        f"into the air: {found['sky_t']['dry']:g} t of dry matter, {found['sky_t']['water']:g} t of water"
    )
    for name, one in found["losses"].items():
        if one["dm_loss_by_ash_pct"] is not None:
            weights, ash = one["dm_loss_by_weight_pct"], one["dm_loss_by_ash_pct"]
            speak.say(f"{name}: {weights:g} % lost by weight, {ash:g} % by ash")
    for key in ("fines", "overs"):
        if key in found:
            part = found[key]
            volume = "" if part["m3"] is None else f", {part['m3']:g} m3 ({part['yd3']:g} yd3)"
            at = f"{part['t_at_reference']:g} t at {found['reference_moisture_pct']:g} % moisture"
            speak.say(f"{key}: {part['t']:g} t{volume}; {at}")
    speak.say("It closes." if found["closes"] else "What does not close:")
    for said in found["unclosed"]:
        speak.say(f"  {said}")


def _recall_json(found: "Recall") -> dict[str, Any]:
    return {
        "asked": {"kind": found.asked.kind, "name": found.asked.name},
        **{key: [_kin_json(one) for one in getattr(found, key)] for key in ("back", "forward", "sharing")},
        "loads": [one.account.name for one in found.loads],
        "customers": list(found.customers),
        "gaps": [{"said": said, "line": line} for said, line in found.gaps],
    }


def _kin_json(one: "Kin") -> dict[str, Any]:
    return {
        "kind": one.account.kind,
        "name": one.account.name,
        "share_pct": None if one.share is None else float(f"{100 * one.share:.4g}"),
        "t": None if one.wet is None else float(f"{one.wet:.6g}"),
        "customer": one.customer,
        "lot": one.lot,
        "line": one.line,
    }


def _recall_people(found: "Recall") -> None:
    speak.say(f"{found.asked.titled()}")
    for words, kin in (
        ("what is in it", found.back),
        ("what holds some of it", found.forward),
        ("what shares some of its loads", found.sharing),
    ):
        if kin:
            speak.say()
            speak.table((words, "share %", "customer", "line"), [_kin_row(one) for one in kin])
    speak.say()
    who = "Other customers to ask" if found.asked.kind == "ticket" else "Customers to ask"
    speak.say(f"{who}: {', '.join(found.customers) or 'none'}.")
    if found.gaps:
        speak.say("Gaps in the record, where this may miss something:")
    for said, line in found.gaps:
        speak.say(f"  {said} (line {line})")


def _kin_row(one: "Kin") -> tuple[str, ...]:
    share = "not known" if one.share is None else f"{100 * one.share:.3g}"
    return one.account.said(), share, one.customer, str(one.line)

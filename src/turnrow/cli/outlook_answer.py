"""The answer of `turnrow outlook`: one JSON object, or a table for people."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

import turnrow
from turnrow.api import compiled
from turnrow.cli import speak
from turnrow.cli.outlook_input import Asked, Taken
from turnrow.cli.outlook_model import Spoken, spoken
from turnrow.gate.heap_described import Described
from turnrow.heap.bare.backtest import Score, scores
from turnrow.heap.bare.outlook import LEAST_SCORED, Outlook, outlooks
from turnrow.heap.bare.turns_seen import MATCH_H, UNLOGGED, turns_known
from turnrow.sanitation.suspects import find
from turnrow.yard import days

METHOD = "statistical: the log's own readings and turns, nothing else of the heap"
MODEL = (
    "the heap's model fitted to its readings, the log's statistics, or both, whichever scored better so far"
)
STALE_H = 48.0
CAUTION = (
    "A forecast is no reading. Before anybody acts on a hot heap, probe it; hot heaps can burn: "
    "the local fire code and fire service come first."
)


def answer_of(taken: Taken, asked: Asked, air_known: bool) -> dict[str, Any]:
    """The whole answer, in the unit asked."""
    log = taken.log if asked.step_h is not None or air_known else taken.log.until(taken.origins[0])
    made = outlooks(log, taken.origins, asked.horizons, air_known=air_known)
    said, told = None, list[str]()
    if taken.described is not None:
        said, told = _modelled(taken, taken.described, asked, air_known)
        made = [replace(one, sample=other.sample) for one, other in zip(made, said, strict=True)]
    suspect = _suspect(taken, taken.looked)
    answer: dict[str, Any] = {
        "forecasts": [_forecast(one, taken, asked) for one in made],
        "suspect": suspect,
        "unit": asked.unit,
        "method": METHOD if said is None else MODEL,
        "notices": [
            *taken.notices,
            *_not_told(told, suspect),
            *_remarks(made, taken, asked, modelled=said is not None),
        ],
    }
    for one, other in zip(answer["forecasts"], said or (), strict=False):
        one |= {"used": other.used, "why": other.why, "shown": "outlook"}
    if asked.step_h is not None:
        answer["scores"] = [_score(one, asked) for one in scores(log, made)]
    return answer


def _modelled(
    taken: Taken, described: Described, asked: Asked, air_known: bool
) -> tuple[list[Spoken], list[str]]:
    """What the heap's model says; where its equations must first be compiled, that is told."""
    made: list[tuple[list[Spoken], list[str]]] = []

    def first() -> None:
        made.append(spoken(taken, described, asked.horizons, air_known=air_known))

    compiled.ready(first, Path(turnrow.__file__).parent / "heap")
    return made[0]


def _not_told(notices: list[str], suspect: list[dict[str, str]]) -> list[str]:
    """The model's notices without those of unlogged turns, where `suspect` has as many."""
    twice = [note for note in notices if UNLOGGED in note]
    told = sum(UNLOGGED in one["reason"] for one in suspect)
    return [note for note in notices if note not in twice] if len(twice) <= told else notices


def _forecast(one: Outlook, taken: Taken, asked: Asked) -> dict[str, Any]:
    found: dict[str, Any] = {
        "origin": _when(one.hour, taken),
        "horizon_h": int(one.ahead) if one.ahead == int(one.ahead) else one.ahead,
        "mean": _in(one.mean, asked.unit),
        "p10": _in(one.percentile(10), asked.unit),
        "p50": _in(one.percentile(50), asked.unit),
        "p90": _in(one.percentile(90), asked.unit),
        "as_now": _in(one.as_now, asked.unit),
        "reading_age_h": round(one.age, 2),
        "shown": one.shown,
        "skill_so_far": None if one.skill is None else round(one.skill, 3),
        "scored_so_far": one.scored,
        "guesses": {name: round(share, 3) for name, share in one.shares},
    }
    if asked.step_h is not None:
        came, _ = taken.log.came(np.array([one.hour + one.ahead]))
        found["came"] = None if np.isnan(came[0]) else _in(float(came[0]), asked.unit)
    return found


def _score(one: Score, asked: Asked) -> dict[str, Any]:
    size = 1.8 if asked.unit == "F" else 1.0
    return {
        "horizon_h": int(one.ahead) if one.ahead == int(one.ahead) else one.ahead,
        "origins": one.origins,
        "mae": round(one.mae * size, 3),
        "mae_as_now": round(one.mae_as_now * size, 3),
        "skill": round(one.skill, 4) if np.isfinite(one.skill) else None,
        "crps": round(one.crps * size, 3),
        "crps_skill": round(one.crps_skill, 4) if np.isfinite(one.crps_skill) else None,
        "coverage_80": round(one.coverage, 4),
        "width_80": round(one.width * size, 3),
    }


def _remarks(made: list[Outlook], taken: Taken, asked: Asked, *, modelled: bool) -> list[str]:
    found = []
    last = made[-1]
    if asked.step_h is None:
        if not asked.at and last.age > 0:
            found.append(f"the newest readings are set aside; the last that counts is {last.age:.0f} h old.")
        elif last.age > STALE_H:
            found.append(f"the newest reading is {last.age:.0f} h old; the intervals are wider for it.")
        plain = [f"{one.ahead:g} h" for one in made if one.shown == "as now"]
        if plain:
            found.append(f'no skill so far at {", ".join(plain)}: the plain "as now" is shown there.')
        if all(one.skill is None for one in made):
            found.append(_unscored(last, taken))
    if not len(taken.log.air) and not modelled:
        found.append("no outside temperature given; a mild day is assumed.")
    odd = int(np.count_nonzero(taken.turned > taken.start + max(taken.origins) * days.HOUR_S))
    if odd and asked.step_h is None:
        found.append(f"{odd} turn{'s' if odd > 1 else ''} after the origin: not used.")
    return found


def _unscored(last: Outlook, taken: Taken) -> str:
    """Why no skill can be told."""
    if last.scored >= LEAST_SCORED:
        return '"as now" never missed in this log: no skill can be told, and the intervals are wide.'
    if taken.log.until(last.hour).still.any():
        return "readings that do not change are not scored: beliefs alone, and wide intervals."
    return "too little of this log is scored yet: beliefs alone, and wide intervals."


def _suspect(taken: Taken, until: float) -> list[dict[str, str]]:
    """What may not be the heap's, up to an hour: of the log's own screening, and of the desk's checks."""
    known = taken.log.until(until)
    found = [(one.hour, one.column, one.reason) for one in known.doubts]
    _, odd = turns_known(known.turned, known.drops, until)
    found += [(hour, "events", reason) for hour, reason in odd]
    told = {hour for hour, column, _ in found if column == "value"}
    falls = [hour for hour, reason in odd if UNLOGGED in reason]
    read = taken.series.pick(taken.series.at <= taken.start + round(until * days.HOUR_S))
    for one in find(read, turns=taken.turned.tolist()):
        hour = (int(read.at[one.first]) - taken.start) / days.HOUR_S
        turned = one.check == "jump" and any(-MATCH_H <= fall - hour <= MATCH_H for fall in falls)
        if hour not in told and one.check != "frozen" and not turned:
            found.append((hour, "value", one.sentence))
    return [
        {"at": _when(hour, taken), "column": column, "reason": reason}
        for hour, column, reason in sorted(found)
    ]


def _when(hour: float, taken: Taken) -> str:
    moment = days.moment(round(taken.start + hour * days.HOUR_S), taken.zone)
    if not taken.zoned:
        moment = moment.replace(tzinfo=None)
    return moment.isoformat(timespec="seconds" if moment.second else "minutes")


def _in(temp_c: float, unit: str) -> float:
    value = {"C": temp_c, "F": temp_c * 1.8 + 32, "K": temp_c + 273.15}[unit]
    return round(value, 2)


def people(answer: dict[str, Any]) -> None:
    """The answer as tables."""
    unit = answer["unit"] if answer["unit"] == "K" else f"°{answer['unit']}"
    if "scores" in answer:
        speak.say(
            f"{len({one['origin'] for one in answer['forecasts']})} origins, each knowing only its past."
        )
        heads = ("hours ahead", "scored", "mean miss", '"as now" misses', "better by", "CRPS", "80 % held")
        speak.table(
            heads,
            [
                (
                    one["horizon_h"],
                    one["origins"],
                    one["mae"],
                    one["mae_as_now"],
                    "-" if one["skill"] is None else f"{one['skill']:.0%}",
                    one["crps"],
                    f"{one['coverage_80']:.0%}",
                )
                for one in answer["scores"]
            ],
        )
    else:
        speak.say(
            f"From {answer['forecasts'][0]['origin']}, in {unit}; 80 % of outcomes lie from p10 to p90."
        )
        rows = []
        for one in answer["forecasts"]:
            skill = "-" if one["skill_so_far"] is None else f"{one['skill_so_far']:.0%}"
            rows.append(
                (one["horizon_h"], one["p10"], one["p50"], one["p90"], one["as_now"], skill, one["shown"])
            )
        speak.table(("hours ahead", "p10", "p50", "p90", "as now", "better so far by", "shown"), rows)
    if "used" in answer["forecasts"][-1]:
        speak.say(f"{answer['forecasts'][-1]['used']}: {answer['forecasts'][-1]['why']}.")
    for one in answer["suspect"][:10]:
        speak.say(f"suspect  {one['at']}, {one['column']}: {one['reason']}")
    if len(answer["suspect"]) > 10:
        speak.say(f"suspect  and {len(answer['suspect']) - 10} more; --json lists them all.")
    speak.say(CAUTION)

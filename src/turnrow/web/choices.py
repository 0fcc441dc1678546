"""Settings: the handbook's values with their sources, the yard's own, and the rule it works to."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.responses import Response

from turnrow.foreman.desk import Desk
from turnrow.handbook.rules import Rule
from turnrow.handbook.settings import Setting
from turnrow.web.asking import asked_of, keeper_of
from turnrow.web.enter import beside, kept, open_rows, write
from turnrow.web.given import Given, given_of, new_id
from turnrow.web.links import row_url
from turnrow.web.render import page
from turnrow.yard.entries import RuleChosen, SettingChosen
from turnrow.yard.wrongs import NotStored, Refusal, Refused

router = APIRouter(include_in_schema=False)
Sent = Annotated[Given, Depends(given_of)]
NONE: tuple[Refusal, ...] = ()


@router.get("/settings")
def settings(request: Request) -> Response:
    """Every setting with its default, its source and the yard's own value; the rule in force."""
    with keeper_of(request).desk() as desk:
        own = {what.name: (event.line, what) for event, what in desk.diary.own_events(SettingChosen)}
        yard = desk.diary.own_events(RuleChosen)
        return page(
            asked_of(request, desk),
            "settings.html",
            settings=desk.handbook.settings.values(),
            sources=desk.handbook.sources,
            own=own,
            edition=desk.handbook.edition,
            yard_rule=yard[-1] if yard else None,
            rule=desk.handbook.rules.get(yard[-1][1].rule) if yard else None,
            rows=[(name, desk.rule_for(name)[0]) for name in open_rows(desk)],
        )


@router.get("/settings/rule")
def rule_form(request: Request, rule: str = "", row: str = "") -> Response:
    """Which rule, then how its open points are read."""
    with keeper_of(request).desk() as desk:
        return _rule_form(request, desk, {"rule": rule, "row": row}, NONE)


@router.post("/settings/rule")
def choose_rule(request: Request, given: Sent) -> Response:
    """The rule for the yard or a row, as a line of the diary."""
    with keeper_of(request).desk() as desk:
        fields = {name: given.get(name) for name in ("rule", "row") if given.get(name)}
        points = {name: text for name, text in given.fields.items() if name.startswith(("policy.", "fact."))}
        fields.update({name: text for name, text in points.items() if text.strip()})
        try:
            receipt = write(request, desk, "rule chosen", fields, given)
        except NotStored:
            raise
        except Refused as wrong:
            return _rule_form(request, desk, given.fields, wrong.refusals)
    row = given.get("row")
    return kept(receipt, given, row_url(row) if row else "/settings")


@router.get("/settings/{name}")
def setting_form(request: Request, name: str) -> Response:
    """The form of one setting."""
    with keeper_of(request).desk() as desk:
        return _setting_form(request, desk, _setting(desk, name), {}, NONE)


@router.post("/settings/{name}")
def choose_setting(request: Request, name: str, given: Sent) -> Response:
    """The yard's own value, as a line of the diary."""
    with keeper_of(request).desk() as desk:
        setting = _setting(desk, name)
        typed = given.get("amount")
        fields = {
            "name": name,
            "amount": f"{typed} {setting.amount.unit}" if typed else "",
            "reason": given.get("reason"),
        }
        try:
            receipt = write(request, desk, "setting chosen", fields, given)
        except NotStored:
            raise
        except Refused as wrong:
            return _setting_form(request, desk, setting, given.fields, wrong.refusals)
    return kept(receipt, given, "/settings")


def _setting(desk: Desk, name: str) -> Setting:
    if name not in desk.handbook.settings:
        raise HTTPException(404, "The handbook has no such setting.")
    return desk.handbook.settings[name]


def _setting_form(
    request: Request, desk: Desk, setting: Setting, given: Mapping[str, str], wrong: tuple[Refusal, ...]
) -> Response:
    return page(
        asked_of(request, desk),
        "setting.html",
        422 if wrong else 200,
        setting=setting,
        source=desk.handbook.sources.get(setting.source),
        now=desk.settings()[setting.name],
        given=given,
        wrong=wrong,
        beside=beside(wrong, ("amount", "reason", "who", "happened")),
        id=given.get("id") or new_id(),
    )


def _rule_form(
    request: Request, desk: Desk, given: Mapping[str, str], wrong: tuple[Refusal, ...]
) -> Response:
    rule: Rule | None = desk.handbook.rules.get(given.get("rule", ""))
    return page(
        asked_of(request, desk),
        "rule.html",
        422 if wrong else 200,
        rules=sorted(desk.handbook.rules.values(), key=lambda one: (one.jurisdiction, one.id)),
        rule=rule,
        row=given.get("row", ""),
        rows=open_rows(desk),
        sources=[desk.handbook.sources[key] for key in rule.sources] if rule else [],
        given=given,
        wrong=wrong,
        beside=beside(wrong, ("who", "happened")),
        id=given.get("id") or new_id(),
    )

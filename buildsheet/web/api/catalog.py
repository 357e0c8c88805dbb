"""The catalog's desk: editions, the draft, publishing."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import wraps
from typing import Any, Final, ParamSpec

from flask import Blueprint, Response, abort, request

from buildsheet.actions.answers import API
from buildsheet.actions.desk import approve as approving
from buildsheet.actions.desk import draft as drafts
from buildsheet.actions.desk import publish as publishing
from buildsheet.actions.desk.documents import (
    draft_document,
    editions_document,
    published_document,
)
from buildsheet.actions.desk.papers import list_editions, show_edition
from buildsheet.actions.desk.people import NoName
from buildsheet.actions.desk.standing import as_finding
from buildsheet.actions.plan_record import compact
from buildsheet.catalog.amending.edits import (
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
    read_edits,
)
from buildsheet.web.access.who import person_here
from buildsheet.web.api.bodies import json_answer
from buildsheet.web.api.model_bodies import BadBody, body_as, version_brought
from buildsheet.web.openapi.catalog_shapes import (
    BY,
    CODE,
    HOUSE_KEY,
    RULE_ID,
    ApproveAgainBody,
    BeginBody,
    ChangesBody,
    HouseBody,
    PartBody,
    PublishBody,
    RuleBody,
)
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

P = ParamSpec("P")

NUMBER: Final = re.compile(r"[1-9][0-9]{0,5}")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/editions")(editions)
    blueprint.get("/catalog/editions/<number>")(edition)
    blueprint.post("/catalog/editions/<number>/roll-back")(_desk(roll_back))
    blueprint.post("/catalog/editions/<number>/approve")(_desk(approve_roll_back))
    blueprint.get("/catalog/draft")(_desk(draft))
    blueprint.post("/catalog/draft")(_desk(begin))
    blueprint.delete("/catalog/draft")(_desk(discard))
    blueprint.post("/catalog/draft/changes")(_desk(changes))
    blueprint.post("/catalog/draft/carry-over")(_desk(carry_over))
    blueprint.post("/catalog/draft/publish")(_desk(publish))
    blueprint.post("/catalog/draft/approve")(_desk(approve_draft))
    blueprint.put("/catalog/draft/parts/<code>")(_desk(put_part))
    blueprint.delete("/catalog/draft/parts/<code>")(_desk(drop_part))
    blueprint.put("/catalog/draft/rules/<rule_id>")(_desk(put_rule))
    blueprint.delete("/catalog/draft/rules/<rule_id>")(_desk(drop_rule))
    blueprint.put("/catalog/draft/house/<key>")(_desk(put_house))


def _desk(route: Callable[P, Response]) -> Callable[P, Response]:
    """What can be in the way of every edit, as its problem."""

    @wraps(route)
    def answered(*given: P.args, **named: P.kwargs) -> Response:
        try:
            return route(*given, **named)
        except BadBody as bad:
            return problem("bad-request", str(bad), bad.findings)
        except NoName as missing:
            return problem("bad-request", f"{str(missing).capitalize()}.")
        except drafts.NoDraft:
            return problem("no-draft")
        except drafts.DraftOpen as there:
            return problem("draft-open", f"{str(there).capitalize()}.")
        except drafts.StaleDraft as stale:
            finding = as_finding(stale)
            return problem("draft-stale", finding.says, (finding,))
        except drafts.EditRefused as refused:
            return problem("edit-refused", "", refused.findings)

    return answered


def editions() -> Response:
    """Every edition with its paper."""
    return json_answer(compact(editions_document(list_editions(workshop_here()))))


def edition(number: str) -> Response:
    """One edition and its differences."""
    view = show_edition(workshop_here(), _number(number))
    if view is None:
        abort(404)
    return json_answer(compact(view.as_json()))


def roll_back(number: str) -> Response:
    """An older edition, taken up again."""
    signed, asked = body_as(PublishBody), _number(number)
    try:
        done = publishing.roll_back(workshop_here(), asked, **_signed(signed))
    except KeyError:
        abort(404)
    return _done(done)


def draft() -> Response:
    """The draft as it stands."""
    found = drafts.the_draft(workshop_here())
    if found is None:
        raise drafts.NoDraft
    return _draft(found)


def begin() -> Response:
    """A new draft."""
    return _draft(drafts.begin(workshop_here(), body_as(BeginBody).by), 201)


def discard() -> Response:
    """No draft any more."""
    by, version = _by(), version_brought()
    closed = drafts.discard(workshop_here(), version=version, by=by)
    return json_answer(compact(closed.as_json()))


def carry_over() -> Response:
    """The draft, put on the newest edition."""
    version, body = version_brought(), body_as(BeginBody)
    return _draft(drafts.carry_over(workshop_here(), version=version, by=body.by))


def changes() -> Response:
    """The draft after a list of edits."""
    version, body = version_brought(), body_as(ChangesBody)
    edits, findings = read_edits(body.edits)
    if findings:
        raise drafts.EditRefused(findings)
    changed = drafts.change(workshop_here(), edits, version=version, by=body.by)
    if changed.draft is None:
        raise drafts.EditRefused(changed.findings)
    return _draft(changed.draft)


def put_part(code: str) -> Response:
    """The draft with this part."""
    _must_be(CODE, code)
    version, body = version_brought(), body_as(PartBody)
    return _one(PutPart(code, body.kind, body.values, whole=True), version, body.by)


def drop_part(code: str) -> Response:
    """The draft without this part."""
    _must_be(CODE, code)
    by, version = _by(), version_brought()
    return _one(DropPart(code), version, by)


def put_rule(rule_id: str) -> Response:
    """The draft with this rule."""
    _must_be(RULE_ID, rule_id)
    version, body = version_brought(), body_as(RuleBody)
    edit = PutRule(rule_id, body.values, whole=True, subject=body.subject)
    return _one(edit, version, body.by)


def drop_rule(rule_id: str) -> Response:
    """The draft without this rule."""
    _must_be(RULE_ID, rule_id)
    by, version = _by(), version_brought()
    return _one(DropRule(rule_id), version, by)


def put_house(key: str) -> Response:
    """The draft with this house figure."""
    _must_be(HOUSE_KEY, key)
    version, body = version_brought(), body_as(HouseBody)
    return _one(PutHouse(key, body.value), version, body.by)


def publish() -> Response:
    """The draft, published."""
    version, signed = version_brought(), body_as(PublishBody)
    return _done(publishing.publish(workshop_here(), version=version, **_signed(signed)))


def approve_draft() -> Response:
    """The draft's version that was brought back, approved by whoever is signed in."""
    version, _ = version_brought(), body_as(BeginBody)
    return _approved(approving.approve_draft(workshop_here(), person_here(), version=version))


def approve_roll_back(number: str) -> Response:
    """That an older edition is taken up again, approved by whoever is signed in."""
    asked, body = _number(number), body_as(ApproveAgainBody)
    try:
        done = approving.approve_again(workshop_here(), person_here(), asked, newest=body.newest)
    except KeyError:
        abort(404)
    return _approved(done)


def _approved(done: approving.StoredApproval | publishing.Refused) -> Response:
    if isinstance(done, publishing.Refused):
        return problem("edition-refused", done.findings[0].says, done.findings)
    return json_answer(compact({"approved": done.subject, "by": done.by, "at": done.at}))


def _signed(body: PublishBody) -> dict[str, Any]:
    """Who publishes and why; a person who is signed in publishes under no other name."""
    person = person_here()
    own = {"author": person, "proved": True} if person else {}
    return {**body.model_dump(), **own}


def _one(edit: Edit, version: int, by: str) -> Response:
    changed = drafts.change(workshop_here(), (edit,), version=version, by=by)
    if changed.draft is None:
        raise drafts.EditRefused(changed.findings)
    return _draft(changed.draft)


def _draft(found: drafts.Draft, status: int = 200) -> Response:
    response = json_answer(compact(draft_document(workshop_here(), found)), status)
    response.set_etag(str(found.version))
    return response


def _done(done: publishing.Published | publishing.Refused) -> Response:
    if isinstance(done, publishing.Refused):
        blocks = sum(each.blocks for each in done.findings)
        detail = f"{blocks} {'finding stands' if blocks == 1 else 'findings stand'} in the way."
        return problem("edition-refused", detail, done.findings)
    response = json_answer(compact(published_document(done)), 201)
    response.headers["Location"] = f"{API}/catalog/editions/{done.edition.number}"
    return response


def _number(text: str) -> int:
    """The number in an address; ends the request with 404 where it is none."""
    if not NUMBER.fullmatch(text):
        abort(404)
    return int(text)


def _must_be(pattern: str, text: str) -> None:
    """Ends the request with 404 where what stands in the address cannot be the name of anything."""
    if not re.fullmatch(pattern, text):
        abort(404)


def _by() -> str:
    by = request.args.get("by", "")
    if not re.fullmatch(BY, by):
        raise NoName
    return by

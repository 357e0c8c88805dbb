"""One entry for each route of the catalog's desk."""

from __future__ import annotations

from typing import Final

from buildsheet.web.openapi import catalog_shapes as shapes
from buildsheet.web.openapi.route import Route, Schema, in_path

_IF_MATCH: Final[Schema] = {
    "name": "If-Match",
    "in": "header",
    "required": True,
    "description": "The version of the draft that this was made from, in quotes: the ETag of its answer.",
    "schema": {"type": "string", "pattern": '^"[0-9]{1,9}"$'},
}
_BY: Final[Schema] = {
    "name": "by",
    "in": "query",
    "required": True,
    "description": "Who does this.",
    "schema": {"type": "string", "pattern": shapes.BY},
}
_NUMBER: Final[Schema] = {
    "name": "number",
    "in": "path",
    "required": True,
    "description": "The number of an edition.",
    "schema": {"type": "integer", "minimum": 1, "maximum": 999999},
}
_CODE: Final = in_path("code", "The part's code.") | {
    "schema": {"type": "string", "pattern": shapes.CODE}
}
_RULE: Final = in_path("rule_id", "The rule's id.") | {
    "schema": {"type": "string", "pattern": shapes.RULE_ID}
}
_KEY: Final = in_path("key", "The figure's dotted key, such as tension.gauge_error.") | {
    "schema": {"type": "string", "pattern": shapes.HOUSE_KEY}
}
_DRAFT: Final = {200: ("The draft as it stands now.", shapes.DraftAnswer)}
_TAG: Final = {"ETag": "The draft's version."}
_BODY: Final = {
    400: "The body cannot be read, or a header is not in its form.",
    413: "The body is larger than 64 KiB.",
    415: "The body is not sent as application/json.",
}
_EDIT: Final = {
    400: "The If-Match, a parameter or the body cannot be read.",
    404: "No draft is open.",
    412: "The draft has changed since that version; the finding says what.",
    428: "The If-Match is missing: an edit brings back the version it was made from.",
}
_REFUSED: Final = {422: "The edit cannot be made as it is written; the findings say why."}
_UNAPPROVED: Final = {422: "Not approved: nobody is signed in, or it cannot be published as it is."}
_UNPUBLISHED: Final = {422: "It is not published; every reason is a finding."}

ROUTES: tuple[Route, ...] = (
    Route(
        "get",
        "/catalog/editions",
        "listEditions",
        "Every edition with its paper, the newest first",
        {200: ("The editions.", shapes.EditionList)},
    ),
    Route(
        "get",
        "/catalog/editions/{number}",
        "showEdition",
        "One edition, and in what it differs from the one before",
        {200: ("The edition.", shapes.EditionAnswer)},
        {404: "There is no edition of this number."},
        parameters=(_NUMBER,),
    ),
    Route(
        "post",
        "/catalog/editions/{number}/roll-back",
        "rollBack",
        "Publish a new edition that says what this one said",
        {201: ("The new edition.", shapes.EditionAnswer)},
        {**_BODY, **_UNPUBLISHED, 404: "There is no edition of this number."},
        body=shapes.PublishBody,
        parameters=(_NUMBER,),
        headers={201: {"Location": "The new edition."}},
    ),
    Route(
        "get",
        "/catalog/draft",
        "showDraft",
        "The draft of the next edition: what it changes, what is wrong with it, who did what",
        _DRAFT,
        {404: "No draft is open."},
        headers={200: _TAG},
    ),
    Route(
        "post",
        "/catalog/draft",
        "beginDraft",
        "Begin a draft as a copy of the newest edition",
        {201: ("The draft.", shapes.DraftAnswer)},
        {**_BODY, 409: "A draft is open already.", 503: "No catalog edition is loaded."},
        body=shapes.BeginBody,
        headers={201: _TAG},
    ),
    Route(
        "delete",
        "/catalog/draft",
        "discardDraft",
        "Throw the draft away; its history stays",
        {200: ("It is closed: the last line of its history.", shapes.EditShape)},
        _EDIT,
        parameters=(_IF_MATCH, _BY),
    ),
    Route(
        "post",
        "/catalog/draft/changes",
        "changeDraft",
        "Make a list of edits, all or none",
        _DRAFT,
        {**_BODY, **_EDIT, **_REFUSED},
        body=shapes.ChangesBody,
        parameters=(_IF_MATCH,),
        headers={200: _TAG},
    ),
    Route(
        "put",
        "/catalog/draft/parts/{code}",
        "putPart",
        "Write a part, new or in place of the one of this code",
        _DRAFT,
        {**_BODY, **_EDIT, **_REFUSED},
        body=shapes.PartBody,
        parameters=(_CODE, _IF_MATCH),
        headers={200: _TAG},
    ),
    Route(
        "delete",
        "/catalog/draft/parts/{code}",
        "dropPart",
        "Take a part out",
        _DRAFT,
        {**_EDIT, **_REFUSED},
        parameters=(_CODE, _IF_MATCH, _BY),
        headers={200: _TAG},
    ),
    Route(
        "put",
        "/catalog/draft/rules/{rule_id}",
        "putRule",
        "Write a rule, new or in place of the one of this id",
        _DRAFT,
        {**_BODY, **_EDIT, **_REFUSED},
        body=shapes.RuleBody,
        parameters=(_RULE, _IF_MATCH),
        headers={200: _TAG},
    ),
    Route(
        "delete",
        "/catalog/draft/rules/{rule_id}",
        "dropRule",
        "Take a rule out",
        _DRAFT,
        {**_EDIT, **_REFUSED},
        parameters=(_RULE, _IF_MATCH, _BY),
        headers={200: _TAG},
    ),
    Route(
        "put",
        "/catalog/draft/house/{key}",
        "putHouse",
        "Write one house figure",
        _DRAFT,
        {**_BODY, **_EDIT, **_REFUSED},
        body=shapes.HouseBody,
        parameters=(_KEY, _IF_MATCH),
        headers={200: _TAG},
    ),
    Route(
        "post",
        "/catalog/draft/carry-over",
        "carryDraftOver",
        "Put the draft on the newest edition, where another one was published meanwhile",
        _DRAFT,
        {**_BODY, **_EDIT},
        body=shapes.BeginBody,
        parameters=(_IF_MATCH,),
        headers={200: _TAG},
    ),
    Route(
        "post",
        "/catalog/draft/publish",
        "publishDraft",
        "Publish the draft as an edition, whole or not at all",
        {201: ("The new edition.", shapes.EditionAnswer)},
        {**_BODY, **_EDIT, **_UNPUBLISHED},
        body=shapes.PublishBody,
        parameters=(_IF_MATCH,),
        headers={201: {"Location": "The new edition."}},
    ),
    Route(
        "post",
        "/catalog/draft/approve",
        "approveDraft",
        "Approve this version of the draft as the second person, who is signed in",
        {200: ("Approved, now or before.", shapes.ApprovalAnswer)},
        {**_BODY, **_EDIT, **_UNAPPROVED},
        body=shapes.BeginBody,
        parameters=(_IF_MATCH,),
    ),
    Route(
        "post",
        "/catalog/editions/{number}/approve",
        "approveRollBack",
        "Approve as the second person, who is signed in, that an older edition is taken up again",
        {200: ("Approved, now or before.", shapes.ApprovalAnswer)},
        {**_BODY, 404: "There is no edition of this number.", **_UNAPPROVED},
        body=shapes.ApproveAgainBody,
        parameters=(_NUMBER,),
    ),
)

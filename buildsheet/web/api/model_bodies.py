"""A body that is described by a model, and the version that an edit brings back."""

from __future__ import annotations

import json
import re
from math import isfinite
from typing import Final, TypeVar

from flask import request
from pydantic import BaseModel, ValidationError
from werkzeug.exceptions import PreconditionRequired

from buildsheet.catalog.codes import FAULT_CODES, SOURCE
from buildsheet.findings import Finding, pointer
from buildsheet.web.api.bodies import order_body

M = TypeVar("M", bound=BaseModel)

MOST_LEVELS: Final = 12
_VERSION: Final = re.compile(r'"([0-9]{1,9})"')
_CODE: Final = "data.edit-form"


class BadBody(Exception):
    """The body is no JSON, or not what its model describes; ``findings`` point into it."""

    def __init__(self, says: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(says)
        self.findings = findings


def body_as(model: type[M]) -> M:
    """The body as its model. Raises BadBody; ends the request with 415 for another media type."""
    try:
        document = json.loads(
            order_body().decode("utf-8"),
            parse_constant=_no_number,
            parse_float=_finite,
            object_pairs_hook=_once,
        )
    except (ValueError, RecursionError) as trouble:
        raise BadBody(f"The body is no JSON: {str(trouble)[:200]}.") from trouble
    try:
        # JSON can escape half a character; no file can hold it.
        json.dumps(document, ensure_ascii=False).encode("utf-8")
    except (UnicodeEncodeError, RecursionError) as trouble:
        raise BadBody("The body holds half a character, or nests too deep.") from trouble
    if _levels(document) > MOST_LEVELS:
        raise BadBody(f"The body nests deeper than {MOST_LEVELS} levels.")
    try:
        return model.model_validate(document)
    except ValidationError as trouble:
        found = trouble.errors(include_url=False, include_context=False, include_input=False)
        findings = tuple(_finding(each["loc"], each["msg"]) for each in found)
        raise BadBody("The body is not what the description asks for.", findings) from trouble


def version_brought() -> int:
    """The draft's version out of If-Match; ends the request with 428 where it is missing, 400 where it
    is no version."""
    given = request.headers.get("If-Match")
    if given is None:
        raise PreconditionRequired
    found = _VERSION.fullmatch(given.strip())
    if found is None:
        raise BadBody("If-Match is the ETag of the draft, in its double quotes.")
    return int(found[1])


def _finding(keys: tuple[str | int, ...], message: str) -> Finding:
    where = ".".join(map(str, keys)) or "the body"
    return Finding(
        code=_CODE,
        severity="block",
        at=pointer(*keys),
        says=f"{where}: {message}.",
        reason=FAULT_CODES[_CODE].reason,
        source=SOURCE,
    )


def _levels(value: object) -> int:
    deepest, open_ = 0, [(value, 1)]
    while open_:
        each, level = open_.pop()
        deepest = max(deepest, level)
        inner = each.values() if isinstance(each, dict) else each if isinstance(each, list) else ()
        open_ += [(one, level + 1) for one in inner]
    return deepest


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _finite(text: str) -> float:
    """What a double holds; beyond it the parser would make an infinity of it."""
    number = float(text)
    return number if isfinite(number) else _no_number(text[:20])


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    """A name that stands twice has two meanings."""
    members = dict(pairs)
    if len(members) < len(pairs):
        raise ValueError("a member stands twice")
    return members

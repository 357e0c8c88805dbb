"""Whoever is signed in does not act under another name.

Pages put the name in by themselves. This is about documents for the API that a browser sends: a key is a
system, which may tell for whom it acts.
"""

from __future__ import annotations

import json
from typing import Final

from flask import Response, request

from buildsheet.actions.desk.people import is_same_person
from buildsheet.actions.people.visitor import Visitor
from buildsheet.web.limits import BODY_BYTES
from buildsheet.web.problems import refusal

_SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})


def refused_hand(visitor: Visitor) -> Response | None:
    """The refusal of a request whose ``by`` is somebody else than the person who is signed in."""
    if visitor.person_id is None or request.method in _SAFE:
        return None
    if not request.path.startswith("/api/"):
        return None
    named = [request.args.get("by"), _by_of_body()]
    if all(name is None or is_same_person(name, visitor.name) for name in named):
        return None
    return refusal("other-name", f"You are signed in as {visitor.name}.")


def _by_of_body() -> str | None:
    """The ``by`` of a document. A larger body than any with a ``by`` is left to its route, and so is one
    that is no JSON: both are refused there."""
    if not request.content_length or request.content_length > BODY_BYTES:
        return None
    try:
        document = json.loads(request.get_data(cache=True))
    except (ValueError, RecursionError):
        return None
    by = document.get("by") if isinstance(document, dict) else None
    return by if isinstance(by, str) else None

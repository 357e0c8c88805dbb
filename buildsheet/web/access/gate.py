"""Before every request: did it come by a door of ours, is the visitor known, and does the matrix let their
role do this?"""

from __future__ import annotations

from typing import Final
from urllib.parse import quote

from flask import Flask, Request, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.web.access.doors import refused_door
from buildsheet.web.access.hands import refused_hand
from buildsheet.web.access.matrix import ANYONE, MATRIX, may
from buildsheet.web.access.who import (
    is_open,
    known_already,
    may_here,
    open_already,
    visitor_here,
)
from buildsheet.web.addresses import is_for_systems
from buildsheet.web.guards import same_origin
from buildsheet.web.problems import refusal

CHALLENGE: Final = {"WWW-Authenticate": 'Bearer realm="buildsheet"'}
_NO_SUCH_KEY: Final = (
    "The key that was sent opens nothing: look for a slip in it, send it as Authorization: Bearer KEY, "
    "or ask the workshop for another one."
)
_PAGE_ASKED: Final = frozenset({"document", ""})


def guard(app: Flask) -> None:
    """Ask before every request; tell pages who is here."""
    app.before_request(_admit)
    app.context_processor(_for_pages)


def route_of(asked: Request) -> str | None:
    """Method and route as the matrix names them; None where there is no such route."""
    if asked.url_rule is None:
        return None
    method = "GET" if asked.method in ("HEAD", "OPTIONS") else asked.method
    return f"{method} {asked.url_rule.rule}"


def _admit() -> AnyResponse | None:
    """One function for all: the framework asks each of several by itself, which costs every request."""
    asked: Request = request._get_current_object()  # type: ignore[attr-defined]  # noqa: SLF001
    refused = refused_door(asked)
    if refused is not None:
        return refused
    same_origin(asked)
    route = route_of(asked)
    if route is not None and MATRIX.get(route, frozenset()) is ANYONE:
        return None
    if is_open():
        return None
    visitor = visitor_here()
    if visitor is None:
        return _who_are_you()
    # What is nowhere may be said to whoever is known: it is answered as not found.
    if route is None or may(visitor.role, route):
        return refused_hand(visitor)
    says = f"{visitor.name} is here as {visitor.role.value}, who does not do this."
    return refusal("not-allowed", says)


def _who_are_you() -> AnyResponse:
    """A person is led to the page where they sign in; a system, a script or a form is told."""
    wants_page = request.headers.get("Sec-Fetch-Dest", "") in _PAGE_ASKED
    if request.method == "GET" and wants_page and not is_for_systems(request.path):
        back = request.full_path if request.query_string else request.path
        return redirect(f"{url_for('pages.sign_in_form')}?next={quote(back, safe='/')}", 303)
    # Whether the key is unknown or was revoked is not told: that would say which ones there were.
    sent = "Authorization" in request.headers
    return refusal("not-signed-in", _NO_SUCH_KEY if sent else "", headers=CHALLENGE)


def _for_pages() -> dict[str, object]:
    return {"visitor": known_already(), "open_house": open_already(), "may": may_here}

"""The visitor of this request: a person who is signed in, a key, or nobody."""

from __future__ import annotations

from typing import Final, cast

from flask import current_app, g, request

from buildsheet.actions.people.keys import key_holder
from buildsheet.actions.people.signing_in import session_holder
from buildsheet.actions.people.standing import asked_nobody_lately
from buildsheet.actions.people.visitor import Visitor
from buildsheet.web.access.cookie import session_of_request
from buildsheet.web.access.matrix import may
from buildsheet.web.addresses import is_for_systems
from buildsheet.web.workshop_here import workshop_here

_CLOSED: Final = "buildsheet-closed"
_SCHEME: Final = "bearer "
_LONGEST: Final = 200


def is_open() -> bool:
    """Whether this workshop asks nobody. Once it asks, it asks for ever: that is remembered."""
    if current_app.extensions.get(_CLOSED):
        return False
    if "open_house" not in g:
        g.open_house = asked_nobody_lately(workshop_here())
        if not g.open_house:
            current_app.extensions[_CLOSED] = True
    return cast("bool", g.open_house)


def visitor_here() -> Visitor | None:
    """Who asks; None for nobody in particular, and for everybody in a workshop that asks nobody."""
    if "visitor" not in g:
        g.visitor = _look()
    return cast("Visitor | None", g.visitor)


def signed_in() -> str | None:
    """The name of whoever asks, to be kept instead of a typed one; None where nobody is asked."""
    visitor = visitor_here()
    return visitor.name if visitor else None


def person_here() -> str | None:
    """The name of the person who is signed in; None for a key, which stands for a system."""
    visitor = visitor_here()
    return visitor.name if visitor and visitor.person_id is not None else None


def brings_key() -> bool:
    """Whether the request says by itself who it is from, so that no browser can be made to send it."""
    return "Authorization" in request.headers


def known_already() -> Visitor | None:
    """The visitor where somebody looked already: asks the workshop file nothing, so it cannot fail."""
    return cast("Visitor | None", g.get("visitor"))


def open_already() -> bool:
    """Whether it is known of this request that the workshop asks nobody."""
    return bool(g.get("open_house", False))


def may_here(route: str) -> bool:
    """Whether the visitor may ask for this route, such as ``GET /orders``: for links and buttons."""
    visitor = known_already()
    return open_already() or may(visitor.role if visitor else None, route)


def _look() -> Visitor | None:
    if is_open():
        return None
    if brings_key():
        # A key opens the API; pages are for people.
        return _key_holder() if is_for_systems(request.path) else None
    secret = session_of_request()
    return session_holder(workshop_here(), secret) if secret else None


def _key_holder() -> Visitor | None:
    given = request.headers["Authorization"]
    if len(given) > _LONGEST or given[: len(_SCHEME)].lower() != _SCHEME:
        return None
    return key_holder(workshop_here(), given[len(_SCHEME) :].strip())

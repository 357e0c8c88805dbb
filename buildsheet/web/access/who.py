"""The visitor of this request: a person who is signed in, a key, or nobody."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, cast

from flask import current_app, g, request
from flask.ctx import _AppCtxGlobals

from buildsheet.actions.people.keys import key_holder
from buildsheet.actions.people.signing_in import session_holder
from buildsheet.actions.people.standing import asked_nobody_lately
from buildsheet.actions.people.visitor import Visitor
from buildsheet.actions.workshop import Workshop
from buildsheet.web.access.cookie import session_of_request
from buildsheet.web.access.matrix import may
from buildsheet.web.addresses import is_for_systems
from buildsheet.web.workshop_here import workshop_here

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

_CLOSED: Final = "buildsheet-closed"
_OPEN: Final = "open_house"
_VISITOR: Final = "visitor"
_HOLDER: Final = "buildsheet.holder"
_SCHEME: Final = "bearer "
_LONGEST: Final = 200


def is_open() -> bool:
    """Whether this workshop asks nobody. Once it asks, it asks for ever: that is remembered."""
    kept = _kept()
    if _OPEN not in kept:
        setattr(kept, _OPEN, _asks_nobody())
    return cast("bool", kept.get(_OPEN))


def visitor_here() -> Visitor | None:
    """Who asks; None for nobody in particular, and for everybody in a workshop that asks nobody."""
    kept = _kept()
    if _VISITOR not in kept:
        setattr(kept, _VISITOR, _look())
    return cast("Visitor | None", kept.get(_VISITOR))


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
    return cast("Visitor | None", g.get(_VISITOR))


def open_already() -> bool:
    """Whether it is known of this request that the workshop asks nobody."""
    return bool(g.get(_OPEN, False))


def may_here(route: str) -> bool:
    """Whether the visitor may ask for this route, such as ``GET /orders``: for links and buttons."""
    visitor = known_already()
    return open_already() or may(visitor.role if visitor else None, route)


def _kept() -> _AppCtxGlobals:
    """What is kept for the time of this request: found once for several looks, each of which would go
    through the framework's own search for it."""
    return cast("_AppCtxGlobals", g._get_current_object())  # noqa: SLF001


def _asks_nobody() -> bool:
    extensions = current_app.extensions
    if extensions.get(_CLOSED):
        return False
    is_open = asked_nobody_lately(workshop_here())
    if not is_open:
        extensions[_CLOSED] = True
    return is_open


def _look() -> Visitor | None:
    if is_open():
        return None
    if brings_key():
        # A key opens the API; pages are for people.
        return _key_holder() if is_for_systems(request.path) else None
    secret = session_of_request()
    return session_holder(workshop_here(), secret) if secret else None


def brings_known_key(workshop: Workshop, environ: WSGIEnvironment) -> bool:
    """Whether a request brings a key that opens something, for whoever asks before the framework does. Who
    holds it is noted for `visitor_here`, which decides what it opens."""
    given = environ.get("HTTP_AUTHORIZATION")
    holder = _holder_of(workshop, given) if isinstance(given, str) else None
    environ[_HOLDER] = holder
    return holder is not None


def _key_holder() -> Visitor | None:
    noted = request.environ.get(_HOLDER)
    if isinstance(noted, Visitor):
        return noted
    return _holder_of(workshop_here(), request.headers["Authorization"])


def _holder_of(workshop: Workshop, given: str) -> Visitor | None:
    if len(given) > _LONGEST or given[: len(_SCHEME)].lower() != _SCHEME:
        return None
    return key_holder(workshop, given[len(_SCHEME) :].strip())

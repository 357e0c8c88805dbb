"""The session cookie: out of reach of scripts and of other sites' forms; behind a proxy over TLS only."""

from __future__ import annotations

from typing import Final

from flask import Response, current_app, request

from buildsheet.actions.people.signing_in import SESSION
from buildsheet.web.access.doors import doors_of

_PLAIN: Final = "buildsheet_session"
_OVER_TLS: Final = "__Host-buildsheet_session"
"""Browsers take a cookie of this name only over TLS, from this very host."""

_LONGEST: Final = 100


def session_of_request() -> str | None:
    """The session's secret that came with the request."""
    secret = request.cookies.get(_name())
    return secret if secret and len(secret) <= _LONGEST else None


def give(response: Response, secret: str) -> None:
    """Let the browser keep its session."""
    response.set_cookie(
        _name(),
        secret,
        max_age=SESSION,
        secure=_is_over_tls(),
        httponly=True,
        samesite="Lax",
        path="/",
    )


def take_back(response: Response) -> None:
    """Let the browser forget its session."""
    response.delete_cookie(_name(), secure=_is_over_tls(), httponly=True, samesite="Lax", path="/")


def _name() -> str:
    return _OVER_TLS if _is_over_tls() else _PLAIN


def _is_over_tls() -> bool:
    return doors_of(current_app).behind_proxy

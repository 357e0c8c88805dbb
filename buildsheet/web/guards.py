"""What every request passes: a number of its own, headers that close doors, and the origin of a form.

The policy lets a page load nothing but this server's own styles, scripts and pictures; nothing written
into a page is run, and no page needs a script to work.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Final

from flask import Flask, Request, abort, request

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

PAGE_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PICTURE_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"
"""A picture that is opened by itself styles its own strokes; it can do nothing else."""

DOCUMENT_POLICY: Final = "frame-ancestors 'none'"
"""A PDF is shown by the browser's own viewer, which a stricter policy would break."""

HEADERS: Final = {
    "X-Content-Type-Options": "nosniff",
    # A bench code stands in the address: it must not travel to another site.
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
_CONSTANT: Final = [(name.lower(), (name, value)) for name, value in HEADERS.items()]
_POLICIES: Final = {"image/svg+xml": PICTURE_POLICY, "application/pdf": DOCUMENT_POLICY}
_REQUEST_ID: Final = re.compile(r"(?!bk_)[A-Za-z0-9._-]{1,64}")
"""What stands in the log as it was sent; a key of ours put there by mistake does not."""

_SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_NUMBER: Final = "buildsheet.number"
"""Where a request's number stands in its environment."""


def guard(app: Flask) -> None:
    """Put the guards round every request of this application."""
    app.wsgi_app = _passing(app.wsgi_app)  # type: ignore[method-assign,assignment]


def request_id() -> str:
    """The number of this request, the sender's own where it gave a decent one."""
    return number_of(request.environ)


def number_of(environ: WSGIEnvironment) -> str:
    """The same where the framework is not asked."""
    known = environ.get(_NUMBER)
    return known if isinstance(known, str) else "none"


def same_origin(asked: Request) -> None:
    """Refuse a form that another site's page sends in a visitor's name.

    Of the API only what comes with cookies and without a key is meant: a browser on one of our pages.
    Nothing else is sent by a browser without its visitor's doing, and JSON bodies cannot be sent across
    sites without a permission that this server never gives.
    """
    if asked.method in _SAFE:
        return
    sent = asked.environ
    if asked.path.startswith("/api/") and (
        "HTTP_AUTHORIZATION" in sent or "HTTP_COOKIE" not in sent or not asked.cookies
    ):
        return
    site = sent.get("HTTP_SEC_FETCH_SITE")
    if site is not None:
        if site not in {"same-origin", "none"}:
            abort(403)
        return
    origin = sent.get("HTTP_ORIGIN")
    if origin is None or origin.rstrip("/") != asked.host_url.rstrip("/"):
        abort(403)


def _passing(inner: WSGIApplication) -> WSGIApplication:
    """The application with a number for every request, and on every answer that number, `HEADERS`, a
    policy and no-store where it does not say otherwise.

    Outside of the framework, whose headers cost a look at all others for each that is set.
    """

    def passed(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        given = environ.get("HTTP_X_REQUEST_ID", "")
        number = given if _REQUEST_ID.fullmatch(given) else secrets.token_hex(8)
        environ[_NUMBER] = number

        def start(
            status: str, headers: list[tuple[str, str]], *failed: Any
        ) -> Callable[[bytes], object]:
            said = {name.lower(): value for name, value in headers}
            kind = said.get("content-type", "").partition(";")[0]
            headers.append(("X-Request-Id", number))
            headers.extend(each for name, each in _CONSTANT if name not in said)
            if "content-security-policy" not in said:
                headers.append(("Content-Security-Policy", _POLICIES.get(kind, PAGE_POLICY)))
            if "cache-control" not in said:
                headers.append(("Cache-Control", "no-store"))
            return start_response(status, headers, *failed)

        return inner(environ, start)

    return passed

"""What every request passes: a number of its own, headers that close doors, and the origin of a form.

The policy lets a page load nothing but this server's own styles, scripts and pictures; nothing written
into a page is run, and no page needs a script to work.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Final

from flask import Flask, Response, abort, g, request

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


def number_requests(app: Flask) -> None:
    """Give every request its number before anything else is done with it."""
    app.before_request(_number_request)


def guard(app: Flask) -> None:
    """Put the guards before and after every request of this application."""
    app.before_request(_same_origin)
    app.after_request(_name_answer)
    app.wsgi_app = _closing_doors(app.wsgi_app)  # type: ignore[method-assign,assignment]


def request_id() -> str:
    """The number of this request, the sender's own where it gave a decent one."""
    known = g.get("request_id")
    return known if isinstance(known, str) else "none"


def _number_request() -> None:
    given = request.headers.get("X-Request-Id", "")
    g.request_id = given if _REQUEST_ID.fullmatch(given) else secrets.token_hex(8)


def _same_origin() -> None:
    """Refuse a form that another site's page sends in a visitor's name.

    Of the API only what comes with cookies and without a key is meant: a browser on one of our pages.
    Nothing else is sent by a browser without its visitor's doing, and JSON bodies cannot be sent across
    sites without a permission that this server never gives.
    """
    if request.method in _SAFE:
        return
    sent = request.environ
    if request.path.startswith("/api/") and (
        "HTTP_AUTHORIZATION" in sent or "HTTP_COOKIE" not in sent or not request.cookies
    ):
        return
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None:
        if site not in {"same-origin", "none"}:
            abort(403)
        return
    origin = request.headers.get("Origin")
    if origin is None or origin.rstrip("/") != request.host_url.rstrip("/"):
        abort(403)


def _name_answer(response: Response) -> Response:
    response.headers["X-Request-Id"] = request_id()
    return response


def _closing_doors(inner: WSGIApplication) -> WSGIApplication:
    """The application with `HEADERS`, a policy and no-store on every answer that does not say otherwise.

    Outside of the framework, whose headers cost a look at all others for each that is set.
    """

    def closed(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        def start(
            status: str, headers: list[tuple[str, str]], *failed: Any
        ) -> Callable[[bytes], object]:
            said = {name.lower(): value for name, value in headers}
            kind = said.get("content-type", "").partition(";")[0]
            headers.extend(each for name, each in _CONSTANT if name not in said)
            if "content-security-policy" not in said:
                headers.append(("Content-Security-Policy", _POLICIES.get(kind, PAGE_POLICY)))
            if "cache-control" not in said:
                headers.append(("Cache-Control", "no-store"))
            return start_response(status, headers, *failed)

        return inner(environ, start)

    return closed

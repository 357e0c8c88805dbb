"""The body of a request as bytes, and an answer as JSON."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from flask import Request, Response, abort, request
from werkzeug.datastructures import Headers

from buildsheet.web.problems import problem
from buildsheet.web.turns import READ

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

JSON: Final = "application/json"
NO_HEADERS: Final[Mapping[str, str]] = MappingProxyType({})
_KEY: Final = re.compile(r"[\x21-\x7e]{1,200}")
_NO_KEY: Final = (
    "The header Idempotency-Key holds 1 to 200 visible ASCII characters without blanks, such as a UUID. "
    "Send one, or leave the header out: an order is known by its source, number and revision as well."
)


def order_body() -> bytes:
    """The posted bytes. Ends the request with 415 for another media type, 413 beyond the limit."""
    asked: Request = request._get_current_object()  # type: ignore[attr-defined]  # noqa: SLF001
    kind = asked.mimetype
    if kind != JSON and not (kind.startswith("application/") and kind.endswith("+json")):
        abort(415)
    read = asked.environ.get(READ)
    return read if isinstance(read, bytes) else asked.get_data(cache=False)


def idempotency_key() -> str | None:
    """The Idempotency-Key, in quotes or not; ends the request with 400 where it is no key."""
    given = request.headers.get("Idempotency-Key")
    if given is None:
        return None
    key = given.strip().strip('"')
    if not _KEY.fullmatch(key):
        abort(problem("bad-request", _NO_KEY))
    return key


class _Finished(Response):
    """A response with a body and all its headers: nothing is looked through before it is sent."""

    def get_wsgi_headers(self, environ: WSGIEnvironment) -> Headers:  # noqa: ARG002 - the same for all
        """The headers as they were given; paths in them are ASCII, lengths are those of the body."""
        return self.headers


def json_answer(text: str, status: int = 200, headers: Mapping[str, str] = NO_HEADERS) -> Response:
    """JSON text as a response."""
    return _Finished(text, status, headers, content_type=JSON)

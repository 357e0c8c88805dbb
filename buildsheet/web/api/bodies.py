"""The body of a request as bytes, and an answer as JSON."""

from __future__ import annotations

import re
from typing import Final

from flask import Response, abort, request

JSON: Final = "application/json"
_KEY: Final = re.compile(r"[\x21-\x7e]{1,200}")


def order_body() -> bytes:
    """The posted bytes. Ends the request with 415 for another media type, 413 beyond the limit."""
    kind = request.mimetype
    if kind != JSON and not (kind.startswith("application/") and kind.endswith("+json")):
        abort(415)
    return request.get_data(cache=False)


def idempotency_key() -> str | None:
    """The Idempotency-Key, in quotes or not; ends the request with 400 where it is no key."""
    given = request.headers.get("Idempotency-Key")
    if given is None:
        return None
    key = given.strip().strip('"')
    if not _KEY.fullmatch(key):
        abort(400)
    return key


def json_answer(text: str, status: int = 200) -> Response:
    """JSON text as a response."""
    return Response(text, status=status, mimetype=JSON)

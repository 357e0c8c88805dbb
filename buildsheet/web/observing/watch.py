"""After every request: it is counted, and said in one line of the log.

A line has the route as the program writes it and never the address that was asked for: a bench code
stands in some, and anything at all in one that is nowhere.
"""

from __future__ import annotations

import logging
import os
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from json.encoder import encode_basestring_ascii as quoted
from time import perf_counter
from typing import TYPE_CHECKING, Any, Final

from flask import Flask, Request, Response, g, request

from buildsheet.actions.people.visitor import Visitor
from buildsheet.web.guards import number_of, request_id
from buildsheet.web.observing import lines
from buildsheet.web.observing.counted import METHODS, NOWHERE, OTHER, put_counted

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIEnvironment

LEVEL_VARIABLE: Final = "BUILDSHEET_LOG_LEVEL"

QUIET: Final = frozenset(
    {"/healthz", "/api/v1/healthz", "/metrics", "/static/<path:filename>", "/favicon.ico"}
)
"""Routes that are asked all day: a line only at level debug, unless they are refused."""

_BEGAN: Final = "buildsheet.began"
_NUMBERS: Final = {
    "order_id": ("order", re.compile(r"A[0-9]{2}-[0-9]{5}-[A-Z]")),
    "serial": ("wheel", re.compile(r"W[0-9]{2}-[0-9]{5}-[A-Z]")),
}
"""Places of a route whose value may be told, where it has the very form of a number of ours."""

log = logging.getLogger("buildsheet.web")

Put = Callable[[str], None]
Who = Callable[[], Visitor | None]


@dataclass(frozen=True, slots=True)
class RequestLog:
    """Lines of at least this level (as in `logging`) are put; ``put`` gets each without its end."""

    level: int
    put: Put = lines.put


def log_from_environment() -> RequestLog:
    """As ``serve`` handed it to its workers; requests that were answered well or refused are ``info``."""
    return RequestLog(lines.LEVELS.get(os.environ.get(LEVEL_VARIABLE, "info"), logging.INFO))


def observe(app: Flask, who: Who, said: RequestLog | None) -> None:
    """Count every request of this application, and say it; ``who`` tells the visitor if one is known.

    To be called before anything else is hung on the application: what is first there, answers last.
    """
    counted = put_counted(app)
    inner = app.wsgi_app

    def timed(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        environ[_BEGAN] = perf_counter()
        try:
            return inner(environ, start_response)
        except Exception as error:  # noqa: BLE001 - answered, and said with its place
            return _last_word(error, environ, start_response)

    def answered(response: Response) -> Response:
        asked: Request = request._get_current_object()  # type: ignore[attr-defined]  # noqa: SLF001
        took_s = perf_counter() - asked.environ[_BEGAN]
        route = asked.url_rule.rule if asked.url_rule is not None else NOWHERE
        method = asked.method if asked.method in METHODS else OTHER
        status = response.status_code
        counted.request(route, method, status, took_s)
        if said is not None:
            level = _level(route, status)
            if level >= said.level:
                number = number_of(asked.environ)
                line = _line(level, number, method, route, status, took_s, who(), asked.view_args)
                said.put(line)
        return response

    app.wsgi_app = timed  # type: ignore[method-assign]
    # The framework's own words for such a fault have the address in them.
    app.log_exception = _unanswered  # type: ignore[method-assign]
    app.after_request(answered)


def _unanswered(exc_info: Any) -> None:
    """Log a fault that came while an answer, or a refusal, was made."""
    which = {"request": request_id(), "route": str(request.url_rule)}
    log.error("a fault while an answer was made", exc_info=exc_info, extra=which)


def _level(route: str, status: int) -> int:
    if status >= 500:
        return logging.ERROR
    return logging.DEBUG if status < 400 and route in QUIET else logging.INFO


def _line(
    level: int,
    number: str,
    method: str,
    route: str,
    status: int,
    took_s: float,
    visitor: Visitor | None,
    places: dict[str, Any] | None,
) -> str:
    """The line, put together by hand: it stands on the way of every order."""
    members = [
        f'{{"time":"{lines.now_text()}","level":"{_level_name(level)}"',
        f'"request":{quoted(number)}',
        _asked(method, route, status),
        f'"duration_ms":{took_s * 1000.0:.2f}',
    ]
    if visitor is not None:
        members.append(f'"role":"{visitor.role}","who":{quoted(visitor.name[:100])}')
    if status >= 400 and (kind := g.get("problem")) is not None:
        members.append(f'"problem":"{kind}"')
    for place, value in (places or {}).items():
        name, form = _NUMBERS.get(place, ("", None))
        if form is not None and isinstance(value, str) and form.fullmatch(value):
            members.append(f'"{name}":"{value}"')
    return ",".join(members) + "}"


@lru_cache(maxsize=1024)
def _asked(method: str, route: str, status: int) -> str:
    return f'"method":"{method}","route":{quoted(route)},"status":{status}'


@lru_cache(maxsize=16)
def _level_name(level: int) -> str:
    return logging.getLevelName(level).lower()


def _last_word(
    error: Exception, environ: WSGIEnvironment, start_response: StartResponse
) -> Iterable[bytes]:
    """The answer where even the refusal of a fault failed: the same document, without its page."""
    number = number_of(environ)
    log.error("a fault while a fault was answered", exc_info=error, extra={"request": number})
    body = (
        '{"type":"/problems#fault","title":"The program has a fault","status":500,"detail":"Nothing was '
        f'stored. Report the number of the request.","request":"{number}","findings":[]}}'
    ).encode()
    headers = [
        ("Content-Type", "application/problem+json"),
        ("Content-Length", str(len(body))),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
    ]
    start_response("500 Internal Server Error", headers)
    return [b"" if environ.get("REQUEST_METHOD") == "HEAD" else body]

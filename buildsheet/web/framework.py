"""The framework without what it does for every request and this service never needs."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any, Final

from flask import Flask, Request
from werkzeug.routing import Map, MapAdapter

NAMES_KEPT: Final = 64
"""By so many names a service is called at most: its own, those of a proxy, numbers of its machine."""


class App(Flask):
    """Flask; no function here is a coroutine, and no route hangs on the name that was called."""

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """The function itself."""
        return func

    def create_url_adapter(self, request: Request | None) -> MapAdapter | None:
        """What finds the route of a request. What follows from the name that was called is found once for
        each name; a name that is none raises as the framework does."""
        if request is None or "HTTP_UPGRADE" in request.environ:
            return super().create_url_adapter(request)
        environ = request.environ
        called = _called(
            self.url_map,
            environ.get("HTTP_HOST"),
            environ["SERVER_NAME"],
            environ["SERVER_PORT"],
            environ["wsgi.url_scheme"],
            environ.get("SCRIPT_NAME", ""),
        )
        return MapAdapter(
            called.map,
            called.server_name,
            called.script_name,
            called.subdomain,
            called.url_scheme,
            _as_utf8(environ.get("PATH_INFO", "")),
            environ["REQUEST_METHOD"],
            _as_utf8(environ.get("QUERY_STRING", "")),
        )


@lru_cache(maxsize=NAMES_KEPT)
def _called(
    routes: Map, host: str | None, server: str, port: str, scheme: str, script: str
) -> MapAdapter:
    """The adapter for the root of a service that is called like this."""
    environ = {
        "SERVER_NAME": server,
        "SERVER_PORT": port,
        "SCRIPT_NAME": script,
        "PATH_INFO": "/",
        "QUERY_STRING": "",
        "REQUEST_METHOD": "GET",
        "wsgi.url_scheme": scheme,
    }
    if host is not None:
        environ["HTTP_HOST"] = host
    return routes.bind_to_environ(environ, subdomain=routes.default_subdomain)


def _as_utf8(text: str) -> str:
    """What a server gave as the characters of single bytes [PEP 3333], read as UTF-8."""
    return text if text.isascii() else text.encode("latin-1").decode("utf-8", "replace")

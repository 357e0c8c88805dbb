"""By which names this service is called, and whether a proxy with TLS stands before it.

A name that is not this service's own would be the sign of a page elsewhere that had its name point here.
Numeric addresses cannot be pointed anywhere: without a proxy they are taken as they are.
"""

from __future__ import annotations

import ipaddress
import os
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, cast

from flask import Flask, Request, Response, current_app
from werkzeug.middleware.proxy_fix import ProxyFix

from buildsheet.web.problems import problem, refusal

HOSTS_VARIABLE: Final = "BUILDSHEET_HOSTS"
PROXY_VARIABLE: Final = "BUILDSHEET_BEHIND_PROXY"
_NAME: Final = "buildsheet-doors"
_HOST: Final = re.compile(
    r"(\[(?P<number>[0-9A-Fa-f:.]{2,45})\]|(?P<name>[A-Za-z0-9.-]{1,253}))(:[0-9]{1,5})?"
)
_FROM_HERE: Final = frozenset({"/healthz", "/api/v1/healthz", "/metrics"})
"""What is asked of the service's own port, from its own machine: nothing travels."""


@dataclass(frozen=True, slots=True)
class Doors:
    """``hosts`` are names besides ``localhost``; ``behind_proxy`` trusts what one proxy before this
    service says about the visitor's address and TLS."""

    hosts: frozenset[str] = frozenset()
    behind_proxy: bool = False


def doors_from_environment() -> Doors:
    """As ``serve`` handed them to its workers."""
    names = os.environ.get(HOSTS_VARIABLE, "").split(",")
    hosts = frozenset(name.strip().lower() for name in names if name.strip())
    return Doors(hosts, os.environ.get(PROXY_VARIABLE) == "1")


def hang(app: Flask, doors: Doors) -> None:
    """Give the application its doors."""
    app.extensions[_NAME] = doors
    if doors.behind_proxy:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=1, x_proto=1)  # type: ignore[method-assign]
        app.after_request(_keep_tls)


def doors_of(app: Flask) -> Doors:
    """The doors of this application."""
    return cast("Doors", app.extensions[_NAME])


@lru_cache(maxsize=64)
def is_known_host(host: str, doors: Doors) -> bool:
    """Whether a Host header names this service.

    >>> is_known_host("localhost:8000", Doors()), is_known_host("[::1]:8000", Doors())
    (True, True)
    >>> is_known_host("wheels.example:8000", Doors()), is_known_host("", Doors())
    (False, False)
    """
    form = _HOST.fullmatch(host)
    if form is None:
        return False
    name = (form["name"] or form["number"]).lower().removesuffix(".")
    if name in doors.hosts or name == "localhost":
        return True
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        return False
    return address.is_loopback or not doors.behind_proxy


def refused_door(asked: Request) -> Response | None:
    """The refusal of a request that came by another name than this service's, or without TLS where there
    has to be TLS."""
    doors = doors_of(current_app)
    if not is_known_host(asked.environ.get("HTTP_HOST", ""), doors):
        # Not as a page: without a good name no address of this service can be made for its links.
        return problem("unknown-host")
    if doors.behind_proxy and asked.scheme != "https" and asked.path not in _FROM_HERE:
        return refusal("needs-tls")
    return None


def _keep_tls(response: Response) -> Response:
    response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
    return response

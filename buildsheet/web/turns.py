"""Posted orders go through a worker in turn, from their last byte to their answer.

What is posted to a worker at the same time is then brought to the writer together, and threads do not
take the interpreter from one another on the way (`storage.gathering`).
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from io import BytesIO
from typing import TYPE_CHECKING, Final

from flask import Flask

from buildsheet.actions.people.standing import asked_nobody_lately
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.web.access.who import brings_known_key
from buildsheet.web.limits import BODY_BYTES

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIEnvironment

ORDERS: Final = "/api/v1/orders"
READ: Final = "buildsheet.read"
"""Where the environment of a request has its body, if all of it was read already, within the limit."""

_DIGITS: Final = len(str(BODY_BYTES))


def wake_gently() -> None:
    """From now on this thread, and every one that it starts, throws no other off the processor when it is
    woken [sched(7): SCHED_BATCH, on Linux; memory]. Whoever hands a turn on still has the interpreter, for
    which the one that was woken would only wait; what is in the processor's caches would be lost."""
    if hasattr(os, "SCHED_BATCH"):
        # Where a sandbox says no, orders are taken as well, only slower.
        with suppress(OSError):
            os.sched_setscheduler(0, os.SCHED_BATCH, os.sched_param(0))


def take_turns(app: Flask, workshop: Workshop) -> None:
    """Put posted orders in line, in front of everything that the framework does for them."""
    inner = app.wsgi_app

    def in_turn(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        if environ["PATH_INFO"] != ORDERS or environ["REQUEST_METHOD"] != "POST":
            return inner(environ, start_response)
        # Nobody waits for the body of somebody who is not to post one: the gate refuses them unread.
        if not (_is_known(environ, workshop) and _whole(environ)):
            return inner(environ, start_response)
        with workshop.database.coming():
            return inner(environ, start_response)

    app.wsgi_app = in_turn  # type: ignore[method-assign]


def _is_known(environ: WSGIEnvironment, workshop: Workshop) -> bool:
    """Whether this comes from a system with a key, or to a workshop that asks nobody. A person's order goes
    without a turn."""
    try:
        return brings_known_key(workshop, environ) or asked_nobody_lately(workshop)
    except WorldError:  # said where the visitor is asked for
        return False


def _whole(environ: WSGIEnvironment) -> bool:
    """Whether the body is here, all of it: nobody waits in turn for a slow line."""
    length = environ.get("CONTENT_LENGTH", "")
    # Thousands of digits are no number that Python reads.
    if not length.isdecimal() or len(length) > _DIGITS or int(length) > BODY_BYTES:
        return False
    try:
        body = environ["wsgi.input"].read(int(length))
    except (OSError, ValueError):  # the sender went away: said where bodies are read
        body = b""
    environ["wsgi.input"] = BytesIO(body)
    if len(body) == int(length):
        environ[READ] = body
    return True

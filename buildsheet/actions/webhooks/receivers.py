"""Who is told of events: added with an address and a secret that is shown once, and ended."""

from __future__ import annotations

import ipaddress
import json
import re
from typing import Final
from urllib.parse import urlsplit

from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.errors import CallerError
from buildsheet.storage import events, webhooks
from buildsheet.storage.webhooks import StoredWebhook

SECRET_BYTES: Final = 32
LONGEST_URL: Final = 500
_NAME: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


class BadReceiver(CallerError):
    """The name or the address cannot be used; the message says why."""


def add_receiver(
    workshop: Workshop, name: str, url: str, *, by: str, after: int | None = None
) -> str:
    """The secret of a new receiver, told of what comes after event ``after`` (None: from now on).

    Raises BadReceiver for a name that is taken or misspelt, or an address that is neither https nor on
    this machine.
    """
    if not _NAME.fullmatch(name):
        raise BadReceiver(f"a receiver's name is small letters, digits and hyphens: not {name!r}")
    if trouble := not_allowed(url):
        raise BadReceiver(trouble)
    secret, at = workshop.chance(SECRET_BYTES).hex(), stamp(workshop.clock())
    with workshop.database.writing() as section:
        if webhooks.named(section, name) is not None:
            raise BadReceiver(f"receiver {name} is there already, or was; choose another name")
        last = webhooks.last_event(section)
        starts_after = last if after is None else min(max(after, 0), last)
        webhooks.insert(
            section, name=name, url=url, secret=secret, starts_after=starts_after, by=by, at=at
        )
        events.append(section, at=at, kind="webhook.added", facts=json.dumps({"name": name}))
    return secret


def end_receiver(workshop: Workshop, name: str, *, by: str) -> bool:
    """Tell this receiver nothing any more; False where there is none, or it ended before."""
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        ended = webhooks.end(section, name, by=by, at=at)
        if ended:
            events.append(section, at=at, kind="webhook.ended", facts=json.dumps({"name": name}))
    return ended


def list_receivers(workshop: Workshop) -> tuple[StoredWebhook, ...]:
    """Every receiver there ever was, by name."""
    with workshop.database.reading() as section:
        return webhooks.everyone(section)


def not_allowed(url: str) -> str:
    """Why events may not go to this address; '' where they may.

    >>> not_allowed("https://hooks.example/in"), not_allowed("http://127.0.0.1:9000/in")
    ('', '')
    >>> not_allowed("http://hooks.example/in")
    'events go to https addresses, or to http on this machine: not http://hooks.example/in'
    """
    try:
        parts = urlsplit(url)
        host = parts.hostname or ""
        port = parts.port
    except ValueError as error:
        return f"that is no address: {error}"
    printable = url.isascii() and url.isprintable() and " " not in url
    if not printable or not host or len(url) > LONGEST_URL or parts.fragment:
        return "that is no address: scheme, host and path are wanted, in printable ASCII"
    if port == 0:
        return "nobody can be reached at port 0; leave it out, or name the one that is listened at"
    if parts.username is not None or parts.password is not None:
        return "an address holds no password: whoever lists receivers would read it"
    if parts.scheme == "https" or (parts.scheme == "http" and _on_this_machine(host)):
        return ""
    return f"events go to https addresses, or to http on this machine: not {url}"


def _on_this_machine(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False

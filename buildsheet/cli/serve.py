"""``serve``: the service, on a production server."""

from __future__ import annotations

import ipaddress
import os
import re
import signal
import socket
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import click

from buildsheet.cli import options
from buildsheet.cli.edge import WRONG, Leave
from buildsheet.errors import WorldError

OPEN_FLAG: Final = "--without-access-control"
PROXY_FLAG: Final = "--behind-proxy"
HOST_FLAG: Final = "--allow-host"
_HOST_NAME: Final = re.compile(r"[a-z0-9]([a-z0-9.-]{0,252}[a-z0-9])?", re.IGNORECASE)


LOG_LEVELS: Final = ("debug", "info", "warning", "error")

STOP_LIMIT_S: Final = 10
"""How long a worker that was told to stop may take to answer what it was asked before."""


@dataclass(frozen=True, slots=True)
class Wish:
    """How somebody wants to serve. ``names`` are host names; ``open_to_all`` and ``behind_proxy`` the
    two deliberate choices."""

    host: str
    names: tuple[str, ...] = ()
    behind_proxy: bool = False
    open_to_all: bool = False


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65535))
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 32))
@click.option(
    HOST_FLAG,
    "names",
    multiple=True,
    metavar="NAME",
    help="A host name by which this service is called; may be given more than once.",
)
@click.option(
    PROXY_FLAG,
    is_flag=True,
    help="A proxy with TLS stands before it and says who asks (X-Forwarded-For, X-Forwarded-Proto).",
)
@click.option(
    OPEN_FLAG,
    "open_to_all",
    is_flag=True,
    help="Listen on an address that others reach, although everyone there may do everything.",
)
@click.option(
    "--log-level",
    default="info",
    show_default=True,
    type=click.Choice(LOG_LEVELS),
    help="Lines on standard error from this level on; info has one for every request.",
)
@options.database
@options.as_json
def serve(
    host: str,
    port: int,
    workers: int,
    names: tuple[str, ...],
    behind_proxy: bool,
    open_to_all: bool,
    log_level: str,
    database: Path | None,
    as_json: bool,
) -> None:
    """Serve the pages and the API until stopped (Ctrl-C or TERM; requests under way are finished)."""
    wish = Wish(host, names, behind_proxy, open_to_all)
    path = options.database_path(database)
    edition, asks_nobody = _look(path)
    told, refusal = judge(wish, asks_nobody=asks_nobody)
    if refusal is None:
        _must_be_free(host, port)
    for line in (*told, *([refusal] if refusal else [])):
        click.echo(f"buildsheet: {line}", err=True)
    if refusal is not None:
        raise Leave(WRONG)
    address = f"http://{f'[{host}]' if ':' in host else host}:{port}/"
    if as_json:
        from buildsheet.cli.speak import say_json

        open_house = {"asks_nobody": asks_nobody, "behind_proxy": behind_proxy}
        say_json({"address": address, "database": str(path), "edition": edition, **open_house})
    else:
        click.echo(
            f"{path}, edition {edition or 'none: load one with buildsheet catalog load DIR'}"
        )
        click.echo(f"open {address}")
    sys.stdout.flush()
    _run(wish, port, workers, path, log_level)


def judge(wish: Wish, *, asks_nobody: bool) -> tuple[tuple[str, ...], str | None]:
    """What has to be said before serving like this, and why it is not done (None: it is).

    >>> judge(Wish("127.0.0.1"), asks_nobody=False)
    ((), None)
    >>> judge(Wish("0.0.0.0"), asks_nobody=False)[1]
    'passwords and keys would travel there in clear: put a proxy with TLS before it, ...'
    """
    wrong = [name for name in wish.names if not _HOST_NAME.fullmatch(name)]
    if wrong:
        return (), f"{wrong[0]!r} is no host name: {HOST_FLAG} takes a name without port or scheme."
    reached = wish.behind_proxy or not is_loopback(wish.host)
    if not asks_nobody and wish.open_to_all:
        return (), f"this workshop has people or keys and asks for them: leave {OPEN_FLAG} out."
    if wish.behind_proxy and not wish.names:
        return (), f"name what the proxy calls this service: {HOST_FLAG} NAME"
    if asks_nobody:
        if not reached:
            line = "nobody is asked who they are: whoever is on this machine may do everything."
            return (line,), None
        where = "Through a proxy it" if wish.behind_proxy else wish.host
        told = (
            f"{where} can be reached from other machines, and this workshop has no person and no key: "
            "whoever reaches it may post and read everything.",
        )
        way = f"buildsheet person add NAME --role owner; to serve there all the same, add {OPEN_FLAG}."
        return told, None if wish.open_to_all else f"add somebody first: {way}"
    if reached and not wish.behind_proxy:
        return (), (
            "passwords and keys would travel there in clear: put a proxy with TLS before it, "
            f"and add {PROXY_FLAG}."
        )
    return (), None


def is_loopback(host: str) -> bool:
    """Whether only this machine reaches the address.

    >>> is_loopback("127.0.0.1"), is_loopback("localhost"), is_loopback("0.0.0.0"), is_loopback("::1")
    (True, True, False, True)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _look(path: Path) -> tuple[int | None, bool]:
    """The edition, and whether nobody is asked who they are.

    Opens the workshop once before serving, so that its troubles are said here and not by a worker.
    """
    from buildsheet.actions.health import health
    from buildsheet.actions.people.standing import asks_nobody
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(path)
    try:
        seen = health(workshop)
        nobody = asks_nobody(workshop)
    finally:
        workshop.close()
    if not seen.writable:
        raise WorldError(seen.trouble)
    return seen.edition, nobody


def _must_be_free(host: str, port: int) -> None:
    """Ask for the port here, where a refusal is one line: the server would answer with a traceback."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        with socket.socket(family, socket.SOCK_STREAM) as asked:
            asked.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            asked.bind((host, port))
    except OSError as trouble:
        raise WorldError(f"cannot listen on {host} port {port}: {trouble.strerror}") from trouble


def _run(wish: Wish, port: int, workers: int, path: Path, log_level: str) -> None:
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    from buildsheet.web.observing.lines import logging_config
    from buildsheet.web.observing.shared import shared_counts

    # Workers are other processes: they find the workshop file and its doors in their environment.
    os.environ[options.DATABASE_VARIABLE] = str(path.resolve())
    os.environ["BUILDSHEET_SERVER"] = str(os.getpid())
    os.environ["BUILDSHEET_HOSTS"] = ",".join(wish.names)
    os.environ["BUILDSHEET_BEHIND_PROXY"] = "1" if wish.behind_proxy else "0"
    os.environ["BUILDSHEET_LOG_LEVEL"] = log_level
    server = Granian(
        "buildsheet.web.app:from_environment",
        factory=True,
        address="127.0.0.1" if wish.host == "localhost" else wish.host,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        # Threads of a worker share a commit (`storage.database.Database.bring`): the more wait, the
        # more are written at once.
        blocking_threads=8,
        respawn_failed_workers=True,
        websockets=False,
        workers_kill_timeout=STOP_LIMIT_S,
        log_access=False,
        log_level=LogLevels(log_level),
        log_dictconfig=logging_config(log_level),
    )
    os.register_at_fork(after_in_child=_end_when_told)
    with shared_counts():
        server.serve()


def _end_when_told() -> None:
    """Let a worker that still starts end at once: it inherits ears that hear for its parent only."""
    for told in (signal.SIGTERM, signal.SIGINT):
        signal.signal(told, signal.SIG_DFL)

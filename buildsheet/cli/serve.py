"""``serve``: the service, on a production server."""

from __future__ import annotations

import ipaddress
import os
import socket
import sys
from pathlib import Path
from typing import Final

import click

from buildsheet.cli import options
from buildsheet.cli.edge import WRONG, Leave
from buildsheet.errors import WorldError

OPEN_FLAG: Final = "--without-access-control"


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65535))
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 32))
@click.option(
    OPEN_FLAG,
    "open_to_all",
    is_flag=True,
    help="Listen on an address that others reach, although everyone there may do everything.",
)
@options.database
@options.as_json
def serve(
    host: str, port: int, workers: int, open_to_all: bool, database: Path | None, as_json: bool
) -> None:
    """Serve the pages and the API until stopped (Ctrl-C or TERM; requests under way are finished)."""
    if not is_loopback(host):
        click.echo(
            f"buildsheet: {host} can be reached from other machines, and this version asks nobody who "
            "they are: whoever reaches it may post and read everything.",
            err=True,
        )
        if not open_to_all:
            click.echo(f"buildsheet: to serve there all the same, add {OPEN_FLAG}.", err=True)
            raise Leave(WRONG)
    _must_be_free(host, port)
    path = options.database_path(database)
    edition = _look(path)
    address = f"http://{f'[{host}]' if ':' in host else host}:{port}/"
    if as_json:
        from buildsheet.cli.speak import say_json

        say_json({"address": address, "database": str(path), "edition": edition})
    else:
        click.echo(
            f"{path}, edition {edition or 'none: load one with buildsheet catalog load DIR'}"
        )
        click.echo(f"open {address}")
    sys.stdout.flush()
    _run(host, port, workers, path)


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


def _look(path: Path) -> int | None:
    """Open the workshop once before serving, so that its troubles are said here and not by a worker."""
    from buildsheet.actions.health import health
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(path)
    try:
        seen = health(workshop)
    finally:
        workshop.close()
    if not seen.writable:
        raise WorldError(seen.trouble)
    return seen.edition


def _must_be_free(host: str, port: int) -> None:
    """Ask for the port here, where a refusal is one line: the server would answer with a traceback."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        with socket.socket(family, socket.SOCK_STREAM) as asked:
            asked.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            asked.bind((host, port))
    except OSError as trouble:
        raise WorldError(f"cannot listen on {host} port {port}: {trouble.strerror}") from trouble


def _run(host: str, port: int, workers: int, path: Path) -> None:
    from granian import Granian
    from granian.constants import Interfaces

    # Workers are other processes: they find the workshop file in their environment.
    os.environ[options.DATABASE_VARIABLE] = str(path.resolve())
    Granian(
        "buildsheet.web.app:from_environment",
        factory=True,
        address="127.0.0.1" if host == "localhost" else host,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        # One blocking thread a worker: writers queue for one file anyway, and figures were best so.
        blocking_threads=1,
        respawn_failed_workers=True,
        workers_kill_timeout=10,
        log_access=False,
    ).serve()

"""One line on a terminal that says how far a long look has come."""

from __future__ import annotations

import sys
from collections.abc import Callable

import click


def progress_line(what: str) -> Callable[[int, int], None] | None:
    """A function that is told how much of how much is done and rewrites one line; None where nobody
    looks at a terminal."""
    if not sys.stderr.isatty():
        return None

    def told(done: int, of: int) -> None:
        click.echo(f"\r{what}: {done} of {of}", err=True, nl=False)
        if done >= of:
            click.echo("\r" + " " * (len(what) + 24) + "\r", err=True, nl=False)

    return told

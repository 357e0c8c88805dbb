"""What every command takes: ``--db``, ``--json``; and how a FILE is read."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar

import click

from buildsheet.errors import WorldError

Command = TypeVar("Command", bound=Callable[..., Any])

DATABASE_VARIABLE: Final = "BUILDSHEET_DB"

as_json = click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")

database = click.option(
    "--db",
    "database",
    type=click.Path(path_type=Path),
    help=f"The workshop file (else ${DATABASE_VARIABLE}, else var/workshop.db).",
)

edition_number = click.IntRange(1, 999_999)

file_argument = click.argument("file", metavar="FILE")


def database_path(given: Path | None) -> Path:
    """The workshop file that is meant."""
    from buildsheet.actions.workshop import DEFAULT_PATH

    return given or Path(os.environ.get(DATABASE_VARIABLE) or DEFAULT_PATH)


def read_bytes(file: str, most: int) -> bytes:
    """The content of a file, or of standard input for ``-``; never more than ``most`` + 1 bytes.

    Raises WorldError, in one line, where it cannot be read.
    """
    if file == "-":
        return sys.stdin.buffer.read(most + 1)
    try:
        with Path(file).open("rb") as opened:
            return opened.read(most + 1)
    except (OSError, ValueError) as trouble:
        why = trouble.strerror if isinstance(trouble, OSError) else str(trouble)
        raise WorldError(f"cannot read {file}: {why}") from trouble


def read_text(file: str, most: int) -> str:
    """The content of a text file. Raises WorldError also where it is too large or not UTF-8."""
    raw = read_bytes(file, most)
    if len(raw) > most:
        raise WorldError(f"cannot read {file}: it is larger than {most} bytes")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        raise WorldError(f"cannot read {file}: not UTF-8 at byte {trouble.start}") from trouble

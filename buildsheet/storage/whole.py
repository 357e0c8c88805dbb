"""The workshop file as a whole: a copy made while others write, what the engine says of it, its size.

This module speaks SQLite alone (``vacuum into``, pragmas): another engine brings its own.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Final

import sqlite_utils
from sqlite_utils.utils import sqlite3

from buildsheet.errors import WorldError
from buildsheet.storage.database import BUSY_TIMEOUT_MS, Section
from buildsheet.storage.migrations import migrate, unknown

PASSING: Final = ("heartbeat", "sessions", "sign_in_attempts")
"""Tables whose rows come and go: they say nothing about what a workshop knows."""

GUESTS: Final = frozenset({"table _litestream_lock", "table _litestream_seq"})
"""What a program that follows the log keeps in the file for itself (docs/running.md): one row each, which
says nothing of the workshop. Gone or there, the file is as sound."""


def copy_into(path: Path, target: Path) -> None:
    """Write one unchanging state of a workshop file, log included, into ``target``: an empty file or none.

    Others may read and write meanwhile. Raises WorldError where the disk or the file says no.
    """
    with _opened(path) as connection:
        connection.execute("vacuum into ?", [str(target)])
    _settle(target)


@contextmanager
def looked_into(path: Path) -> Iterator[Section]:
    """A section over a copy that is only read: no table is added, nothing is written beside it.

    Raises WorldError where the file is no workshop file, or one of a newer program.
    """
    with _opened(path, "mode=ro&immutable=1") as connection:
        database = sqlite_utils.Database(connection, execute_plugins=False)
        if not {"events", "orders", "editions"} <= set(database.table_names()):
            raise WorldError(f"{path}: this is no workshop file")
        newer = unknown(database)
        if newer:
            raise WorldError(f"{path}: written by a newer version of this program ({newer[-1]})")
        yield Section(database)


class InUse(WorldError):
    """Somebody has the workshop file open."""


@contextmanager
def held_alone(path: Path) -> Iterator[Section]:
    """A section over a workshop file that nobody else has open, its log carried over into it.

    Raises InUse where somebody has, WorldError where the file cannot be read.
    """
    with _opened(path) as connection:
        connection.execute("pragma busy_timeout = 200")
        try:
            # Leaving the log is refused by the engine while any other connection is open.
            connection.execute("pragma journal_mode = delete")
            connection.execute("begin exclusive")
        except sqlite3.OperationalError as trouble:
            if trouble.sqlite_errorcode in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise InUse(f"{path}: somebody has it open; stop the service first") from trouble
            raise
        yield Section(sqlite_utils.Database(connection, execute_plugins=False))


@contextmanager
def _opened(path: Path, how: str = "mode=rw") -> Iterator[Any]:
    try:
        connection = sqlite3.connect(
            f"{path.resolve().as_uri()}?{how}",
            uri=True,
            isolation_level=None,
            timeout=BUSY_TIMEOUT_MS / 1000.0,
        )
        with closing(connection):
            connection.execute("pragma trusted_schema = off")
            yield connection
    except sqlite3.DatabaseError as trouble:
        raise WorldError(f"{path}: {trouble}") from trouble


def _settle(path: Path) -> None:
    """Wait until a file lies on the disk: the engine does not for the target of ``vacuum into``."""
    with path.open("rb+") as written:
        os.fsync(written.fileno())


def broken_pages(section: Section) -> tuple[str, ...]:
    """What the engine finds wrong with pages, indexes and checks; () in a sound file."""
    try:
        said = [str(row[0]) for row in section.rows("pragma integrity_check")]
    except sqlite3.DatabaseError as trouble:
        # Some damage ends the check itself.
        said = [str(trouble)]
    return () if said == ["ok"] else tuple(said)


def dangling(section: Section) -> tuple[tuple[str, str], ...]:
    """(table, table that lacks what a row of it refers to); () in a sound file."""
    return tuple((str(row[0]), str(row[2])) for row in section.rows("pragma foreign_key_check"))


def changed_schema(section: Section) -> tuple[str, ...]:
    """What is missing, added or other among tables, indexes and triggers, against a file made today.

    Whoever edits what is only appended to has to take a trigger out first.
    """
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        fresh = sqlite_utils.Database(connection, execute_plugins=False)
        migrate(fresh)
        meant = _schema(Section(fresh))
    found = _schema(section)
    return tuple(
        f"{name} is {'missing' if name not in found else 'not ours' if name not in meant else 'other'}"
        for name in sorted({*meant, *found} - GUESTS)
        if meant.get(name) != found.get(name)
    )


def _schema(section: Section) -> dict[str, str]:
    rows = section.rows(
        "select type, name, sql from sqlite_master where name not like 'sqlite\\_%' escape '\\'"
    )
    return {f"{kind} {name}": " ".join(str(sql).split()) for kind, name, sql in rows}


def sizes(section: Section) -> dict[str, int]:
    """Table -> rows, over everything that a workshop only ever gets more of."""
    names = [
        str(row[0])
        for row in section.rows(
            "select name from sqlite_master where type = 'table' and name not like '\\_%' escape '\\'"
        )
    ]
    return {
        name: int(section.one(f'select count(*) from "{name}"')[0])  # noqa: S608 - names of its own tables
        for name in sorted(names)
        if name not in PASSING and not name.startswith("sqlite_")
    }


def beyond(here: Section, copied: Section) -> tuple[str, ...]:
    """What one file knows and its copy does not, in sentences; () where the copy has all of it.

    Raises WorldError where one of them cannot be read.
    """
    try:
        return (*_other_history(here, copied), *_more_rows(sizes(here), sizes(copied)))
    except sqlite3.DatabaseError as trouble:
        raise WorldError(str(trouble)) from trouble


def _other_history(here: Section, copied: Section) -> Iterator[str]:
    last, newest = last_event(here), last_event(copied)
    if last is None:
        return
    there = _event(copied, last[0])
    if there is None:
        yield f"its last event is {last[0]}, the copy's {newest[0] if newest else 0}"
    elif there != last:
        yield f"event {last[0]} is another one here: the copy is of another history"


def _more_rows(rows: dict[str, int], copies: dict[str, int]) -> Iterator[str]:
    for name, count in rows.items():
        if count > copies.get(name, 0):
            yield f"{name}: {count - copies.get(name, 0)} more than in the copy"


def last_event(section: Section) -> tuple[int, str, str] | None:
    """(sequence, time, kind) of the newest event; None where nothing ever happened."""
    row = section.row("select sequence, at, kind from events order by sequence desc limit 1")
    return (int(row[0]), str(row[1]), str(row[2])) if row else None


def _event(section: Section, sequence: int) -> tuple[int, str, str] | None:
    """(sequence, time, kind) of one event."""
    row = section.row("select sequence, at, kind from events where sequence = ?", sequence)
    return (int(row[0]), str(row[1]), str(row[2])) if row else None

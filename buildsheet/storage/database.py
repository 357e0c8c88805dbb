"""One workshop file: who may read, who may write, and what the disk says when it will not.

SQLite is taken from `sqlite_utils.utils`, which picks the newer library where it is installed: the
errors of the two libraries are different classes.
"""

from __future__ import annotations

import fcntl
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import IO, Any, TypeVar
from weakref import WeakSet, finalize

import sqlite_utils
from sqlite_utils.utils import sqlite3

from buildsheet.errors import WorldError
from buildsheet.storage.gathering import Entry, Gathering
from buildsheet.storage.migrations import migrate, missing, unknown

SqlValue = str | int | float | None
Row = tuple[Any, ...]
Item = TypeVar("Item")
Result = TypeVar("Result")

BUSY_TIMEOUT_MS = 5000
"""How long a statement waits for a foreign program that holds the file (a backup, a shell)."""

CHECKPOINT_PAGES = 4000
"""The log is carried over into the file after so many pages (16 MB): pages that many orders touch are
then written once for all of them."""

STATEMENTS_KEPT = 512
"""Statements that a connection keeps prepared: an insert is another one for each number of rows."""

ROWS_AT_ONCE = 200
"""Rows of one `Section.insert`; an engine takes some ten thousand values at most."""


class Section:
    """Statements inside one transaction; handed out by `Database.reading` and `Database.writing`."""

    def __init__(self, database: sqlite_utils.Database) -> None:
        self._execute = database.conn.execute

    def rows(self, sql: str, *values: SqlValue) -> list[Row]:
        """Every row of a query, as tuples in the order of its columns."""
        found: list[Row] = self._execute(sql, values).fetchall()
        return found

    def row(self, sql: str, *values: SqlValue) -> Row | None:
        """The first row of a query, or None."""
        found: Row | None = self._execute(sql, values).fetchone()
        return found

    def one(self, sql: str, *values: SqlValue) -> Row:
        """The row of a statement that always has one; LookupError where it has none."""
        found = self.row(sql, *values)
        if found is None:
            raise LookupError(sql)
        return found

    def run(self, sql: str, *values: SqlValue) -> int:
        """How many rows a statement changed."""
        return int(self._execute(sql, values).rowcount)

    def insert(
        self, sql: str, rows: Sequence[Sequence[SqlValue]], then: str = "", *, row: str = ""
    ) -> None:
        """Run ``insert into ... values`` for all rows, in their order; ``then`` stands after the rows,
        ``row`` is what is written for each where more stands in it than a place for every value.

        One statement for many rows: each statement is a moment in which another thread may take the
        interpreter away from whoever holds the lock.
        """
        for start in range(0, len(rows), ROWS_AT_ONCE):
            some = rows[start : start + ROWS_AT_ONCE]
            values = [value for row in some for value in row]
            self._execute(_with_rows(sql, row or _places(len(some[0])), len(some), then), values)


@lru_cache(maxsize=STATEMENTS_KEPT)
def _with_rows(sql: str, row: str, rows: int, then: str) -> str:
    """``insert into ... values`` with so many rows; the same text each time, which is found again."""
    return f"{sql} {', '.join([row] * rows)} {then}"


@lru_cache(maxsize=STATEMENTS_KEPT)
def _places(columns: int) -> str:
    return f"({', '.join('?' * columns)})"


Work = Callable[[Section, Sequence[Item]], Sequence[Result]]
"""What is done with items that are brought at about the same time: see `Database.bring`."""


class Database:
    """A workshop file, opened by every thread for itself.

    ``create`` False refuses a file that is not there. Raises WorldError, in one line for a person,
    wherever the disk or another program says no.
    """

    def __init__(self, path: Path, *, create: bool = True) -> None:
        self.path = path
        self._create = create
        self._forget()
        with _world(path):
            self._prepare()

    def _forget(self) -> None:
        """Start with no connection and no lock: a forked child must not use its parent's."""
        self._process = os.getpid()
        self._local = threading.local()
        self._opened: WeakSet[sqlite_utils.Database] = WeakSet()
        self._writer: sqlite_utils.Database | None = None
        self._threads = threading.Lock()
        self._gathering = Gathering()
        self._lock_file: IO[bytes] | None = None

    def _prepare(self) -> None:
        if not self._create and not self.path.is_file():
            raise WorldError(f"{self.path}: there is no workshop file here")
        self.path.parent.mkdir(parents=True, exist_ok=True)
        database = self._mine()
        newer = unknown(database)
        if newer:
            raise WorldError(
                f"{self.path}: written by a newer version of this program ({', '.join(newer)})"
            )
        if missing(database):
            with self.writing():
                migrate(self._writing_one())

    def _same_process(self) -> None:
        if self._process != os.getpid():
            self._forget()

    def _mine(self) -> sqlite_utils.Database:
        """This thread's connection."""
        self._same_process()
        mine: sqlite_utils.Database | None = getattr(self._local, "database", None)
        if mine is None:
            mine = self._connect()
            self._local.database = mine
        return mine

    def _writing_one(self) -> sqlite_utils.Database:
        """The connection that writes, one for all threads: what the last commit touched is still in its
        cache, while that of every other connection is void. Held by whoever holds `_threads`."""
        if self._writer is None:
            self._writer = self._connect()
        return self._writer

    def _connect(self) -> sqlite_utils.Database:
        connection = sqlite3.connect(
            str(self.path),
            isolation_level=None,
            timeout=BUSY_TIMEOUT_MS / 1000.0,
            cached_statements=STATEMENTS_KEPT,
            # The one that writes goes from thread to thread, under a lock; `close` touches all of them,
            # after the work is over.
            check_same_thread=False,
        )
        try:
            connection.execute(f"pragma busy_timeout = {BUSY_TIMEOUT_MS}")
            if connection.execute("pragma journal_mode").fetchone()[0] != "wal":
                # Two processes that both switch a new file to WAL would collide.
                with self._process_lock():
                    connection.execute("pragma journal_mode = wal")
            connection.execute("pragma synchronous = full")
            connection.execute(f"pragma wal_autocheckpoint = {CHECKPOINT_PAGES}")
            connection.execute("pragma foreign_keys = on")
            connection.execute("pragma trusted_schema = off")
        except BaseException:
            connection.close()
            raise
        database = sqlite_utils.Database(connection, execute_plugins=False)
        # Threads of a server come and go: one that ends gives its connection back.
        finalize(database, connection.close).atexit = False
        self._opened.add(database)
        return database

    @contextmanager
    def _process_lock(self) -> Iterator[None]:
        """Only this process writes: one fair queue instead of SQLite's retries with long tails."""
        if self._lock_file is None:
            lock_path = self.path.with_name(f"{self.path.name}-lock")
            self._lock_file = lock_path.open("ab")  # kept open until `close`
        fcntl.flock(self._lock_file, fcntl.LOCK_EX)
        try:
            yield
        finally:
            fcntl.flock(self._lock_file, fcntl.LOCK_UN)

    @contextmanager
    def reading(self) -> Iterator[Section]:
        """A section that sees one unchanging state of the file."""
        with _world(self.path):
            database = self._mine()
            database.execute("begin")
            try:
                yield Section(database)
            finally:
                database.execute("rollback")

    @contextmanager
    def looking(self) -> Iterator[Section]:
        """A section for one single query, which sees one state of the file by itself: for what is asked
        before every request, without the two further statements that `reading` costs."""
        with _world(self.path):
            yield Section(self._mine())

    @contextmanager
    def writing(self) -> Iterator[Section]:
        """A section whose statements all become durable on leaving it, or none of them.

        Leaving it by any exception takes everything back. One section at a time in a thread.
        """
        self._same_process()
        # Whoever leads may wait for this thread's turn, and holds what this thread is about to wait for.
        self._gathering.step_aside()
        with self._threads, self._alone_in_file() as section:
            yield section

    @contextmanager
    def _alone_in_file(self) -> Iterator[Section]:
        with _world(self.path):
            database = self._writing_one()
            with self._process_lock():
                database.execute("begin immediate")
                try:
                    yield Section(database)
                    database.execute("commit")
                except BaseException:
                    # A full disk may already have rolled back on its own.
                    if database.conn.in_transaction:
                        database.execute("rollback")
                    raise

    @contextmanager
    def coming(self) -> Iterator[None]:
        """For the time of a ``with``, this thread works in turn with others that are coming as well.

        It is on its way to `bring` something, and whoever works for all waits for it. Without this all goes
        well too, only slower where many come at once.
        """
        self._same_process()
        try:
            self._gathering.come()
            yield
        finally:
            self._gathering.step_aside()

    def step_aside(self) -> None:
        """Let others that are coming go ahead: what this thread does now takes long."""
        self._gathering.step_aside()

    def bring(self, work: Work[Item, Result], item: Item) -> Result:
        """What ``work`` makes of an item, once all that it wrote is durable.

        Items that threads of this process bring while another commit is under way, or others are coming,
        are worked on together: read for once, written once, and the disk is waited for once. ``work``
        gives a result for each, in their order; where it fails, each item is worked on alone, so that
        nobody has another's trouble. ``work`` is a function of a module. As `writing`, not from within a
        section.
        """
        self._same_process()
        mine = Entry(work, item)
        self._gathering.bring(mine)
        if not mine.done:
            self._lead(mine)
        if mine.trouble is not None:
            raise mine.trouble
        result: Result = mine.result
        return result

    def _lead(self, leader: Entry) -> None:
        """Work for all who wait; whatever keeps the file from being written is everybody's trouble."""
        entries: list[Entry] = []
        try:
            with self._threads:
                try:
                    with self._alone_in_file() as section:
                        # Kept until the file is free again: nobody takes the interpreter from the one for
                        # whom everybody waits.
                        self._gathering.take_next_turn()
                        entries = self._gathering.take(leader)
                        _work(section, entries)
                except BaseException as trouble:  # noqa: BLE001 - raised where each item was brought
                    if entries:
                        self._work_alone(entries, trouble)
                    else:
                        entries = self._gathering.take(leader)
                        for each in entries:
                            each.trouble = trouble
        finally:
            self._gathering.done(entries, leader)

    def _work_alone(self, entries: Sequence[Entry], trouble: BaseException) -> None:
        """Work on each entry in a transaction of its own, where all of them together had trouble."""
        for each in entries:
            each.trouble = trouble if len(entries) == 1 else None
            if len(entries) > 1:
                try:
                    with self._alone_in_file() as section:
                        _work(section, [each])
                except BaseException as own:  # noqa: BLE001 - raised where the item was brought
                    each.trouble = own

    def close(self) -> None:
        """Give back every connection and the lock file."""
        for database in list(self._opened):
            database.conn.close()
        if self._lock_file is not None:
            self._lock_file.close()
        self._forget()


def _work(section: Section, entries: Sequence[Entry]) -> None:
    results = entries[0].work(section, [each.item for each in entries])
    if len(results) != len(entries):
        raise RuntimeError(f"{len(results)} results for {len(entries)} items")
    for each, result in zip(entries, results, strict=True):
        each.result = result


@contextmanager
def _world(path: Path) -> Iterator[None]:
    """Turn what the disk and the database say into one clean line."""
    try:
        yield
    except sqlite3.IntegrityError:
        raise
    except sqlite3.DatabaseError as trouble:
        raise WorldError(f"{path}: {trouble}") from trouble
    except OSError as trouble:
        raise WorldError(f"{path}: {trouble.strerror or trouble}") from trouble

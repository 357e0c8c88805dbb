"""One workshop file: who may read, who may write, and what the disk says when it will not.

SQLite is taken from `sqlite_utils.utils`, which picks the newer library where it is installed: the
errors of the two libraries are different classes.
"""

from __future__ import annotations

import fcntl
import os
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, TypeVar

import sqlite_utils
from sqlite_utils.utils import sqlite3

from buildsheet.errors import WorldError
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

ROWS_AT_ONCE = 200
"""Rows of one `Section.insert`; an engine takes some ten thousand values at most."""


class Section:
    """Statements inside one transaction; handed out by `Database.reading` and `Database.writing`."""

    def __init__(self, database: sqlite_utils.Database) -> None:
        self._database = database

    def rows(self, sql: str, *values: SqlValue) -> list[Row]:
        """Every row of a query, as tuples in the order of its columns."""
        return list(self._database.execute(sql, list(values)).fetchall())

    def row(self, sql: str, *values: SqlValue) -> Row | None:
        """The first row of a query, or None."""
        found: Row | None = self._database.execute(sql, list(values)).fetchone()
        return found

    def one(self, sql: str, *values: SqlValue) -> Row:
        """The row of a statement that always has one; LookupError where it has none."""
        found = self.row(sql, *values)
        if found is None:
            raise LookupError(sql)
        return found

    def run(self, sql: str, *values: SqlValue) -> int:
        """How many rows a statement changed."""
        return int(self._database.execute(sql, list(values)).rowcount)

    def insert(self, sql: str, rows: Sequence[Sequence[SqlValue]], then: str = "") -> None:
        """Run ``insert into ... values`` for all rows, in their order; ``then`` stands after the rows.

        One statement for many rows: each statement is a moment in which another thread may take the
        interpreter away from whoever holds the lock.
        """
        for start in range(0, len(rows), ROWS_AT_ONCE):
            some = rows[start : start + ROWS_AT_ONCE]
            marks = f"({', '.join('?' * len(some[0]))})"
            values = [value for row in some for value in row]
            self._database.execute(f"{sql} {', '.join([marks] * len(some))} {then}", values)


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
        self._connections: list[Any] = []
        self._writer: sqlite_utils.Database | None = None
        self._threads = threading.Lock()
        self._waiting: dict[Any, deque[_Brought]] = {}
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
        self._connections.append(connection)
        return sqlite_utils.Database(connection, execute_plugins=False)

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

    def bring(self, work: Work[Item, Result], item: Item) -> Result:
        """What ``work`` makes of an item, once all that it wrote is durable.

        Items that threads of this process bring while another commit is under way are worked on together
        by the next one: read for once, written once, and the disk is waited for once. ``work`` gives a
        result for each, in their order; where it fails, each item is worked on alone, so that nobody has
        another's trouble. ``work`` is a function of a module, one for each sort of item. As `writing`,
        not from within a section.
        """
        self._same_process()
        mine = _Brought(item)
        waiting = self._waiting.setdefault(work, deque())
        waiting.append(mine)
        with self._threads:
            # Whoever comes first works for all who wait; the others find theirs done.
            while not mine.done:
                self._work(work, [waiting.popleft() for _ in range(len(waiting))])
        if mine.trouble is not None:
            raise mine.trouble
        result: Result = mine.result
        return result

    def _work(self, work: Work[Any, Any], brought: list[_Brought]) -> None:
        """Work on items in one transaction; whatever keeps it from being durable is everybody's trouble."""
        try:
            results = self._worked(work, [each.item for each in brought])
        except BaseException as trouble:  # noqa: BLE001 - raised where each item was brought
            if len(brought) > 1:
                for each in brought:
                    self._work(work, [each])
                return
            brought[0].trouble = trouble
        else:
            for each, result in zip(brought, results, strict=True):
                each.result = result
        for each in brought:
            each.done = True

    def _worked(self, work: Work[Any, Any], items: list[Any]) -> Sequence[Any]:
        with self._alone_in_file() as section:
            results = work(section, items)
            if len(results) != len(items):
                raise RuntimeError(f"{len(results)} results for {len(items)} items")
            return results

    def close(self) -> None:
        """Give back every connection and the lock file."""
        for connection in self._connections:
            connection.close()
        if self._lock_file is not None:
            self._lock_file.close()
        self._forget()


@dataclass(slots=True)
class _Brought:
    """Something to be worked on, and what became of it."""

    item: Any
    result: Any = None
    trouble: BaseException | None = None
    done: bool = False


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

"""Threads of a server come and go, and what they opened goes with them."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.storage.database import Database


def in_a_thread_that_ends(database: Database) -> sqlite3.Connection:
    """The connection of a thread that read, once the thread is gone."""
    opened: list[sqlite3.Connection] = []

    def read() -> None:
        with database.reading() as section:
            assert section.row("select 1") == (1,)
        opened.append(database._mine().conn)

    thread = threading.Thread(target=read)
    thread.start()
    thread.join()
    return opened[0]


def test_a_thread_that_ends_gives_its_connection_back(tmp_path: Path):
    database = Database(tmp_path / "workshop.db")
    at_first = len(database._opened)
    for _ in range(5):
        connection = in_a_thread_that_ends(database)
        with pytest.raises(sqlite3.ProgrammingError, match="closed"):
            connection.execute("select 1")
    assert len(database._opened) == at_first
    with database.writing() as section:  # the others go on
        assert section.row("select 1") == (1,)
    database.close()


def test_a_file_that_is_closed_closes_the_connections_of_threads_that_go_on(tmp_path: Path):
    database = Database(tmp_path / "workshop.db")
    opened: list[sqlite3.Connection] = []
    has_read, may_end = threading.Event(), threading.Event()

    def read() -> None:
        opened.append(database._mine().conn)
        has_read.set()
        may_end.wait(20.0)

    thread = threading.Thread(target=read)
    thread.start()
    has_read.wait(20.0)
    database.close()
    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        opened[0].execute("select 1")
    may_end.set()
    thread.join()

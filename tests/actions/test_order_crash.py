"""A process that is killed while it takes an order leaves all of the order, or nothing of it.

A real process each time, ended by the system's own kill before one statement after the other, the commit
among them. Random moments and whole servers: tests/soak/crash.py.
"""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import sqlite_utils

from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop
from buildsheet.storage.database import Section
from tests.workshops import counts, example, morning, raw

ORDER = raw(example("D-1001"))
KEY = "shop-key-1"


@pytest.fixture
def stocked(workshop_file: Path) -> Path:
    """The demo workshop with things on its shelves, and the order judged: what is left is to write it."""
    workshop = open_workshop(workshop_file, clock=morning)
    text = (demo_directory() / "stock.csv").read_text(encoding="utf-8")
    assert load_stock(workshop, text, by="S. Keeper").outcome == "entered"
    workshop.close()
    return workshop_file


def killed_before(statement: int) -> None:
    """End this process before its so-manyth statement: those of sections, and those that begin and end
    them."""
    done = 0

    def counted(run: Callable[..., Any]) -> Callable[..., Any]:
        def counting(*given: Any) -> Any:
            nonlocal done
            if done == statement:
                os.kill(os.getpid(), signal.SIGKILL)
            done += 1
            return run(*given)

        return counting

    begin = Section.__init__

    def section(self: Section, database: sqlite_utils.Database) -> None:
        begin(self, database)
        self._execute = counted(self._execute)

    Section.__init__ = section  # type: ignore[method-assign]
    whole = counted(sqlite_utils.Database.execute)
    sqlite_utils.Database.execute = whole  # type: ignore[method-assign]


def taken_by_a_child(path: Path, statement: int) -> int:
    """How a process ended that takes the order and is killed before a statement: 0, or minus the signal."""
    child = os.fork()
    if not child:
        code = 1
        try:
            workshop = open_workshop(path, clock=morning)
            killed_before(statement)
            code = 0 if take_order(workshop, ORDER, KEY).outcome == "taken" else 2
        finally:
            os._exit(code)  # never back into the test's own machinery
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def test_a_kill_at_any_statement_leaves_all_of_an_order_or_nothing(stocked: Path, tmp_path: Path):
    workshop = open_workshop(stocked, clock=morning)
    nothing = counts(workshop)
    workshop.close()
    kills = 0
    for statement in range(200):
        path = Path(shutil.copy(stocked, tmp_path / f"{statement}.db"))
        code = taken_by_a_child(path, statement)
        assert code in (0, -signal.SIGKILL)
        opened = open_workshop(path, create=False, clock=morning)
        after = counts(opened)
        assert (after["orders"], after == nothing) == ((1, False) if code == 0 else (0, True))
        assert disagreements(opened) == ()
        if code == 0:
            assert take_order(opened, ORDER, KEY).outcome == "replayed"
            opened.close()
            break
        if statement % 5 == 0:
            # What was left behind can be gone on with.
            assert take_order(opened, ORDER, KEY).outcome == "taken"
            assert disagreements(opened) == ()
        opened.close()
        path.unlink()
        kills += 1
    else:
        pytest.fail("the order was never taken")
    # Numbers, wheels, sheets, plans, holds, event, key: fewer kills would have tested nothing.
    assert kills > 20

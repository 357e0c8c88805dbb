"""A restore that is killed at any of its steps leaves the file as it was or the copy, and loses neither.

A real process each time, ended by the system's own kill before one step after the other.
"""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from buildsheet.actions.backup import backup
from buildsheet.actions.restore import restore
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import open_workshop
from tests.workshops import MORNING, counts, example, morning, raw

BEFORE, COPIED = 2, 1
"""Orders in the file, and in the copy that takes its place."""


@pytest.fixture
def prepared(workshop_file: Path, tmp_path: Path) -> tuple[Path, Path]:
    """A workshop file that knows more than the copy beside it."""
    workshop = open_workshop(workshop_file, clock=morning)
    take_order(workshop, raw(example("D-1001")))
    copy = backup(workshop.path, tmp_path / "copy.db").path
    take_order(workshop, raw(example("D-1002")))
    workshop.close()
    return workshop_file, copy


def killed_before(step: int) -> None:
    """End this process before its so-manyth deed on the disk."""
    done = 0

    def counted(deed: Callable[..., object]) -> Callable[..., object]:
        def do(*given: object, **named: object) -> object:
            nonlocal done
            if done == step:
                os.kill(os.getpid(), signal.SIGKILL)
            done += 1
            return deed(*given, **named)

        return do

    for name in ("link", "rename", "replace", "fsync", "open", "unlink", "chmod"):
        setattr(os, name, counted(getattr(os, name)))


def restored_by_a_child(path: Path, copy: Path, step: int) -> int:
    """How a process ended that restores and is killed before a step: 0, or minus the signal."""
    child = os.fork()
    if not child:
        code = 1
        try:
            killed_before(step)
            done = restore(copy, path, moment=MORNING, over_newer=True)
            code = 0 if done.done else 2
        finally:
            os._exit(code)  # never back into the test's own machinery
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def orders_in(path: Path) -> int:
    """How many orders a file holds; fails where it is not whole."""
    opened = open_workshop(path, create=False, clock=morning)
    try:
        with opened.database.reading() as section:
            assert section.one("pragma integrity_check") == ("ok",)
            assert section.rows("pragma foreign_key_check") == []
        return counts(opened)["orders"]
    finally:
        opened.close()


def test_a_kill_at_any_step_of_a_restore_loses_nothing(prepared: tuple[Path, Path], tmp_path: Path):
    source, copy = prepared
    seen = set()
    for step in range(100):
        into = tmp_path / f"step-{step}"
        into.mkdir()
        path = Path(shutil.copy(source, into))
        code = restored_by_a_child(path, copy, step)
        assert code in (0, -signal.SIGKILL)
        there = orders_in(path)
        aside = [
            each
            for each in into.glob(f"{path.name}.before-*")
            if not each.name.endswith(("-wal", "-shm", "-lock"))
        ]
        assert there in (BEFORE, COPIED)
        assert there == BEFORE or [orders_in(each) for each in aside] == [BEFORE]
        seen.add((there, code == 0))
        # What was left behind can be gone on with.
        assert restore(copy, path, moment=MORNING.replace(hour=9), over_newer=True).done
        assert orders_in(path) == COPIED
        if code == 0:
            break
    else:
        pytest.fail("the restore never came to its end")
    # Killed as it was, killed with the copy in place, and through: fewer would have tested less.
    assert seen == {(BEFORE, False), (COPIED, False), (COPIED, True)}

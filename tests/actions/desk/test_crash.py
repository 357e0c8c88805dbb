"""A process that is killed while it publishes leaves the edition before, or the new one, and it whole.

A real process each time, ended by the system's own kill, from within after every statement and from
outside at moments spread over the whole of the publishing.
"""

from __future__ import annotations

import os
import shutil
import signal
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from buildsheet.actions.desk.draft import Draft, begin, put_house, the_draft
from buildsheet.actions.desk.papers import list_editions
from buildsheet.actions.desk.publish import Published, publish
from buildsheet.actions.editions import edition_texts, running_edition
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.reading import read_catalog
from buildsheet.storage.database import Section
from tests.workshops import morning

ROUNDS = 15
"""Kills from outside."""

Begin = Callable[[], None]


@pytest.fixture(scope="module")
def prepared(loaded_file: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Draft]:
    """A workshop file with a draft that is ready to be published."""
    path = tmp_path_factory.mktemp("crash") / "workshop.db"
    workshop = open_workshop(Path(shutil.copy(loaded_file, path)), clock=morning)
    first = begin(workshop, "A. Author")
    draft = put_house(workshop, "sheet.lateral_mm", 0.25, version=first.version, by="A. Author")
    workshop.close()
    return path, draft


def published_by_a_child(path: Path, draft: Draft, before: Begin) -> int:
    """The number of a new process that does ``before``, publishes, and ends."""
    child = os.fork()
    if child:
        return child
    code = 1
    try:
        workshop = open_workshop(path, clock=morning)
        before()
        done = publish(workshop, version=draft.version, author="A. Author", reason="a test")
        code = 0 if isinstance(done, Published) else 2
    finally:
        os._exit(code)  # never back into the test's own machinery


def ended(child: int) -> int:
    """How a process ended: its code, or the signal that killed it as a negative number."""
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def is_new(path: Path, draft: Draft) -> bool:
    """Whether the new edition is there; fails where the file is neither as before nor as after."""
    workshop = open_workshop(path, clock=morning)
    try:
        with workshop.database.reading() as section:
            assert section.one("pragma integrity_check") == ("ok",)
            assert section.rows("pragma foreign_key_check") == []
        lines = list_editions(workshop)
        numbers = [line.number for line in lines]
        assert numbers in ([16], [17, 16])
        assert all(line.paper is not None for line in lines)
        for line in lines:
            edition, findings = read_catalog(edition_texts(workshop, line.number))
            assert edition is not None, findings
            assert edition.digest == line.stored.digest
        assert running_edition(workshop).number == numbers[0]
        standing = the_draft(workshop)
        assert standing == (draft if numbers == [16] else None)
        assert told(workshop) == len(numbers) - 1
        return len(numbers) == 2
    finally:
        workshop.close()


def told(workshop: Workshop) -> int:
    with workshop.database.reading() as section:
        sql = "select count(*) from events where kind = 'edition.published'"
        return int(section.one(sql)[0])


def killed_after(statements: int) -> Begin:
    """Count the statements of a process, and end it before the one that comes after so many."""

    def begin_counting() -> None:
        run = Section.run
        done = 0

        def counted(section: Section, sql: str, *values: str | float | None) -> int:
            nonlocal done
            if done == statements:
                os.kill(os.getpid(), signal.SIGKILL)
            done += 1
            return run(section, sql, *values)

        Section.run = counted  # type: ignore[method-assign, assignment]

    return begin_counting


def test_a_kill_before_any_statement_leaves_the_edition_before(
    prepared: tuple[Path, Draft], tmp_path: Path
):
    source, draft = prepared
    for statements in range(100):
        path = Path(shutil.copy(source, tmp_path / f"{statements}.db"))
        code = ended(published_by_a_child(path, draft, killed_after(statements)))
        assert code in (0, -signal.SIGKILL)
        assert is_new(path, draft) is (code == 0)
        if code == 0:
            break
    else:
        pytest.fail("publishing never came to its end")
    # An edition, its files, its paper, the draft's end: fewer kills would have tested nothing.
    assert statements > 10


def test_a_kill_at_any_moment_leaves_one_edition_or_the_other(
    prepared: tuple[Path, Draft], tmp_path: Path
):
    source, draft = prepared
    path = Path(shutil.copy(source, tmp_path / "whole.db"))
    began = time.perf_counter()
    assert ended(published_by_a_child(path, draft, lambda: None)) == 0
    whole_s = time.perf_counter() - began
    assert is_new(path, draft)
    for round_ in range(ROUNDS):
        path = Path(shutil.copy(source, tmp_path / f"{round_}.db"))
        child = published_by_a_child(path, draft, lambda: None)
        time.sleep(whole_s * round_ / ROUNDS)
        os.kill(child, signal.SIGKILL)
        code = ended(child)
        new = is_new(path, draft)
        assert new or code == -signal.SIGKILL
        # What was left behind can be gone on with.
        if not new:
            assert ended(published_by_a_child(path, draft, lambda: None)) == 0
            assert is_new(path, draft)

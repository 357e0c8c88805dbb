"""Jobs that share a commit stand each by itself, and none is answered before it is durable."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildsheet.errors import WorldError
from buildsheet.storage.database import Database, Section


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    opened = Database(tmp_path / "workshop.db")
    with opened.writing() as section:
        section.run("create table said (word text not null primary key)")
    yield opened
    opened.close()


def say(word: str):
    def job(section: Section) -> str:
        section.run("insert into said (word) values (?)", word)
        return word.upper()

    return job


def said(database: Database) -> list[str]:
    with database.reading() as section:
        return sorted(row[0] for row in section.rows("select word from said"))


def together(database: Database, *jobs) -> list[object]:
    """What became of jobs that were all brought while one commit was under way."""
    became: list[object] = [None] * len(jobs)

    def bring(number: int) -> None:
        try:
            became[number] = database.write(jobs[number])
        except Exception as trouble:  # noqa: BLE001 - compared by the test
            became[number] = trouble

    threads = [threading.Thread(target=bring, args=(number,)) for number in range(len(jobs))]
    with database._threads:  # a commit is under way
        for thread in threads:
            thread.start()
        while len(database._waiting) < len(jobs):
            pass
    for thread in threads:
        thread.join()
    return became


def test_a_job_gives_its_result_after_the_commit(database: Database):
    assert database.write(say("one")) == "ONE"
    assert said(Database(database.path)) == ["one"]


def test_jobs_that_wait_are_written_in_one_transaction(database: Database):
    commits = []
    work = database._work

    def counted(jobs):
        commits.append(len(jobs))
        work(jobs)

    database._work = counted  # type: ignore[method-assign]
    assert sorted(map(str, together(database, *map(say, "abcdef")))) == list("ABCDEF")
    assert commits == [6]
    assert said(database) == list("abcdef")


def test_a_job_that_fails_takes_back_its_own_writing_only(database: Database):
    def fails(section: Section) -> None:
        section.run("insert into said (word) values ('half')")
        raise ValueError("no")

    became = together(database, say("a"), fails, say("b"))
    assert [str(each) for each in became] == ["A", "no", "B"]
    assert isinstance(became[1], ValueError)
    assert said(database) == ["a", "b"]


def test_a_job_that_breaks_a_rule_of_the_tables_fails_alone(database: Database):
    became = together(database, say("a"), say("a"), say("b"))
    assert sum(isinstance(each, Exception) for each in became) == 1
    assert said(database) == ["a", "b"]


def test_a_commit_that_fails_is_the_trouble_of_every_job(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    execute = type(database._mine()).execute

    def no_space(self, sql, *values):
        if sql == "commit":
            raise OSError(28, "No space left on device")
        return execute(self, sql, *values)

    monkeypatch.setattr(type(database._mine()), "execute", no_space)
    became = together(database, say("a"), say("b"))
    assert all(isinstance(each, WorldError) for each in became), became
    monkeypatch.undo()
    assert said(database) == []
    assert database.write(say("c")) == "C"

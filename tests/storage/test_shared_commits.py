"""What shares a commit stands each by itself, and none is answered before it is durable."""

from __future__ import annotations

import threading
from collections.abc import Sequence

import pytest

from buildsheet.errors import WorldError
from buildsheet.storage.database import Database, Section


def say(section: Section, words: Sequence[str]) -> list[str]:
    """Write words down; one of them cannot be written, and one breaks whoever hears it."""
    for word in words:
        if word == "broken":
            raise ValueError("no")
    section.insert("insert into said (word) values", [(word,) for word in words])
    return [word.upper() for word in words]


def said(database: Database) -> list[str]:
    with database.reading() as section:
        return sorted(row[0] for row in section.rows("select word from said"))


def together(database: Database, *words: str) -> list[object]:
    """What became of words that were all brought while one commit was under way."""
    became: list[object] = [None] * len(words)

    def bring(number: int) -> None:
        try:
            became[number] = database.bring(say, words[number])
        except Exception as trouble:  # noqa: BLE001 - compared by the test
            became[number] = trouble

    threads = [threading.Thread(target=bring, args=(number,)) for number in range(len(words))]
    with database._threads:  # a commit is under way
        for thread in threads:
            thread.start()
        while len(database._gathering._waiting) < len(words):
            pass
    for thread in threads:
        thread.join()
    return became


def test_a_result_is_given_after_the_commit(database: Database):
    assert database.bring(say, "one") == "ONE"
    assert said(Database(database.path)) == ["one"]


def test_what_waits_is_written_in_one_transaction(database: Database):
    asked = database._gathering.take
    worked = []

    def counted(leader):
        entries = asked(leader)
        worked.append(len(entries))
        return entries

    database._gathering.take = counted  # type: ignore[method-assign]
    assert sorted(map(str, together(database, *"abcdef"))) == list("ABCDEF")
    assert worked == [6]
    assert said(database) == list("abcdef")


def test_what_fails_takes_back_its_own_writing_only(database: Database):
    became = together(database, "a", "broken", "b")
    assert [str(each) for each in became] == ["A", "no", "B"]
    assert isinstance(became[1], ValueError)
    assert said(database) == ["a", "b"]


def test_what_breaks_a_rule_of_the_tables_fails_alone(database: Database):
    became = together(database, "a", "a", "b")
    assert sum(isinstance(each, Exception) for each in became) == 1
    assert said(database) == ["a", "b"]


def test_work_that_forgets_an_item_is_found_out(database: Database):
    def forgets(section: Section, words: Sequence[str]) -> list[str]:
        return []

    with pytest.raises(RuntimeError, match="0 results for 1 items"):
        database.bring(forgets, "a")


def test_a_commit_that_fails_is_everybodys_trouble(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    execute = type(database._mine()).execute

    def no_space(self, sql, *values):
        if sql == "commit":
            raise OSError(28, "No space left on device")
        return execute(self, sql, *values)

    monkeypatch.setattr(type(database._mine()), "execute", no_space)
    became = together(database, "a", "b")
    assert all(isinstance(each, WorldError) for each in became), became
    monkeypatch.undo()
    assert said(database) == []
    assert database.bring(say, "c") == "C"

"""Threads that come with something to write wait for one another, and never for ever."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence

import pytest

from buildsheet.errors import WorldError
from buildsheet.storage import gathering
from buildsheet.storage.database import Database, Section

LIMIT_S = 20.0
"""After so long a thread that still waits is taken for stuck."""


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch):
    """Nobody goes on by itself within the time of a test."""
    monkeypatch.setattr(gathering, "COMPANY_PATIENCE_S", LIMIT_S)
    monkeypatch.setattr(gathering, "TURN_PATIENCE_S", LIMIT_S)


class Worked:
    """A work function that keeps how many items it was given each time."""

    def __init__(self) -> None:
        self.sizes: list[int] = []

    def __call__(self, section: Section, words: Sequence[str]) -> list[str]:
        self.sizes.append(len(words))
        section.insert("insert into said (word) values", [(word,) for word in words])
        return [word.upper() for word in words]


def said(database: Database) -> list[str]:
    with database.reading() as section:
        return sorted(row[0] for row in section.rows("select word from said"))


def at_once(*deeds: Callable[[], object]) -> None:
    """Do all of it in threads of their own; none is still at it when this comes back."""
    troubles: list[BaseException] = []

    def do(deed: Callable[[], object]) -> None:
        try:
            deed()
        except BaseException as trouble:  # noqa: BLE001 - told by the test's own thread
            troubles.append(trouble)

    threads = [threading.Thread(target=do, args=(deed,), daemon=True) for deed in deeds]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(LIMIT_S)
        assert not thread.is_alive(), "a thread is stuck"
    if troubles:
        raise troubles[0]


def wait_until(holds: Callable[[], bool]) -> None:
    end = time.monotonic() + LIMIT_S
    while not holds():
        assert time.monotonic() < end, "it never came so far"
        time.sleep(0.001)


@pytest.mark.usefixtures("patient")
def test_whoever_brings_first_waits_for_those_who_are_coming(database: Database):
    work, has_turn = Worked(), threading.Event()

    def first() -> None:
        with database.coming():
            has_turn.set()
            wait_until(lambda: len(database._gathering._coming) == 4)
            assert database.bring(work, "a") == "A"

    def further(word: str) -> None:
        has_turn.wait(LIMIT_S)
        with database.coming():
            assert database.bring(work, word) == word.upper()

    at_once(first, *(lambda word=word: further(word) for word in "bcd"))
    assert work.sizes == [4]
    assert said(database) == list("abcd")


@pytest.mark.usefixtures("patient")
def test_only_one_at_a_time_has_its_turn(database: Database):
    work = Worked()
    inside: list[str] = []
    most: list[int] = []

    def order(word: str) -> None:
        for number in range(20):
            with database.coming():
                inside.append(word)
                most.append(len(inside))
                time.sleep(0.0002)
                inside.remove(word)
                database.bring(work, f"{word}{number}")
                inside.append(word)
                most.append(len(inside))
                time.sleep(0.0002)
                inside.remove(word)

    at_once(*(lambda word=word: order(word) for word in "abcdef"))
    assert max(most) == 1
    assert sum(work.sizes) == 120
    assert len(work.sizes) < 120, "nothing was brought together"


@pytest.mark.usefixtures("patient")
def test_whoever_steps_aside_keeps_nobody(database: Database):
    work, others_done = Worked(), threading.Event()

    def long() -> None:
        with database.coming():
            database.step_aside()
            assert others_done.wait(LIMIT_S / 2)
            assert database.bring(work, "long") == "LONG"

    def short() -> None:
        with database.coming():
            assert database.bring(work, "short") == "SHORT"
        others_done.set()

    at_once(long, short)
    assert said(database) == ["long", "short"]


@pytest.mark.usefixtures("patient")
def test_whoever_comes_and_brings_nothing_keeps_nobody(database: Database):
    work, waits = Worked(), threading.Event()

    def refused() -> None:
        with database.coming():
            waits.set()
            # Another one waits for this thread's turn, and then for nobody any more.
            wait_until(lambda: len(database._gathering._coming) == 2)

    def taken() -> None:
        waits.wait(LIMIT_S)
        with database.coming():
            assert database.bring(work, "word") == "WORD"

    at_once(refused, taken)
    assert work.sizes == [1]


@pytest.mark.usefixtures("patient")
def test_whoever_writes_by_itself_gives_up_its_turn(database: Database):
    """Else it would wait for the file while whoever has the file waits for the turn."""
    work, ready = Worked(), threading.Barrier(2)

    def writes() -> None:
        with database.coming():
            ready.wait()
            with database.writing() as section:
                section.run("insert into said (word) values (?)", "mine")

    def brings() -> None:
        ready.wait()
        assert database.bring(work, "theirs") == "THEIRS"

    at_once(writes, brings)
    assert said(database) == ["mine", "theirs"]


def test_a_thread_that_never_comes_back_keeps_nobody_for_long(database: Database):
    work, goes_on = Worked(), threading.Event()

    def stuck() -> None:
        with database.coming():
            goes_on.wait(LIMIT_S)

    def taken() -> None:
        wait_until(lambda: database._gathering._holder is not None)
        with database.coming():
            assert database.bring(work, "word") == "WORD"
        goes_on.set()

    at_once(stuck, taken)
    assert said(database) == ["word"]


def test_others_are_taken_while_one_that_has_its_turn_breaks(database: Database):
    work = Worked()

    def breaks() -> None:
        with pytest.raises(RuntimeError, match="no"), database.coming():
            raise RuntimeError("no")

    def taken(word: str) -> None:
        with database.coming():
            assert database.bring(work, word) == word.upper()

    at_once(breaks, lambda: taken("a"), breaks, lambda: taken("b"))
    assert said(database) == ["a", "b"]


def test_what_keeps_the_file_is_said_to_all_who_wait_once(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    execute = type(database._mine()).execute
    begun: list[str] = []

    def locked(self, sql, *values):
        if sql == "begin immediate":
            begun.append(sql)
            raise OSError(11, "database is locked")
        return execute(self, sql, *values)

    monkeypatch.setattr(type(database._mine()), "execute", locked)
    work = Worked()

    def taken(word: str) -> None:
        with database.coming(), pytest.raises(WorldError, match="locked"):
            database.bring(work, word)

    at_once(*(lambda word=word: taken(word) for word in "abc"))
    assert 1 <= len(begun) <= 3
    assert work.sizes == []
    monkeypatch.undo()
    assert database.bring(work, "d") == "D"


def test_many_threads_over_many_rounds_lose_and_double_nothing(database: Database):
    work = Worked()

    def clients(name: str) -> None:
        for number in range(60):
            word = f"{name}{number}"
            if number % 7 == 3:
                assert database.bring(work, word) == word.upper()
                continue
            with database.coming():
                if number % 5 == 0:
                    database.step_aside()
                assert database.bring(work, word) == word.upper()

    at_once(*(lambda name=name: clients(name) for name in "abcdefgh"))
    assert said(database) == sorted(
        f"{name}{number}" for name in "abcdefgh" for number in range(60)
    )
    assert sum(work.sizes) == 480


class Interrupted:
    """A guard; whoever gave it back may lose the interpreter at once."""

    def __init__(self, afterwards: Callable[[], object]) -> None:
        self._lock = threading.Lock()
        self._afterwards = afterwards

    def __enter__(self) -> None:
        self._lock.acquire()

    def __exit__(self, *_trouble: object) -> None:
        self._lock.release()
        self._afterwards()


@pytest.mark.usefixtures("patient")
def test_what_is_done_before_its_thread_sleeps_waits_for_its_turn_all_the_same():
    """Else it stands in line when its thread is gone, and gets a turn that nobody gives back."""
    ours = gathering.Gathering()
    work = Worked()
    has_turn, all_done, settled = (threading.Event() for _ in range(3))

    class Watched(gathering.Entry):
        def sleep(self, limit_s: float) -> bool:
            settled.set()
            return super().sleep(limit_s)

    def first() -> None:
        entry = Watched(work, "a")
        ours.come()
        has_turn.set()
        wait_until(lambda: len(ours._line) == 1)
        ours._guard = Interrupted(  # type: ignore[assignment]
            lambda: entry.thread == threading.get_ident() and all_done.wait(LIMIT_S)
        )
        ours.bring(entry)
        ours.step_aside()
        settled.set()

    def last() -> None:
        entry = gathering.Entry(work, "b")
        has_turn.wait(LIMIT_S)
        ours.come()
        ours.bring(entry)
        assert entry.leads
        ours.take_next_turn()
        ours.done(ours.take(entry), entry)
        all_done.set()
        assert settled.wait(LIMIT_S)
        ours.step_aside()

    at_once(first, last)
    assert ours._holder is None
    assert not ours._line


@pytest.mark.usefixtures("patient")
def test_whoever_comes_while_it_is_coming_does_not_wait_for_itself(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    def stuck(*_waiting: object) -> None:
        raise AssertionError("it waits for a turn that it has")

    monkeypatch.setattr(database._gathering, "_await_turn", stuck)
    work = Worked()
    with database.coming():
        with database.coming():
            assert database.bring(work, "a") == "A"
        assert database.bring(work, "b") == "B"
    assert database._gathering._holder is None
    assert not database._gathering._coming


@pytest.mark.usefixtures("patient")
def test_whoever_leads_works_on_what_it_brought_where_others_wait_for_other_work(
    database: Database,
):
    one, other = Worked(), Worked()

    def waits() -> None:
        assert database.bring(one, "a") == "A"

    def leads() -> None:
        with database.coming():
            thread = threading.Thread(target=waits, daemon=True)
            thread.start()
            wait_until(lambda: len(database._gathering._waiting) == 1)
            assert database.bring(other, "b") == "B"
        thread.join(LIMIT_S)
        assert not thread.is_alive()

    at_once(leads)
    assert (one.sizes, other.sizes) == ([1], [1])
    assert said(database) == ["a", "b"]


@pytest.mark.usefixtures("patient")
def test_whoever_breaks_on_its_way_into_the_line_keeps_nobody(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    def breaks() -> None:
        with pytest.raises(MemoryError), database.coming():
            pass

    with database.coming():
        monkeypatch.setattr(gathering, "Waiter", no_memory)
        at_once(breaks)
        assert len(database._gathering._coming) == 1
        assert database.bring(Worked(), "word") == "WORD"


@pytest.mark.usefixtures("patient")
def test_whoever_breaks_before_it_takes_what_waits_leaves_it_to_another(
    database: Database, monkeypatch: pytest.MonkeyPatch
):
    work = Worked()
    with monkeypatch.context() as broken:
        broken.setattr(database._gathering, "take", no_memory)
        with pytest.raises(MemoryError):
            database.bring(work, "lost")
    assert database._gathering._holder is None
    at_once(*(lambda word=word: database.bring(work, word) for word in "ab"))
    assert said(database) == ["a", "b"]


def no_memory(*_given: object) -> None:
    raise MemoryError

"""Threads of one process that bring work to its one writer, gathered so that one transaction does for many.

A thread on its way with an order gives the interpreter up at every statement. Where several are on their
way at once, each comes back late and to cold caches, and the writer finds one order waiting instead of
all. So those who are `coming` work one at a time, in the order in which they came; whoever has brought its
entry waits outside the turn; the last to come leads, that is, works for all who wait.

Nothing but time hangs on this: whoever waits longer than its patience goes on by itself.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from threading import Lock, get_ident
from typing import Any, Final

TURN_PATIENCE_S: Final = 0.5
"""How long a thread waits for its turn: far longer than an order's work takes."""

COMPANY_PATIENCE_S: Final = 0.02
"""How long what was brought waits for those who are still coming: twice what all threads of a worker need
for their orders, so that it is seldom lost."""


class Waiter:
    """A thread that sleeps until another wakes it, once for each time it sleeps."""

    __slots__ = ("_lock", "thread")

    def __init__(self) -> None:
        self.thread = get_ident()
        self._lock = Lock()
        self._lock.acquire()

    def sleep(self, limit_s: float) -> bool:
        """Whether it was woken within the limit."""
        return self._lock.acquire(timeout=limit_s)

    def wake(self) -> None:
        """Let it go on."""
        self._lock.release()


class Entry(Waiter):
    """Something to be worked on by a work function, and what became of it."""

    __slots__ = ("done", "in_turn", "item", "leads", "result", "trouble", "work")

    def __init__(self, work: Any, item: Any) -> None:
        super().__init__()
        self.work, self.item = work, item
        self.result: Any = None
        self.trouble: BaseException | None = None
        self.in_turn = self.leads = self.done = False


class Gathering:
    """Who has the turn, who waits for it, who is coming, and what was brought and waits to be worked on."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._holder: int | None = None
        self._line: deque[Waiter] = deque()
        self._coming: set[int] = set()
        self._waiting: list[Entry] = []
        self._led = False

    # -- coming and going

    def come(self) -> None:
        """Begin to come: back once it is this thread's turn."""
        with self._guard:
            self._coming.add(get_ident())
        self._take_turn()

    def step_aside(self) -> None:
        """End to come, and give the turn to the next; nothing where this thread does not come."""
        me = get_ident()
        if me != self._holder and me not in self._coming:
            return
        with self._guard:
            self._coming.discard(me)
            self._give_turn()
            self._appoint(None)

    def take_next_turn(self) -> None:
        """Take the next turn before all who wait for theirs: for the one who works for others, until all is
        `done`."""
        self._take_turn(first=True)

    # -- bringing and leading

    def bring(self, entry: Entry) -> None:
        """Have an entry worked on: back once it is done, or has to be led by this thread."""
        with self._guard:
            entry.in_turn = self._holder == entry.thread
            self._coming.discard(entry.thread)
            self._give_turn()
            self._waiting.append(entry)
            self._appoint(entry)
            goes_on = entry.leads
        # Also where it is done by now: what is done waits for its turn, and is woken by getting it.
        try:
            while not (goes_on or entry.sleep(self._patience_s(entry))):
                goes_on = self._lose_patience(entry)
        except BaseException:  # the program is told to end
            with self._guard:
                self._withdraw(entry)
            raise

    def take(self, leader: Entry) -> list[Entry]:
        """What waits for the same work as the leader's entry, all of it and that one too."""
        work = leader.work
        with self._guard:
            taken = [entry for entry in self._waiting if entry.work is work]
            self._waiting = [entry for entry in self._waiting if entry.work is not work]
            self._led = False
            self._appoint(None)
        return taken

    def done(self, entries: Sequence[Entry], leader: Entry) -> None:
        """Wake those whose entries are done, each in its turn; the leader, whose turn it is, goes on."""
        with self._guard:
            for entry in entries:
                entry.done = True
                if entry is leader:
                    continue
                if entry.in_turn:
                    self._line.append(entry)
                else:
                    entry.wake()
            self._withdraw(leader)
            if not leader.in_turn:
                self._give_turn()
            if self._holder is None:
                self._give_turn_to_next()

    # -- under the guard

    def _appoint(self, awake: Entry | None) -> None:
        """Where nobody comes any more, one of those who wait leads; ``awake`` rather than another."""
        if self._led or self._coming or not self._waiting:
            return
        leader = awake or self._waiting[0]
        leader.leads = self._led = True
        if leader is not awake:
            leader.wake()

    def _withdraw(self, entry: Entry) -> None:
        """Count on an entry's thread no more, where its entry is not done or it waits for its turn."""
        self._leave_line(entry)
        if entry.done:
            return
        entry.in_turn = False
        if entry in self._waiting:
            self._waiting.remove(entry)
            self._led = self._led and not entry.leads
            self._appoint(None)

    def _give_turn(self) -> None:
        if self._holder == get_ident():
            self._give_turn_to_next()

    def _give_turn_to_next(self) -> None:
        if self._line:
            following = self._line.popleft()
            self._holder = following.thread
            following.wake()
        else:
            self._holder = None

    # -- waiting

    def _take_turn(self, *, first: bool = False) -> None:
        with self._guard:
            if self._holder is None or self._holder == get_ident():
                self._holder = get_ident()
                return
            mine = Waiter()
            if first:
                self._line.appendleft(mine)
            else:
                self._line.append(mine)
        self._await_turn(mine)

    def _await_turn(self, mine: Waiter) -> None:
        woken = False
        try:
            woken = mine.sleep(TURN_PATIENCE_S)
        finally:
            if not woken:
                with self._guard:
                    self._leave_line(mine)

    def _patience_s(self, entry: Entry) -> float:
        """How long an entry's thread sleeps: longer where its entry is somebody's work already."""
        is_led = self._led or entry not in self._waiting
        return TURN_PATIENCE_S if is_led else COMPANY_PATIENCE_S

    def _lose_patience(self, entry: Entry) -> bool:
        """Whether it goes on without being woken."""
        with self._guard:
            if entry.sleep(0):  # woken just now
                return True
            if entry.done:
                self._leave_line(entry)
            elif not self._led and entry in self._waiting:
                entry.leads = self._led = True
            return entry.done or entry.leads

    def _leave_line(self, waiter: Waiter) -> None:
        if waiter in self._line:
            self._line.remove(waiter)

"""A thread that is told to end while it waits for others is counted on no more."""

from __future__ import annotations

from threading import get_ident

import pytest

from buildsheet.storage.gathering import Entry, Gathering, Waiter


class Elsewhere(Entry):
    """Brought by a thread that a test moves on by itself."""

    def __init__(self, thread: int) -> None:
        super().__init__("work", "item")
        self.thread = thread
        self.woken = 0

    def wake(self) -> None:
        self.woken += 1


class ToldToEnd(Entry):
    """Brought by this thread, which is told to end as soon as it waits; ``meanwhile`` comes before."""

    def __init__(self, ours: Gathering, meanwhile: str = "") -> None:
        super().__init__("work", "item")
        self.ours, self.meanwhile = ours, meanwhile

    def sleep(self, limit_s: float) -> bool:
        if self.meanwhile:
            other = Elsewhere(-1)
            self.ours._coming.clear()
            taken = self.ours.take(other)
            assert taken == [self]
            if self.meanwhile == "done":
                self.ours._holder = -1  # a third thread's
                self.ours.done(taken, other)
        raise KeyboardInterrupt


@pytest.fixture
def ours() -> Gathering:
    """A gathering to which another thread is coming."""
    ours = Gathering()
    ours._coming.add(-1)
    return ours


def at_rest(ours: Gathering) -> bool:
    return not (ours._line or ours._waiting or ours._led)


def test_what_it_brought_is_not_worked_on(ours: Gathering):
    with pytest.raises(KeyboardInterrupt):
        ours.bring(ToldToEnd(ours))
    assert at_rest(ours)


def test_another_leads_where_it_was_to_lead(ours: Gathering):
    mine, other = ToldToEnd(ours), Elsewhere(-2)
    ours._waiting.append(other)

    def appointed(_limit_s: float) -> bool:
        mine.leads = ours._led = True
        ours._coming.clear()
        raise KeyboardInterrupt

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(ToldToEnd, "sleep", lambda _self, limit_s: appointed(limit_s))
        with pytest.raises(KeyboardInterrupt):
            ours.bring(mine)
    assert (other.leads, other.woken, ours._waiting) == (True, 1, [other])


@pytest.mark.parametrize("meanwhile", ["taken", "done"])
def test_it_gets_no_turn_any_more(ours: Gathering, meanwhile: str):
    ours._holder = get_ident()
    mine = ToldToEnd(ours, meanwhile)
    with pytest.raises(KeyboardInterrupt):
        ours.bring(mine)
    if meanwhile == "taken":
        ours.done([mine], Elsewhere(-1))
    assert mine.done
    assert at_rest(ours)
    assert ours._holder != get_ident()


def test_it_stands_in_line_no_more(ours: Gathering, monkeypatch: pytest.MonkeyPatch):
    def sleep(_self: Waiter, _limit_s: float) -> bool:
        raise KeyboardInterrupt

    monkeypatch.setattr(Waiter, "sleep", sleep)
    ours._holder = -1
    with pytest.raises(KeyboardInterrupt):
        ours.come()
    assert at_rest(ours)
    ours.step_aside()
    assert ours._coming == {-1}

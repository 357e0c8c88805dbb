"""What is written in one section becomes true at once or not at all, and numbers have no gaps."""

from __future__ import annotations

import pytest

from buildsheet.storage import allotments, events, heartbeat, webhooks
from buildsheet.storage.events import Event, News
from tests.storage.contract.engines import Engine, Store
from tests.storage.contract.furnished import FRONT, NOON, SET


def test_an_exception_takes_everything_back_and_its_numbers_are_given_again(store: Store):
    with pytest.raises(ZeroDivisionError), store.writing() as section:  # noqa: PT012
        events.append(section, at=NOON, kind="order.taken")
        allotments.next_numbers(section, "wheel", 2031, 1)
        raise ZeroDivisionError
    with store.writing() as section:
        assert events.after(section, 0) == ()
        assert allotments.next_numbers(section, "wheel", 2031, 1) == range(1, 2)
        assert events.append(section, at=NOON, kind="order.taken") == 1


def test_a_section_that_only_reads_leaves_nothing(store: Store):
    with store.reading() as section:
        assert events.after(section, 0) == ()
        assert webhooks.last_event(section) == 0
    with store.writing() as section:
        heartbeat.beat(section, NOON)
        heartbeat.beat(section, NOON)


def test_numbers_are_counted_by_kind_and_year(store: Store):
    with store.writing() as section:
        counted = [
            allotments.next_numbers(section, kind, year, 1)
            for kind, year in (("W", 2031), ("W", 2031), ("A", 2031), ("W", 2032))
        ]
        assert allotments.next_numbers(section, "W", 2031, 3) == range(3, 6)
    assert [list(each) for each in counted] == [[1], [2], [1], [1]]


def test_events_come_in_their_order_and_a_reader_misses_none(store: Store):
    with store.writing() as section:
        first = events.append(section, at=NOON, kind="a", facts='{"n":1}')
        numbers = events.append_all(
            section, NOON, [News("b", SET.id, FRONT, "{}"), News("c", None, None, "{}")]
        )
        last = events.append(section, at=NOON, kind="d", order_id=SET.id)
    assert (first, numbers, last) == (1, range(2, 4), 4)
    with store.reading() as section:
        assert [each.sequence for each in events.after(section, 0)] == [1, 2, 3, 4]
        assert events.after(section, 1, 1) == (Event(2, NOON, "b", SET.id, FRONT, "{}"),)
        assert events.after(section, 4) == ()
        assert webhooks.last_event(section) == 4


def test_what_is_said_to_be_unique_is_kept_so(engine: Engine, workshop: Store):
    with pytest.raises(engine.broken_rule), workshop.writing() as section:  # noqa: PT012 - all of it or nothing
        webhooks.insert(section, name="a", url="u", secret="s", starts_after=0, by="A", at=NOON)
        webhooks.insert(section, name="a", url="v", secret="s", starts_after=0, by="A", at=NOON)
    with workshop.reading() as section:
        assert webhooks.everyone(section) == ()


def test_a_receiver_is_told_on_from_where_it_is_and_never_set_back(store: Store):
    with store.writing() as section:
        webhooks.insert(section, name="a", url="u", secret="s", starts_after=2, by="A", at=NOON)
        webhooks.failed(section, "a", "no answer", "2031-05-01T12:01:00.000Z")
        found = webhooks.named(section, "a")
        assert (found.sent_to, found.failures, found.trouble) == (2, 1, "no answer")
        for sequence in (7, 5):
            webhooks.sent(section, "a", sequence)
        found = webhooks.named(section, "a")
        assert (found.sent_to, found.failures, found.trouble) == (7, 0, "")
        assert webhooks.end(section, "a", by="B", at=NOON) is True
        assert webhooks.end(section, "a", by="B", at=NOON) is False
        assert webhooks.end(section, "b", by="B", at=NOON) is False
        assert [each.ended_at for each in webhooks.everyone(section)] == [NOON]
        assert webhooks.named(section, "b") is None

"""What happened, in order, for people and for other systems. Appended, never edited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened. ``facts`` is JSON text and holds no personal data."""

    sequence: int
    at: str
    kind: str
    order_id: str | None
    serial: str | None
    facts: str


@dataclass(frozen=True, slots=True)
class News:
    """What `append_all` writes as an event."""

    kind: str
    order_id: str | None
    serial: str | None
    facts: str


def append_all(section: Section, at: str, news: Sequence[News]) -> range:
    """The sequence numbers of events just written, in their order."""
    first = int(section.one("select coalesce(max(sequence), 0) + 1 from events")[0])
    numbers = range(first, first + len(news))
    section.insert(
        "insert into events (sequence, at, kind, order_id, serial, facts) values",
        [
            (number, at, each.kind, each.order_id, each.serial, each.facts)
            for number, each in zip(numbers, news, strict=True)
        ],
    )
    return numbers


def append(
    section: Section,
    *,
    at: str,
    kind: str,
    facts: str = "{}",
    order_id: str | None = None,
    serial: str | None = None,
) -> int:
    """The sequence number of the event just written.

    Write sections follow one another, so the numbers have no gaps and a reader that asks for what
    came after N misses nothing.
    """
    row = section.one(
        """
        insert into events (sequence, at, kind, order_id, serial, facts)
        select coalesce(max(sequence), 0) + 1, ?, ?, ?, ?, ? from events
        returning sequence
        """,
        at,
        kind,
        order_id,
        serial,
        facts,
    )
    return int(row[0])


def after(section: Section, sequence: int, limit: int = 1000) -> tuple[Event, ...]:
    """The events that came after ``sequence``, oldest first, at most ``limit``."""
    rows = section.rows(
        """
        select sequence, at, kind, order_id, serial, facts from events
        where sequence > ? order by sequence limit ?
        """,
        sequence,
        limit,
    )
    return tuple(Event(*row) for row in rows)

"""What happened, in order, for people and for other systems. Appended, never edited."""

from __future__ import annotations

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

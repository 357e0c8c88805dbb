"""What happened, for other systems: in order, without gaps, without anybody's name."""

from __future__ import annotations

import json
from typing import Final

from buildsheet.actions.workshop import Workshop
from buildsheet.findings import Value
from buildsheet.storage import events
from buildsheet.storage.events import Event

MOST: Final = 1000
USUAL: Final = 100


def happened_since(workshop: Workshop, after: int, limit: int = USUAL) -> tuple[Event, ...]:
    """The events after number ``after``, oldest first, at most ``limit`` of them.

    Whoever asks again with the last number it has misses nothing and may get nothing twice only where
    it lost its place.
    """
    with workshop.database.reading() as section:
        return events.after(section, after, min(limit, MOST))


def event_document(event: Event) -> dict[str, Value]:
    """One event as it is told."""
    facts: Value = json.loads(event.facts)
    return {
        "sequence": event.sequence,
        "at": event.at,
        "kind": event.kind,
        "order": event.order_id,
        "serial": event.serial,
        "facts": facts,
    }

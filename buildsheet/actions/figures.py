"""How the workshop stands in figures, for whoever watches the service: asked of the file each time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.actions.editions import in_force
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.storage import figures


@dataclass(frozen=True, slots=True)
class Figures:
    """Counts of one moment. ``edition`` is None before the first one runs; articles are told apart by
    whether pieces are free, none is, or more is held than lies there."""

    orders: Mapping[str, int]
    holds: int
    articles_free: int
    articles_out: int
    articles_owed: int
    events: int
    receivers: int
    receivers_failing: int
    events_to_send: int
    edition: int | None
    schema: int
    file_bytes: int
    log_bytes: int


def standing(workshop: Workshop) -> Figures:
    """Everything that is a state of the file. Raises WorldError where it cannot be read."""
    with workshop.database.reading() as section:
        free, out, owed = figures.articles(section)
        receivers, failing, to_send = figures.receivers(section)
        running = in_force(section, workshop.clock())
        orders, holds = figures.orders_by_state(section), figures.holds(section)
        events, schema = figures.events(section), figures.schema(section)
    try:
        file_bytes, log_bytes = figures.bytes_on_disk(workshop.path)
    except OSError as trouble:
        raise WorldError(f"{workshop.path}: {trouble.strerror or trouble}") from trouble
    return Figures(
        orders=orders,
        holds=holds,
        articles_free=free,
        articles_out=out,
        articles_owed=owed,
        events=events,
        receivers=receivers,
        receivers_failing=failing,
        events_to_send=to_send,
        edition=running.number if running else None,
        schema=schema,
        file_bytes=file_bytes,
        log_bytes=log_bytes,
    )

"""How the workshop stands in figures, for whoever watches the service: asked of the file each time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.actions.editions import in_force
from buildsheet.actions.serials import ORDER, WHEEL
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.storage import figures

DONE: Final = "done"


@dataclass(frozen=True, slots=True)
class Figures:
    """Counts of one moment.

    Orders and wheels by state; those that nothing is left to do for are together under ``done``, because
    to tell them apart is to read all years. ``edition`` is None before the first one runs; articles are
    told apart by whether pieces are free, none is, or more is held than lies there.
    """

    orders: Mapping[str, int]
    wheels: Mapping[str, int]
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
        orders = _with_done(figures.open_orders(section), figures.handed_out(section, ORDER))
        wheels = _with_done(figures.open_wheels(section), figures.handed_out(section, WHEEL))
        holds = figures.holds(section)
        events, schema = figures.events(section), figures.schema(section)
    try:
        file_bytes, log_bytes = figures.bytes_on_disk(workshop.path)
    except OSError as trouble:
        raise WorldError(f"{workshop.path}: {trouble.strerror or trouble}") from trouble
    return Figures(
        orders=orders,
        wheels=wheels,
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


def _with_done(still_open: Mapping[str, int], ever: int) -> dict[str, int]:
    """Every number that was given out is one order's or one wheel's: the rest is done."""
    return {**still_open, DONE: ever - sum(still_open.values())}

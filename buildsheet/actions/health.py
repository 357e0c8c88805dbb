"""Whether the workshop can work right now: file readable and writable, an edition loaded."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.editions import in_force
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.errors import WorldError
from buildsheet.storage import heartbeat


@dataclass(frozen=True, slots=True)
class Health:
    """``trouble`` is '' where the file could be written, else what the world said."""

    writable: bool
    edition: int | None
    trouble: str = ""


def health(workshop: Workshop) -> Health:
    """Write one row durably and look which edition runs."""
    try:
        with workshop.database.writing() as section:
            heartbeat.beat(section, stamp(workshop.clock()))
            running = in_force(section, workshop.clock())
    except WorldError as trouble:
        return Health(writable=False, edition=None, trouble=str(trouble))
    return Health(writable=True, edition=running.number if running else None)

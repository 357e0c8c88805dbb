"""Whether this workshop asks who somebody is."""

from __future__ import annotations

from buildsheet.actions.workshop import Workshop
from buildsheet.storage import people


def asks_nobody(workshop: Workshop) -> bool:
    """True as long as the workshop file never had a person or a key."""
    with workshop.database.looking() as section:
        return not people.is_anyone(section)

"""Whether this workshop asks who somebody is."""

from __future__ import annotations

from pathlib import Path
from time import monotonic
from typing import Final

from buildsheet.actions.workshop import Workshop
from buildsheet.storage import people

LATELY_S: Final = 0.1
"""How long what was seen of an open workshop counts for those who come after."""


class _Seen:
    """Workshop file -> when it was last seen to be open, since this process last added somebody."""

    def __init__(self) -> None:
        self.open_s: dict[Path, float] = {}


_seen: Final = _Seen()


def asks_nobody(workshop: Workshop) -> bool:
    """True as long as the workshop file never had a person or a key."""
    with workshop.database.looking() as section:
        return not people.is_anyone(section)


def asked_nobody_lately(workshop: Workshop) -> bool:
    """The same for what is asked at every request, as it was seen within the last tenth of a second.

    Whoever this process itself adds counts at once; the first whom another process adds, a moment later.
    """
    began_s = monotonic()
    # Whoever is added while this looks leaves these times to nobody.
    seen_open_s = _seen.open_s
    seen_s = seen_open_s.get(workshop.path)
    if seen_s is not None and began_s - seen_s < LATELY_S:
        return True
    is_open = asks_nobody(workshop)
    if is_open:
        seen_open_s[workshop.path] = began_s
    return is_open


def look_again() -> None:
    """Forget which workshops were open: somebody was added, by whatever path to the file."""
    _seen.open_s = {}

"""Editions out of the workshop file, read from their own texts once in a process."""

from __future__ import annotations

import threading
from datetime import datetime

from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.errors import WorldError
from buildsheet.storage import editions
from buildsheet.storage.database import Section
from buildsheet.storage.editions import StoredEdition

_read: dict[str, Edition] = {}
_reading = threading.Lock()


class NoEdition(WorldError):
    """The workshop file has no catalog edition yet."""

    def __init__(self, workshop: Workshop) -> None:
        super().__init__(
            f"{workshop.path}: no catalog edition is loaded; load one with: "
            f"buildsheet catalog load DIR --db {workshop.path}"
        )


def running_edition(workshop: Workshop) -> Edition:
    """The edition that new orders are held to: the highest number whose start has come by the
    workshop's clock; where none has come, the lowest number.

    Raises NoEdition where none is loaded.
    """
    with workshop.database.reading() as section:
        running = in_force(section, workshop.clock())
        if running is None:
            raise NoEdition(workshop)
        return _edition(section, running)


def newest_number(workshop: Workshop) -> int:
    """The highest number there is, also where it has yet to start: what a draft begins from.

    Raises NoEdition where none is loaded.
    """
    with workshop.database.reading() as section:
        newest = editions.newest(section)
    if newest is None:
        raise NoEdition(workshop)
    return newest.number


def in_force(section: Section, moment: datetime) -> StoredEdition | None:
    """The row of the edition that is in force at a moment, None where none is loaded.

    Asked anew each time: another process may have published in between.
    """
    stored = editions.everyone(section)
    for each in reversed(stored):
        if has_come(each.starts, moment):
            return each
    return stored[0] if stored else None


def has_come(starts: str, moment: datetime) -> bool:
    """Whether a start (RFC 3339 with zone) lies at or before a moment.

    >>> has_come("2031-05-01T06:00:00+02:00", datetime.fromisoformat("2031-05-01T04:00:00Z"))
    True
    """
    return datetime.fromisoformat(starts) <= moment


def edition_numbered(workshop: Workshop, number: int) -> Edition:
    """An edition by its number; an order stays held to its own. Raises KeyError for an unknown one."""
    with workshop.database.reading() as section:
        stored = editions.numbered(section, number)
        if stored is None:
            raise KeyError(number)
        return _edition(section, stored)


def edition_texts(workshop: Workshop, number: int | None = None) -> dict[str, str]:
    """Name -> text of the catalog files of the running edition, or of the one asked for.

    Raises NoEdition where none is loaded, KeyError for an unknown number.
    """
    with workshop.database.reading() as section:
        running = in_force(section, workshop.clock())
        if running is None:
            raise NoEdition(workshop)
        asked = running if number is None else editions.numbered(section, number)
        if asked is None:
            raise KeyError(number)
        return editions.files(section, asked.number)


def _edition(section: Section, stored: StoredEdition) -> Edition:
    known = _read.get(stored.digest)
    if known is not None:
        return known
    with _reading:
        known = _read.get(stored.digest)
        if known is None:
            edition, findings = read_catalog(editions.files(section, stored.number))
            if edition is None:
                # It was read once, so only a newer program or a damaged file gets here.
                said = "; ".join(finding.says for finding in findings[:3])
                raise WorldError(f"edition {stored.number} can no longer be read: {said}")
            known = _read[stored.digest] = edition
    return known

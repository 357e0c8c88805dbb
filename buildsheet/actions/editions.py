"""Editions out of the workshop file, read from their own texts once in a process."""

from __future__ import annotations

import threading

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
    """The edition that new orders are held to: the one with the highest number.

    Raises NoEdition where none is loaded.
    """
    with workshop.database.reading() as section:
        newest = editions.newest(section)
        if newest is None:
            raise NoEdition(workshop)
        return _edition(section, newest)


def edition_numbered(workshop: Workshop, number: int) -> Edition:
    """An edition by its number; an order stays held to its own. Raises KeyError for an unknown one."""
    with workshop.database.reading() as section:
        stored = editions.numbered(section, number)
        if stored is None:
            raise KeyError(number)
        return _edition(section, stored)


def edition_texts(workshop: Workshop) -> dict[str, str]:
    """Name -> text of the catalog files of the running edition."""
    with workshop.database.reading() as section:
        newest = editions.newest(section)
        if newest is None:
            raise NoEdition(workshop)
        return editions.files(section, newest.number)


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

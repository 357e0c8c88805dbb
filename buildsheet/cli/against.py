"""The edition that an order file is held against, and the workshop it comes from, if any."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.actions.editions import NoEdition, running_edition
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.edition import Edition
from buildsheet.cli.options import database_path
from buildsheet.errors import WorldError


@dataclass(frozen=True, slots=True)
class Against:
    """An edition, where it was found, and the workshop file where it was found in one."""

    edition: Edition
    place: str
    workshop: Workshop | None


@contextmanager
def edition_against(database: Path | None, catalog: Path | None) -> Iterator[Against]:
    """The edition of ``catalog`` where one is named, else the one running in the workshop file.

    Without a workshop file, and where none was asked for by name, it is the catalog that comes with
    the program. Raises WorldError where what was named is not there.
    """
    if catalog is not None:
        yield Against(_from(catalog), str(catalog), None)
        return
    path = database_path(database)
    if path.exists() or database is not None:
        workshop = open_workshop(path, create=False)
        try:
            edition = running_edition(workshop)
        except NoEdition:
            workshop.close()
            if database is not None:
                raise
        else:
            try:
                yield Against(edition, str(path), workshop)
            finally:
                workshop.close()
            return
    directory = demo_directory()
    yield Against(_from(directory), str(directory), None)


def _from(directory: Path) -> Edition:
    edition, findings = read_directory(directory)
    if edition is None:
        raise WorldError(
            f"{directory} is no sound catalog: {findings[0].says} "
            f"(all {len(findings)} faults: buildsheet catalog check {directory})"
        )
    return edition

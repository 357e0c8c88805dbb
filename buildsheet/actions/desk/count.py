"""Which edition is looked at: files in a directory, the running edition, or the draft; and its count."""

from __future__ import annotations

from pathlib import Path

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.actions.desk.standing import NoDraft, the_draft
from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import open_workshop
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.space.builds import Progress
from buildsheet.space.count import Count, count

Found = tuple[Edition | None, tuple[Finding, ...]]
"""An edition, or None and every fault that keeps it from being one."""


def edition_in(directory: Path | None, database: Path, *, is_draft: bool = False) -> Found:
    """The edition in a directory of catalog files; without one the running edition of the workshop
    file, or its draft; without a workshop file that of the catalog beside the program.

    Raises WorldError where a file cannot be read, NoDraft where none is open.
    """
    if directory is not None:
        return read_directory(directory)
    if not database.exists() and not is_draft:
        return read_directory(demo_directory())
    workshop = open_workshop(database, create=False)
    try:
        if not is_draft:
            return running_edition(workshop), ()
        draft = the_draft(workshop)
    finally:
        workshop.close()
    if draft is None:
        raise NoDraft
    return draft.edition, tuple(draft.findings)


def count_edition(edition: Edition, progress: Progress | None = None) -> Count:
    """How many wheels and sets the edition can build."""
    return count(edition, progress=progress)

"""The draft of the next edition, as the history of its edits: appended, never changed.

Every row has a version of its own that is never used again. The draft is open while its last row
neither publishes nor discards it; its texts are, file by file, the last that an edit wrote.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from buildsheet.storage.database import Section

Deed = Literal["begun", "edited", "carried", "published", "discarded"]
ENDS: Final = frozenset({"published", "discarded"})


@dataclass(frozen=True, slots=True)
class StoredEdit:
    """One row of the history. ``draft`` is the version that began it, ``what`` JSON text."""

    version: int
    draft: int
    based_on: int
    changed_at: str
    changed_by: str
    deed: Deed
    what: str


_SELECT = "select version, draft, based_on, changed_at, changed_by, deed, what from draft_edits "


def last(section: Section) -> StoredEdit | None:
    """The last row of all, also where it ended a draft."""
    row = section.row(_SELECT + "order by version desc limit 1")
    return StoredEdit(*row) if row else None


def numbered(section: Section, version: int) -> StoredEdit | None:
    """The edit that made a version; None where there never was one."""
    row = section.row(_SELECT + "where version = ?", version)
    return StoredEdit(*row) if row else None


def standing(section: Section) -> StoredEdit | None:
    """The last edit of the open draft; None where none is open."""
    found = last(section)
    return None if found is None or found.deed in ENDS else found


def history(section: Section, draft: int, after: int = 0) -> tuple[StoredEdit, ...]:
    """Every edit of a draft that came after a version, oldest first."""
    rows = section.rows(_SELECT + "where draft = ? and version > ? order by version", draft, after)
    return tuple(StoredEdit(*row) for row in rows)


def since(section: Section, version: int) -> tuple[StoredEdit, ...]:
    """Every edit of any draft that came after a version, oldest first."""
    rows = section.rows(_SELECT + "where version > ? order by version", version)
    return tuple(StoredEdit(*row) for row in rows)


def append(
    section: Section,
    *,
    draft: int | None,
    based_on: int,
    at: str,
    by: str,
    deed: Deed,
    what: str,
    files: Mapping[str, str | None] = {},
) -> StoredEdit:
    """Write one edit with the files it changed (None: taken out); ``draft`` None begins one."""
    row = section.one("select coalesce(max(version), 0) + 1 from draft_edits")
    version = int(row[0])
    edit = StoredEdit(version, version if draft is None else draft, based_on, at, by, deed, what)
    section.run(
        """
        insert into draft_edits (version, draft, based_on, changed_at, changed_by, deed, what)
        values (?, ?, ?, ?, ?, ?, ?)
        """,
        edit.version,
        edit.draft,
        edit.based_on,
        edit.changed_at,
        edit.changed_by,
        edit.deed,
        edit.what,
    )
    for name, body in sorted(files.items()):
        section.run(
            "insert into draft_files (version, name, body) values (?, ?, ?)", version, name, body
        )
    return edit


def files(section: Section, edit: StoredEdit) -> dict[str, str]:
    """Name -> text of every file of a draft as it stood after an edit, by name."""
    rows = section.rows(
        """
        select name, body from draft_files
        where version = (
            select max(version) from draft_files as newer
            where newer.name = draft_files.name and newer.version between ? and ?
        ) and body is not null
        order by name
        """,
        edit.draft,
        edit.version,
    )
    return dict(rows)

"""A spreadsheet of parts against the draft: first what it would do, then, if wanted, all of it."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.desk import draft as drafts
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import NoEdition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import PartChange
from buildsheet.catalog.tables.comparing import Compared, compared
from buildsheet.catalog.tables.reading import read_table
from buildsheet.findings import Finding, Value
from buildsheet.storage import editions


@dataclass(frozen=True, slots=True)
class TableImport:
    """What a spreadsheet does to the draft.

    ``version`` is the draft's that it was compared with, None where no draft is open: then it was
    compared with the newest edition, which a new draft would copy. ``applied`` is the draft after it,
    None for a dry run and for a file with findings.
    """

    version: int | None
    changes: tuple[PartChange, ...]
    unchanged: int
    findings: tuple[Finding, ...]
    applied: Draft | None = None

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        return {
            "ok": not self.findings,
            "applied": self.applied.version if self.applied else None,
            "draft_version": self.version,
            "changes": [dict(each.as_json()) for each in self.changes],
            "unchanged": self.unchanged,
            "findings": [dict(each.as_json()) for each in self.findings],
        }


def try_table(workshop: Workshop, name: str, data: bytes, kind: str | None = None) -> TableImport:
    """What the file would change in the draft, and every fault that it has or would make.

    ``name`` and ``kind`` as `buildsheet.catalog.tables.reading.read_table` has them. Raises NoEdition.
    """
    found, version = _compared(workshop, name, data, kind)
    return TableImport(version, found.changes, found.unchanged, found.findings)


def import_table(
    workshop: Workshop,
    name: str,
    data: bytes,
    kind: str | None = None,
    *,
    version: int | None = None,
    by: str,
) -> TableImport:
    """The file put into the draft, all of it or, with any finding, nothing of it. A draft is begun
    where none is open.

    ``version`` is the draft's that somebody has seen; None takes the draft as it is now. Raises
    NoEdition, NoDraft, StaleDraft.
    """
    found, seen = _compared(workshop, name, data, kind)
    if found.findings or not found.edits:
        return TableImport(seen, found.changes, found.unchanged, found.findings)
    if seen is None and version is None:
        seen = drafts.begin(workshop, by).version
    # Bound to what it was compared with: whoever is quicker in between makes it stale.
    wanted = seen if version is None else version
    made = drafts.change(workshop, found.edits, version=wanted, by=by)
    if made.draft is None:
        return TableImport(seen, found.changes, found.unchanged, made.findings)
    return TableImport(seen, found.changes, found.unchanged, (), made.draft)


def _compared(
    workshop: Workshop, name: str, data: bytes, kind: str | None
) -> tuple[Compared, int | None]:
    imported = read_table(name, data, kind)
    draft = drafts.the_draft(workshop)
    if draft is not None:
        return compared(draft.texts, imported), draft.version
    with workshop.database.reading() as section:
        newest = editions.newest(section)
        if newest is None:
            raise NoEdition(workshop)
        texts = editions.files(section, newest.number)
    return compared(texts, imported), None

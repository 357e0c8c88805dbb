"""What a draft says differently from the edition it was made from, and what stands before publishing it."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.desk.documents import draft_differences
from buildsheet.actions.desk.papers import list_editions
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import Differences
from buildsheet.catalog.evidence import unproved
from buildsheet.catalog.second_person import needs_second_person
from buildsheet.findings import Finding


@dataclass(frozen=True, slots=True)
class Compared:
    """The differences, also of a faulty draft, and a sentence for each of them that a second person has
    to approve. ``outrun`` is an edition that was published after the draft was begun, else None;
    ``unproved`` what new and changed parts have still to prove, empty while the draft is faulty."""

    changes: Differences
    second_person: tuple[str, ...]
    outrun: int | None
    unproved: tuple[Finding, ...]


def compare_draft(workshop: Workshop, draft: Draft) -> Compared:
    """The draft beside its edition."""
    changes = draft_differences(workshop, draft)
    newest = max(each.number for each in list_editions(workshop))
    outrun = newest if newest > draft.based_on else None
    second = needs_second_person(changes)
    return Compared(changes, second, outrun, _unproved(workshop, draft, changes))


def _unproved(workshop: Workshop, draft: Draft, changes: Differences) -> tuple[Finding, ...]:
    if draft.edition is None:
        return ()
    before = edition_numbered(workshop, draft.based_on)
    return tuple(
        finding
        for each in changes.parts
        if each.what != "dropped"
        for finding in unproved(
            getattr(draft.edition, each.kind)[each.code],
            getattr(before, each.kind).get(each.code),
        )
    )

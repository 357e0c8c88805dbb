"""What a draft says differently from the edition it was made from, and who has to look at that."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.desk.documents import draft_differences
from buildsheet.actions.desk.papers import list_editions
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import Differences
from buildsheet.catalog.second_person import needs_second_person


@dataclass(frozen=True, slots=True)
class Compared:
    """The differences, also of a faulty draft, and a sentence for each of them that a second person has
    to approve. ``outrun`` is an edition that was published after the draft was begun, else None."""

    changes: Differences
    second_person: tuple[str, ...]
    outrun: int | None


def compare_draft(workshop: Workshop, draft: Draft) -> Compared:
    """The draft beside its edition."""
    changes = draft_differences(workshop, draft)
    newest = max(each.number for each in list_editions(workshop))
    outrun = newest if newest > draft.based_on else None
    return Compared(changes, needs_second_person(changes), outrun)

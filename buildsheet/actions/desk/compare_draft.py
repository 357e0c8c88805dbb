"""What a draft says differently from the edition it was made from, and who has to look at that."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import edition_numbered
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import Differences, differences
from buildsheet.catalog.second_person import needs_second_person


@dataclass(frozen=True, slots=True)
class Compared:
    """The differences, and a sentence for each of them that a second person has to approve."""

    changes: Differences
    second_person: tuple[str, ...]


def compare_draft(workshop: Workshop, draft: Draft) -> Compared | None:
    """None where the draft cannot be read for its faults."""
    if draft.edition is None:
        return None
    changes = differences(edition_numbered(workshop, draft.based_on), draft.edition)
    return Compared(changes, needs_second_person(changes))

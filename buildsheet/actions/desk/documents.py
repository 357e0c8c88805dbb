"""What the desk answers, as documents: the same on the command line and over HTTP."""

from __future__ import annotations

from buildsheet.actions.desk.approve import approvals_of_draft
from buildsheet.actions.desk.draft import Draft, history
from buildsheet.actions.desk.papers import EditionLine
from buildsheet.actions.desk.publish import Published, in_the_way
from buildsheet.actions.editions import edition_numbered, edition_texts
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.as_written import differences_as_written
from buildsheet.catalog.differences import Differences, differences
from buildsheet.catalog.second_person import needs_second_person
from buildsheet.findings import Value


def draft_differences(workshop: Workshop, draft: Draft) -> Differences:
    """What the draft says differently from the edition it is based on; as written, while it is faulty."""
    if draft.edition is None:
        return differences_as_written(edition_texts(workshop, draft.based_on), draft.texts)
    return differences(edition_numbered(workshop, draft.based_on), draft.edition)


def draft_document(workshop: Workshop, draft: Draft) -> dict[str, Value]:
    """The draft without its texts: what is wrong with it, what it changes, who did what."""
    changed = draft_differences(workshop, draft)
    done = [each for each in history(workshop) if each.version <= draft.version]
    return {
        "version": draft.version,
        "number": draft.number,
        "based_on": draft.based_on,
        "changed_by": draft.changed_by,
        "changed_at": draft.changed_at,
        "sound": draft.edition is not None,
        "findings": [each.as_json() for each in draft.findings],
        "in_the_way": [each.as_json() for each in in_the_way(workshop, draft)],
        "differences": changed.as_json(),
        "second_person": list(needs_second_person(changed)),
        "approvals": [
            {"by": each.by, "at": each.at} for each in approvals_of_draft(workshop, draft.version)
        ],
        "history": [each.as_json() for each in done],
    }


def published_document(published: Published) -> dict[str, Value]:
    """An edition that was just published, in the form of the list of editions."""
    paper = published.paper
    return {
        "number": published.edition.number,
        "standing": "running" if published.in_force else "scheduled",
        "digest": published.edition.digest,
        "starts": published.edition.house.starts,
        "published_at": paper.published_at,
        "kind": paper.kind,
        "author": paper.author,
        "approver": paper.approver,
        "reason": paper.reason,
        "based_on": paper.based_on,
        "equal_to": paper.equal_to,
        "before": paper.based_on,
        "differences": published.differences.as_json(),
        "second_person": list(published.second),
    }


def editions_document(lines: tuple[EditionLine, ...]) -> dict[str, Value]:
    """The list of editions, the newest first."""
    running = [line.number for line in lines if line.standing == "running"]
    return {
        "running": running[0] if running else None,
        "editions": [line.as_json() for line in lines],
    }

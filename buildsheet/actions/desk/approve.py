"""The second person's own deed: somebody who is signed in has looked at a draft, and stands for it.

What is approved is a version, quoted: any later edit makes another version, which nobody has approved. In
a workshop that asks nobody who they are, the second name is typed at publishing instead.
"""

from __future__ import annotations

import json

from buildsheet.actions.desk.codes import desk_finding
from buildsheet.actions.desk.people import is_same_person
from buildsheet.actions.desk.publish import Refused, newest_edition, stands_in_the_way
from buildsheet.actions.desk.standing import draft_of, standing_at
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.findings import Finding
from buildsheet.storage import approvals, editions, events, people
from buildsheet.storage.approvals import StoredApproval
from buildsheet.storage.database import Section

__all__ = [
    "StoredApproval",
    "approvals_of_again",
    "approvals_of_draft",
    "approve_again",
    "approve_draft",
]


def approve_draft(
    workshop: Workshop, person: str | None, *, version: int
) -> StoredApproval | Refused:
    """The approval of a version of the draft by a person who is signed in and may (None: nobody did, or a
    system); refused where the draft cannot be published as it is. Raises NoDraft, StaleDraft."""
    with workshop.database.writing() as section:
        standing = standing_at(section, version)
        against = stands_in_the_way(section, draft_of(section, standing))
        in_the_way = [
            *_not_a_person(section, person),
            *(each for each in against if each.blocks),
        ]
        if in_the_way or person is None:
            return Refused(tuple(in_the_way))
        return _keep(workshop, section, approvals.of_draft(standing.version), person)


def approve_again(
    workshop: Workshop, person: str | None, to: int, *, newest: int | None = None
) -> StoredApproval | Refused:
    """The approval of edition ``to`` taken up again in place of the ``newest`` one, which is quoted (None:
    whichever). Raises KeyError for an unknown edition."""
    with workshop.database.writing() as section:
        if editions.numbered(section, to) is None:
            raise KeyError(to)
        now = newest_edition(section).number
        in_the_way = [*_not_a_person(section, person)]
        if newest not in (None, now):
            says = f"Edition {now} is the newest, and edition {newest} was looked at. Look again."
            in_the_way.append(desk_finding("data.draft-outrun", "/newest", says))
        if in_the_way or person is None:
            return Refused(tuple(in_the_way))
        return _keep(workshop, section, approvals.of_edition(to, now), person)


def approvals_of_draft(workshop: Workshop, version: int) -> tuple[StoredApproval, ...]:
    """Who approved this version."""
    with workshop.database.reading() as section:
        return approvals.of(section, approvals.of_draft(version))


def approvals_of_again(workshop: Workshop, to: int, newest: int) -> tuple[StoredApproval, ...]:
    """Who approved that edition ``to`` is taken up again in place of the newest."""
    with workshop.database.reading() as section:
        return approvals.of(section, approvals.of_edition(to, newest))


def _keep(workshop: Workshop, section: Section, subject: str, person: str) -> StoredApproval:
    for each in approvals.of(section, subject):
        if is_same_person(each.by, person):
            return each
    made = StoredApproval(subject, person, stamp(workshop.clock()))
    approvals.insert(section, made)
    facts = json.dumps({"subject": subject})
    events.append(section, at=made.at, kind="edition.approved", facts=facts)
    return made


def _not_a_person(section: Section, person: str | None) -> list[Finding]:
    """What keeps somebody from approving; none for a person who is signed in."""
    if not people.is_anyone(section):
        says = "Nobody signs in here: the second person's name is typed at publishing."
    elif person is None:
        says = "Approving is a person's own deed: sign in. A key stands for a system."
    else:
        return []
    return [desk_finding("data.approver-unknown", "", says)]

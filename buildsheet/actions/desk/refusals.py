"""What can stand against an edition: its content, its start, whoever signs it. Gathered, never raised."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from buildsheet.actions.desk.codes import desk_finding
from buildsheet.actions.desk.people import NoName, is_same_person, name_of
from buildsheet.actions.desk.standing import Draft
from buildsheet.actions.editions import has_come, in_force
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.differences import differences
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.evidence import unproved
from buildsheet.catalog.house import MOMENT
from buildsheet.findings import Change, Finding
from buildsheet.storage.database import Section
from buildsheet.storage.editions import StoredEdition

RFC_3339: Final = re.compile(MOMENT)
NOW: Final = ""
"""Stands for a start that is the moment of publishing."""


@dataclass(frozen=True, slots=True)
class Signed:
    """Who publishes and why, as typed. ``by_deed``: the approver is one of those who ``approved``,
    not who was typed."""

    author: str
    approver: str | None
    reason: str
    starts: str | None
    by_deed: bool = False
    approved: tuple[str, ...] = ()


def start_faults(workshop: Workshop, section: Section, start: str) -> tuple[Finding, ...]:
    """What speaks against a start: its form, or the edition that is in force already."""
    if start == NOW:
        return ()
    try:
        moment = datetime.fromisoformat(start) if RFC_3339.fullmatch(start) else None
    except ValueError:
        moment = None
    if moment is None:
        says = f"The start {start[:60]!r} is no moment with a zone, like 2031-05-01T06:00:00+02:00."
        return (desk_finding("data.starts-form", "/starts", says),)
    running = in_force(section, workshop.clock())
    if running is None or not has_come(running.starts, workshop.clock()):
        return ()
    if moment >= datetime.fromisoformat(running.starts):
        return ()
    says = f"It would start before edition {running.number}, which started {running.starts}."
    return (
        desk_finding(
            "data.starts-early",
            "/starts",
            says,
            have={"starts": start},
            need={"starts_from": running.starts},
            try_=(Change("/starts", (running.starts,)),),
        ),
    )


def _who_is_missing(signed: Signed) -> str:
    """Where people sign in: who has approved, and who has yet to."""
    pair = "Two people who have signed in stand for this, the author and one who approved"
    others = [each for each in signed.approved if not is_same_person(each, signed.author)]
    if others:
        return (
            f"{pair}. {others[0]} has approved it, {signed.author} (not signed in here) has yet to"
        )
    if signed.approved:
        return f"{pair}. Only {signed.author} has approved it, and somebody else has yet to"
    return f"{pair}. Nobody has approved it yet"


def signature_faults(signed: Signed, second: tuple[str, ...]) -> Iterator[Finding]:
    """What is missing on the paper; ``second`` are the things that two people have to sign."""
    try:
        name_of(signed.author)
    except NoName as missing:
        yield desk_finding("data.author-missing", "/author", f"No author: {missing}.")
    if not signed.reason.strip():
        yield desk_finding("data.reason-missing", "/reason", "No reason is given.")
    if not (signed.approver or "").strip():
        if second:
            who = (
                _who_is_missing(signed) if signed.by_deed else "A second person has to approve this"
            )
            says = f"{who}: {' '.join(second)}"
            yield desk_finding("data.second-person", "/approver", says, have={"count": len(second)})
        return
    try:
        approver = name_of(signed.approver)
    except NoName as missing:
        yield desk_finding("data.second-person", "/approver", f"No approver: {missing}.")
        return
    if is_same_person(signed.author, approver):
        says = f"{approver} is the author; a second person has to approve."
        yield desk_finding("data.same-person", "/approver", says)


def content_faults(draft: Draft, newest: StoredEdition, before: Edition) -> list[Finding]:
    """What stands against the draft whoever signs it; ``before`` is the newest edition, read."""
    overtaken = [_outrun(draft.based_on, newest.number)] if draft.based_on != newest.number else []
    return [*draft.findings, *overtaken, *_unproved(before, draft.edition)]


def nothing_changed(
    workshop: Workshop, newest: StoredEdition, start: str, before: Edition, edition: Edition | None
) -> list[Finding]:
    """Whether the newest edition is in force and says the same, and no other start is asked for."""
    is_same = edition is not None and not differences(before, edition)
    if not is_same or start != NOW or not has_come(newest.starts, workshop.clock()):
        return []
    says = f"Edition {newest.number} is in force and says the same."
    return [desk_finding("data.nothing-changed", "", says, have={"edition": newest.number})]


def _unproved(before: Edition, edition: Edition | None) -> Iterator[Finding]:
    """What new and changed parts have to prove."""
    for change in differences(before, edition).parts if edition else ():
        if change.what != "dropped":
            part = getattr(edition, change.kind)[change.code]
            yield from unproved(part, getattr(before, change.kind).get(change.code))


def _outrun(based_on: int, newest: int) -> Finding:
    says = (
        f"Edition {newest} was published after this draft was begun on edition {based_on}. "
        f"Put the draft on edition {newest}, look at its differences again, and publish then."
    )
    return desk_finding(
        "data.draft-outrun", "", says, have={"based_on": based_on}, need={"based_on": newest}
    )

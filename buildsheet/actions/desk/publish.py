"""A draft becomes an edition, whole or not at all; an older edition is taken up again as a new one.

Orders already taken keep the edition they were taken under: nothing here touches them. Everything is
judged and written in one write section, so that a crash leaves the file as it was before or after.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace

from buildsheet.actions.desk.draft import close
from buildsheet.actions.desk.people import is_same_person, name_of
from buildsheet.actions.desk.refusals import (
    NOW,
    Signed,
    content_faults,
    nothing_changed,
    signature_faults,
    start_faults,
)
from buildsheet.actions.desk.standing import Draft, draft_of, read_once, standing_at
from buildsheet.actions.editions import has_come
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.amending.tables import with_value
from buildsheet.catalog.differences import Differences, differences
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import HOUSE_FILE
from buildsheet.catalog.second_person import needs_second_person
from buildsheet.errors import WorldError
from buildsheet.findings import Finding, in_stable_order
from buildsheet.storage import approvals, editions, events, people
from buildsheet.storage.database import Section
from buildsheet.storage.editions import StoredEdition, StoredPaper


@dataclass(frozen=True, slots=True)
class Published:
    """The edition that was published, its paper, and what it says differently from the one before.

    ``second`` are the things that wanted a second person. ``in_force`` is False for a start to come.
    """

    edition: Edition
    paper: StoredPaper
    differences: Differences
    second: tuple[str, ...]
    in_force: bool


@dataclass(frozen=True, slots=True)
class Refused:
    """Everything that stands in the way, at once."""

    findings: tuple[Finding, ...]
    second: tuple[str, ...] = ()


def publish(
    workshop: Workshop,
    *,
    version: int | None,
    author: str,
    approver: str | None = None,
    reason: str,
    starts: str | None = None,
    proved: bool = False,
) -> Published | Refused:
    """The draft, published under its number.

    ``starts`` (RFC 3339): a moment to come schedules the edition; absent, it is the one that the draft's
    house file was given, else the moment of publishing. A second person is needed for whatever
    `needs_second_person` names: who approved this version (`actions.desk.approve`), and only where nobody
    signs in the typed ``approver``. ``proved``: the author is signed in. Raises NoDraft, StaleDraft.
    """
    with workshop.database.writing() as section:
        standing = standing_at(section, version)
        subject = approvals.of_draft(standing.version)
        signed = _signed(section, subject, Signed(author, approver, reason, starts), proved)
        draft = draft_of(section, standing)
        newest = _newest(section)
        before = _read(section, newest)
        start = (starts or "").strip() or _own_start(draft.edition, before)
        texts, edition = dict(draft.texts), draft.edition
        findings = content_faults(draft, newest, before)
        if edition is not None and not start_faults(workshop, section, start):
            texts, edition = _started(workshop, texts, start)
        refused = _refusal(workshop, section, signed, start, before, edition, findings)
        if refused is not None or edition is None:
            return refused or Refused(tuple(findings))
        paper = _paper(workshop, edition, signed, "published", newest.number, None)
        published = _insert(workshop, section, edition, texts, paper, before)
        says = f"published as edition {edition.number}"
        close(workshop, section, standing, paper.author, "published", says)
        return published


def in_the_way(workshop: Workshop, draft: Draft) -> tuple[Finding, ...]:
    """What stands against publishing the draft, whoever publishes it: its faults, an edition that has
    overtaken it, and what its new and changed parts have yet to prove."""
    with workshop.database.reading() as section:
        return in_stable_order(stands_in_the_way(section, draft))


def stands_in_the_way(section: Section, draft: Draft) -> list[Finding]:
    """The same inside a section, in no order."""
    newest = _newest(section)
    return content_faults(draft, newest, _read(section, newest))


def newest_edition(section: Section) -> StoredEdition:
    """The newest edition of a workshop that has one."""
    return _newest(section)


def _signed(section: Section, subject: str, typed: Signed, proved: bool) -> Signed:
    """What counts as signed: where people sign in, the second person is who approved, and no typed name. An
    author who has not ``proved`` who they are (a key, a command) counts as one of the two by approving too.
    """
    if not people.is_anyone(section):
        return typed
    names = [each.by for each in approvals.of(section, subject)]
    others = [each for each in names if not is_same_person(each, typed.author)]
    author_is_known = proved or len(others) < len(names)
    approver = others[0] if others and author_is_known else None
    return replace(typed, approver=approver, by_deed=True, approved=tuple(names))


def roll_back(
    workshop: Workshop,
    to: int,
    *,
    author: str,
    approver: str | None = None,
    reason: str,
    starts: str | None = None,
    proved: bool = False,
) -> Published | Refused:
    """A new edition that says what edition ``to`` said. An open draft stays, and must be carried over.
    Refused where the edition in force says the same already, unless it is to start at another moment.

    Raises KeyError for an unknown edition.
    """
    with workshop.database.writing() as section:
        if editions.numbered(section, to) is None:
            raise KeyError(to)
        newest = _newest(section)
        subject = approvals.of_edition(to, newest.number)
        signed = _signed(section, subject, Signed(author, approver, reason, starts), proved)
        before = _read(section, newest)
        start = (starts or "").strip() or NOW
        texts = editions.files(section, to)
        texts[HOUSE_FILE] = with_value(texts[HOUSE_FILE], "edition", newest.number + 1)
        edition: Edition | None = None
        if not start_faults(workshop, section, start):
            texts, edition = _started(workshop, texts, start)
        findings = nothing_changed(workshop, newest, start, before, edition)
        refused = _refusal(workshop, section, signed, start, before, edition, findings)
        if refused is not None or edition is None:
            return refused or Refused(())
        paper = _paper(workshop, edition, signed, "rolled-back", newest.number, to)
        return _insert(workshop, section, edition, texts, paper, before)


@dataclass(frozen=True, slots=True)
class Again:
    """What an older edition, taken up again, would change about the newest one, and which of that wants
    a second person."""

    before: int
    differences: Differences
    second: tuple[str, ...]


def taken_up_again(workshop: Workshop, to: int) -> Again:
    """Roll-back before it is done. Raises KeyError for an unknown edition."""
    with workshop.database.reading() as section:
        older, newest = editions.numbered(section, to), _newest(section)
        if older is None:
            raise KeyError(to)
        changed = differences(_read(section, newest), _read(section, older))
    return Again(newest.number, changed, needs_second_person(changed))


def found(
    workshop: Workshop, section: Section, edition: Edition, texts: Mapping[str, str], by: str
) -> StoredPaper:
    """The first edition of an empty workshop file: there is nothing to compare it with."""
    signed = Signed(by, None, "The first edition of this workshop.", None)
    paper = _paper(workshop, edition, signed, "founding", None, None)
    _store(section, edition, texts, paper)
    facts = json.dumps({"edition": edition.number, "digest": edition.digest})
    events.append(section, at=paper.published_at, kind="edition.loaded", facts=facts)
    return paper


def _refusal(
    workshop: Workshop,
    section: Section,
    signed: Signed,
    start: str,
    before: Edition,
    edition: Edition | None,
    findings: list[Finding],
) -> Refused | None:
    """All that is in the way, None where nothing is."""
    second = needs_second_person(differences(before, edition)) if edition else ()
    found = [
        *findings,
        *start_faults(workshop, section, start),
        *signature_faults(signed, second),
    ]
    blocking = [each for each in found if each.blocks]
    return Refused(in_stable_order(found), second) if blocking else None


def _own_start(edition: Edition | None, before: Edition) -> str:
    """The start that was typed into the draft; one that was only copied is none."""
    if edition is None or edition.house.starts == before.house.starts:
        return NOW
    return edition.house.starts


def _started(
    workshop: Workshop, texts: Mapping[str, str], start: str
) -> tuple[dict[str, str], Edition | None]:
    moment = stamp(workshop.clock()) if start == NOW else start
    done = {**texts, HOUSE_FILE: with_value(texts[HOUSE_FILE], "starts", moment)}
    edition, _ = read_once(done)
    return done, edition


def _newest(section: Section) -> StoredEdition:
    newest = editions.newest(section)
    if newest is None:
        raise KeyError("no edition")
    return newest


def _read(section: Section, stored: StoredEdition) -> Edition:
    edition, findings = read_once(editions.files(section, stored.number))
    if edition is None:
        said = "; ".join(each.says for each in findings[:3])
        raise WorldError(f"edition {stored.number} can no longer be read: {said}")
    return edition


def _paper(
    workshop: Workshop,
    edition: Edition,
    signed: Signed,
    kind: str,
    based_on: int | None,
    equal_to: int | None,
) -> StoredPaper:
    return StoredPaper(
        edition=edition.number,
        kind=kind,
        author=name_of(signed.author),
        approver=name_of(signed.approver) if (signed.approver or "").strip() else None,
        reason=signed.reason.strip(),
        based_on=based_on,
        equal_to=equal_to,
        published_at=stamp(workshop.clock()),
    )


def _insert(
    workshop: Workshop,
    section: Section,
    edition: Edition,
    texts: Mapping[str, str],
    paper: StoredPaper,
    before: Edition,
) -> Published:
    _store(section, edition, texts, paper)
    facts = {
        "edition": edition.number,
        "digest": edition.digest,
        "starts": edition.house.starts,
        "equal_to": paper.equal_to,
    }
    at = paper.published_at
    events.append(section, at=at, kind="edition.published", facts=json.dumps(facts))
    changed = differences(before, edition)
    return Published(
        edition=edition,
        paper=paper,
        differences=changed,
        second=needs_second_person(changed),
        in_force=has_come(edition.house.starts, workshop.clock()),
    )


def _store(
    section: Section, edition: Edition, texts: Mapping[str, str], paper: StoredPaper
) -> None:
    stored = StoredEdition(edition.number, edition.digest, edition.house.starts, paper.published_at)
    editions.insert(section, stored, texts)
    editions.insert_paper(section, paper)

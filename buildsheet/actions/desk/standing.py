"""The open draft as it stands, its history, and what is told to somebody who was overtaken."""

from __future__ import annotations

import json
import threading
import tomllib
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final

from buildsheet.actions.codes import recorded
from buildsheet.actions.desk.codes import desk_finding
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import HOUSE_FILE, read_catalog
from buildsheet.errors import CallerError
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.storage import drafts, editions
from buildsheet.storage.database import Section
from buildsheet.storage.drafts import StoredEdit

REMEMBERED: Final = 8
"""Readings of texts that are kept: a draft's last versions, and what they are compared with."""

Read = tuple[Edition | None, tuple[Finding, ...]]

_read: OrderedDict[str, Read] = OrderedDict()
_reading = threading.Lock()


@dataclass(frozen=True, slots=True)
class Draft:
    """The edition that is being prepared, as it stood after one edit.

    ``edition`` is None where ``findings`` say why: then it cannot be published. ``begun`` is the
    version with which it began.
    """

    version: int
    based_on: int
    number: int
    texts: Mapping[str, str]
    edition: Edition | None
    findings: tuple[Finding, ...]
    changed_by: str
    changed_at: str
    begun: int


@dataclass(frozen=True, slots=True)
class DraftEdit:
    """One line of a draft's history: who did what, when, and which version that made."""

    version: int
    deed: str
    says: str
    changed_by: str
    changed_at: str
    edits: tuple[dict[str, Any], ...] = ()

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        return {
            "version": self.version,
            "deed": self.deed,
            "says": self.says,
            "changed_by": self.changed_by,
            "changed_at": self.changed_at,
            "edits": list(self.edits),
        }


class NoDraft(CallerError):
    """No draft is open."""

    def __init__(self) -> None:
        super().__init__("no draft is open; begin one first")


class DraftOpen(CallerError):
    """A draft is open already, and there is one at a time."""

    def __init__(self, draft: StoredEdit) -> None:
        super().__init__(
            f"a draft is open already, in version {draft.version}, last changed by {draft.changed_by}; "
            "publish or discard it first"
        )


class StaleDraft(CallerError):
    """An edit was made from a version that is no longer the last. ``since``: what changed after it."""

    def __init__(self, version: int, standing: int | None, since: tuple[DraftEdit, ...]) -> None:
        told = "; ".join(f"{each.changed_by}: {each.says}" for each in since[-5:])
        now = f"in version {standing}" if standing else "closed"
        super().__init__(
            f"the draft is {now}, this was made from version {version}. Since then: {told or 'nothing'}"
        )
        self.version = version
        self.standing = standing
        self.since = since


def the_draft(workshop: Workshop) -> Draft | None:
    """The open draft, None where none is open."""
    with workshop.database.reading() as section:
        standing = drafts.standing(section)
        return None if standing is None else draft_of(section, standing)


def history(workshop: Workshop) -> tuple[DraftEdit, ...]:
    """Every edit of the open draft, oldest first; empty where none is open."""
    with workshop.database.reading() as section:
        standing = drafts.standing(section)
        if standing is None:
            return ()
        return tuple(map(line_of, drafts.history(section, standing.draft)))


def as_finding(stale: StaleDraft) -> Finding:
    """What is told to somebody who was overtaken, with every edit that came in between."""
    return desk_finding(
        "data.draft-stale",
        "",
        f"{str(stale)[:1].upper()}{str(stale)[1:]}.",
        have={"version": stale.version, "since": [each.as_json() for each in stale.since]},
        need={"version": stale.standing},
    )


def draft_of(section: Section, edit: StoredEdit) -> Draft:
    """The draft as it stood after an edit."""
    texts = drafts.files(section, edit)
    edition, findings = read_once(texts)
    newest = editions.newest(section)
    if edition is not None and newest is not None:
        findings = in_stable_order([*findings, *_number_taken(section, edition, newest.number)])
    number = number_in(texts) or (newest.number + 1 if newest else 1)
    return Draft(
        version=edit.version,
        based_on=edit.based_on,
        number=number,
        texts=texts,
        edition=None if any(each.blocks for each in findings) else edition,
        findings=findings,
        changed_by=edit.changed_by,
        changed_at=edit.changed_at,
        begun=edit.draft,
    )


def standing_at(section: Section, version: int | None) -> StoredEdit:
    """The open draft's last edit, where it is the version that was brought back (None: whichever).

    Raises NoDraft, StaleDraft.
    """
    standing = drafts.standing(section)
    if version is not None and (standing is None or standing.version != version):
        since = tuple(map(line_of, drafts.since(section, version)))
        if standing is not None or since:
            raise StaleDraft(version, standing.version if standing else None, since)
    if standing is None:
        raise NoDraft
    return standing


def line_of(edit: StoredEdit) -> DraftEdit:
    """A stored edit as a line of the history."""
    what = json.loads(edit.what)
    return DraftEdit(
        version=edit.version,
        deed=edit.deed,
        says=what["says"],
        changed_by=edit.changed_by,
        changed_at=edit.changed_at,
        edits=tuple(what.get("edits", ())),
    )


def read_once(texts: Mapping[str, str]) -> Read:
    """What `read_catalog` says of these texts, read once in a process while they are asked for."""
    whole = json.dumps(sorted(texts.items())).encode()
    key = sha256(whole).hexdigest()
    with _reading:
        found = _read.get(key)
        if found is not None:
            _read.move_to_end(key)
            return found
    found = read_catalog(texts)
    with _reading:
        _read[key] = found
        while len(_read) > REMEMBERED:
            _read.popitem(last=False)
    return found


def _number_taken(section: Section, edition: Edition, newest: int) -> list[Finding]:
    if edition.number > newest:
        return []
    at, next_number = f"/{HOUSE_FILE}/edition", newest + 1
    if editions.numbered(section, edition.number) is not None:
        code, what = "data.edition-frozen", "is published already; an edition is never edited"
    else:
        code, what = "data.edition-older", f"comes before edition {newest}, which is published"
    return [
        recorded(
            code,
            at,
            f"Edition {edition.number} {what}. The next number is {next_number}.",
            edition=edition.number,
            have={"edition": edition.number},
            need={"edition_from": next_number},
        )
    ]


def number_in(texts: Mapping[str, str]) -> int | None:
    """The number that the house file gives, None where it cannot be read."""
    said = _in_house(texts, "edition")
    return said if isinstance(said, int) and not isinstance(said, bool) else None


def starts_in(texts: Mapping[str, str]) -> str | None:
    """The start that the house file gives, None where it cannot be read."""
    said = _in_house(texts, "starts")
    return said if isinstance(said, str) else None


def _in_house(texts: Mapping[str, str], key: str) -> object:
    try:
        return tomllib.loads(texts.get(HOUSE_FILE, "")).get(key)
    except (ValueError, RecursionError):
        return None

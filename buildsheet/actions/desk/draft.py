"""Every way in which the draft of the next edition changes.

There is one draft at a time. Each function but `begin` takes the version that the change was made
from and raises `StaleDraft` where somebody was quicker; ``version`` None stands for the draft as it is
now. What comes back is the draft with everything that is wrong with it: a draft may be wrong.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from buildsheet.actions.desk.edit_said import edit_said
from buildsheet.actions.desk.people import name_of
from buildsheet.actions.desk.standing import (
    Draft,
    DraftEdit,
    DraftOpen,
    NoDraft,
    StaleDraft,
    draft_of,
    history,
    line_of,
    number_in,
    read_once,
    standing_at,
    starts_in,
    the_draft,
)
from buildsheet.actions.editions import NoEdition
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.amending.edits import (
    DEFAULT_SUBJECT,
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
    as_document,
)
from buildsheet.catalog.amending.tables import Unreadable, with_value
from buildsheet.catalog.reading import HOUSE_FILE
from buildsheet.errors import CallerError
from buildsheet.findings import Finding, Value
from buildsheet.storage import drafts, editions
from buildsheet.storage.database import Section
from buildsheet.storage.drafts import Deed, StoredEdit

__all__ = [
    "Changed",
    "Draft",
    "DraftEdit",
    "DraftOpen",
    "EditRefused",
    "NoDraft",
    "StaleDraft",
    "begin",
    "carry_over",
    "change",
    "discard",
    "drop_part",
    "drop_rule",
    "history",
    "put_house",
    "put_part",
    "put_rule",
    "replace_texts",
    "the_draft",
]


@dataclass(frozen=True, slots=True)
class Changed:
    """The draft after a list of edits; None where an edit could not be made, and then none was."""

    draft: Draft | None
    findings: tuple[Finding, ...]


class EditRefused(CallerError):
    """An edit names something that is not there, or is not written as an edit; ``findings`` say what."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(each.says for each in findings))
        self.findings = findings


def begin(workshop: Workshop, by: str) -> Draft:
    """A new draft: a copy of the newest edition, under the next number.

    The newest, also where it has not started yet: what it changed must not be lost. Raises DraftOpen,
    NoEdition.
    """
    with workshop.database.writing() as section:
        return draft_of(section, begun(workshop, section, by))


def begun(workshop: Workshop, section: Section, by: str) -> StoredEdit:
    """The first edit of a new draft, inside a write section."""
    standing = drafts.standing(section)
    if standing is not None:
        raise DraftOpen(standing)
    newest = editions.newest(section)
    if newest is None:
        raise NoEdition(workshop)
    texts = _numbered(editions.files(section, newest.number), newest.number + 1)
    return drafts.append(
        section,
        draft=None,
        based_on=newest.number,
        at=stamp(workshop.clock()),
        by=name_of(by),
        deed="begun",
        what=json.dumps({"says": f"begun as a copy of edition {newest.number}"}),
        files=texts,
    )


def change(workshop: Workshop, edits: Sequence[Edit], *, version: int | None, by: str) -> Changed:
    """The draft after all edits, or no change and what is wrong with an edit.

    Raises NoDraft, StaleDraft.
    """
    with workshop.database.reading() as section:
        standing = standing_at(section, version)
        before = drafts.files(section, standing)
    texts, findings = amended(before, edits)
    if findings:
        return Changed(None, findings)
    # Judged before the lock is taken: orders are not kept waiting by a draft.
    read_once(texts)
    what: dict[str, Value] = {
        "says": "; ".join(edit_said(before, each) for each in edits),
        "edits": [as_document(each) for each in edits],
    }
    with workshop.database.writing() as section:
        standing = standing_at(section, standing.version)
        edit = _written(workshop, section, standing, before, texts, by, what)
        draft = draft_of(section, edit)
    return Changed(draft, draft.findings)


def put_part(
    workshop: Workshop,
    kind: str,
    code: str,
    values: Mapping[str, Value],
    *,
    version: int | None,
    by: str,
) -> Draft:
    """The draft with exactly these values in a part, new or there before.

    Raises EditRefused, NoDraft, StaleDraft.
    """
    return _one(workshop, PutPart(code, kind, values, whole=True), version, by)


def drop_part(
    workshop: Workshop, code: str, *, kind: str | None = None, version: int | None, by: str
) -> Draft:
    """The draft without a part. Raises EditRefused, NoDraft, StaleDraft."""
    return _one(workshop, DropPart(code, kind), version, by)


def put_rule(
    workshop: Workshop,
    id: str,  # noqa: A002 - the rule's own word
    values: Mapping[str, Value],
    *,
    version: int | None,
    by: str,
    subject: str = DEFAULT_SUBJECT,
) -> Draft:
    """The draft with exactly these values in a rule; a new one goes into ``rules/<subject>.toml``.

    Raises EditRefused, NoDraft, StaleDraft.
    """
    return _one(workshop, PutRule(id, values, whole=True, subject=subject), version, by)


def drop_rule(
    workshop: Workshop,
    id: str,  # noqa: A002 - the rule's own word
    *,
    version: int | None,
    by: str,
) -> Draft:
    """The draft without a rule. Raises EditRefused, NoDraft, StaleDraft."""
    return _one(workshop, DropRule(id), version, by)


def put_house(workshop: Workshop, key: str, value: Value, *, version: int | None, by: str) -> Draft:
    """The draft with one house figure at its dotted key, or without it where ``value`` is None.

    Raises EditRefused, NoDraft, StaleDraft.
    """
    return _one(workshop, PutHouse(key, value), version, by)


def replace_texts(
    workshop: Workshop, texts: Mapping[str, str], by: str, *, version: int | None = None
) -> Draft:
    """The draft with these files and no others, begun where none is open.

    An open draft is replaced only by whoever names its version. A number in the house file that is
    taken becomes the next free one; texts that cannot be read are kept as they are. Raises DraftOpen,
    StaleDraft.
    """
    with workshop.database.writing() as section:
        standing = drafts.standing(section)
        if version is not None:
            standing = standing_at(section, version)
        elif standing is not None:
            raise DraftOpen(standing)
        else:
            standing = begun(workshop, section, by)
        newest = editions.newest(section)
        if newest is not None:
            texts = _renumbered(texts, newest.number)
        before = drafts.files(section, standing)
        what: dict[str, Value] = {"says": "all files replaced by those of a directory"}
        return draft_of(section, _written(workshop, section, standing, before, texts, by, what))


def carry_over(workshop: Workshop, *, version: int | None, by: str) -> Draft:
    """The same draft, put on the newest edition: its texts stay, its differences are asked anew.

    For a draft that another edition has overtaken. Raises NoDraft, StaleDraft.
    """
    with workshop.database.writing() as section:
        standing = standing_at(section, version)
        newest = editions.newest(section)
        based_on = newest.number if newest else standing.based_on
        before = drafts.files(section, standing)
        texts = _renumbered(before, based_on)
        base = editions.numbered(section, standing.based_on)
        if newest is not None and base is not None and starts_in(texts) == base.starts:
            # A start that was only copied stays one: see `publish`.
            texts[HOUSE_FILE] = with_value(texts[HOUSE_FILE], "starts", newest.starts)
        edit = drafts.append(
            section,
            draft=standing.draft,
            based_on=based_on,
            at=stamp(workshop.clock()),
            by=name_of(by),
            deed="carried",
            what=json.dumps({"says": f"put on edition {based_on}"}),
            files=_changed_files(before, texts),
        )
        return draft_of(section, edit)


def discard(workshop: Workshop, *, version: int | None, by: str) -> DraftEdit:
    """Close the draft unpublished; its history stays, and ends with what comes back. Raises NoDraft,
    StaleDraft."""
    with workshop.database.writing() as section:
        standing = standing_at(section, version)
        return line_of(close(workshop, section, standing, by, "discarded", "discarded"))


def close(
    workshop: Workshop, section: Section, standing: StoredEdit, by: str, deed: Deed, says: str
) -> StoredEdit:
    """Write the edit that ends a draft, inside a write section."""
    return drafts.append(
        section,
        draft=standing.draft,
        based_on=standing.based_on,
        at=stamp(workshop.clock()),
        by=name_of(by),
        deed=deed,
        what=json.dumps({"says": says}),
    )


def _one(workshop: Workshop, edit: Edit, version: int | None, by: str) -> Draft:
    changed = change(workshop, (edit,), version=version, by=by)
    if changed.draft is None:
        raise EditRefused(changed.findings)
    return changed.draft


def _written(
    workshop: Workshop,
    section: Section,
    standing: StoredEdit,
    before: Mapping[str, str],
    texts: Mapping[str, str],
    by: str,
    what: Mapping[str, Value],
) -> StoredEdit:
    return drafts.append(
        section,
        draft=standing.draft,
        based_on=standing.based_on,
        at=stamp(workshop.clock()),
        by=name_of(by),
        deed="edited",
        what=json.dumps(what, ensure_ascii=False),
        files=_changed_files(before, texts),
    )


def _changed_files(before: Mapping[str, str], after: Mapping[str, str]) -> dict[str, str | None]:
    """Only the files that differ; None for one that is gone."""
    names = sorted({*before, *after})
    return {name: after.get(name) for name in names if before.get(name) != after.get(name)}


def _numbered(texts: Mapping[str, str], number: int) -> dict[str, str]:
    return {**texts, HOUSE_FILE: with_value(texts[HOUSE_FILE], "edition", number)}


def _renumbered(texts: Mapping[str, str], newest: int) -> dict[str, str]:
    """The texts under the next number, where theirs is taken and can be read at all."""
    number = number_in(texts)
    if number is None or number > newest:
        return dict(texts)
    try:
        return _numbered(texts, newest + 1)
    except Unreadable:
        return dict(texts)

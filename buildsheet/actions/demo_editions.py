"""The demo's next two editions: one published by two people for the demo day, one drafted with a slip."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from buildsheet.actions.check_order import check_order
from buildsheet.actions.desk.draft import Draft, begin, change
from buildsheet.actions.desk.publish import Published, publish
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import read_edits
from buildsheet.errors import WorldError
from buildsheet.findings import Finding

AUTHOR: Final = "product manager"
SECOND: Final = "test engineer"
REASON: Final = "The spoke bed of OR33D gave way at 1250 N."
STARTS: Final = "2031-05-01T06:00:00+02:00"
"""Six in the morning of the demo day."""

SIX_MISTAKES: Final = "D-1005.json"
"""An order that was made for the edition to come."""


@dataclass(frozen=True, slots=True)
class PlayedEditions:
    """The edition that was published, what it says to an order, and the draft of the one after it."""

    published: Published
    under_it: tuple[Finding, ...]
    draft: Draft


def play_editions(workshop: Workshop, examples: Path) -> PlayedEditions:
    """Publish the next edition and draft the one after it, from the change files of the examples.

    Raises WorldError where a file is not there, or does not do what it was written for.
    """
    draft = _drafted(workshop, examples / "editions" / "17.json")
    done = publish(
        workshop,
        version=draft.version,
        author=AUTHOR,
        approver=SECOND,
        reason=REASON,
        starts=STARTS,
    )
    if not isinstance(done, Published):
        said = "; ".join(each.says for each in done.findings)
        raise WorldError(f"the demo's next edition is not published: {said}")
    checked = check_order(_read(examples / SIX_MISTAKES), done.edition)
    blocks = tuple(each for each in checked.findings if each.blocks)
    return PlayedEditions(done, blocks, _drafted(workshop, examples / "editions" / "18.json"))


def _drafted(workshop: Workshop, file: Path) -> Draft:
    edits, faults = read_edits(json.loads(_read(file)))
    draft = begin(workshop, AUTHOR)
    changed = change(workshop, edits, version=draft.version, by=AUTHOR)
    if faults or changed.draft is None:
        raise WorldError(f"{file}: {(*faults, *changed.findings)[0].says}")
    return changed.draft


def _read(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as trouble:
        raise WorldError(f"{file}: {trouble.strerror}") from trouble

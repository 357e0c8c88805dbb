"""A directory of catalog files becomes the draft of the next edition, whole or not at all.

An empty workshop file takes it as its first edition at once: there is nothing to compare it with, and
nothing was built by anything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from buildsheet.actions.catalog_files import read_directory, read_texts
from buildsheet.actions.desk.draft import Draft, replace_texts
from buildsheet.actions.desk.publish import found
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Finding
from buildsheet.storage import editions

NOT_NAMED: Final = "not named"
"""Stands for whoever loads a catalog without saying who it is."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """``outcome``: ``loaded`` as the first edition, ``drafted``, ``known`` as an edition with the same
    content, or ``refused``. ``edition`` is what the files say, ``draft`` what they became."""

    outcome: Literal["loaded", "drafted", "known", "refused"]
    edition: Edition | None
    findings: tuple[Finding, ...]
    draft: Draft | None = None


def load_catalog(
    workshop: Workshop, path: Path, *, by: str = NOT_NAMED, version: int | None = None
) -> Loaded:
    """The catalog directory as a draft, or as the first edition.

    ``version`` of an open draft lets the files take its place; without it they do not. Raises
    WorldError where a file cannot be opened, DraftOpen, StaleDraft.
    """
    texts, faults = read_texts(path)
    if faults:
        return Loaded("refused", None, read_directory(path)[1])
    return load_texts(workshop, texts, by=by, version=version)


def load_texts(
    workshop: Workshop,
    texts: Mapping[str, str],
    *,
    by: str = NOT_NAMED,
    version: int | None = None,
) -> Loaded:
    """The files (name -> text), where nothing in them is at fault, as a draft or first edition."""
    edition, findings = read_catalog(texts)
    if edition is None:
        return Loaded("refused", None, findings)
    with workshop.database.writing() as section:
        if editions.newest(section) is None:
            found(workshop, section, edition, texts, by)
            return Loaded("loaded", edition, findings)
        same = editions.numbered(section, edition.number)
    if same is not None and same.digest == edition.digest:
        return Loaded("known", edition, findings)
    draft = replace_texts(workshop, texts, by, version=version)
    return Loaded("drafted", draft.edition or edition, draft.findings, draft)

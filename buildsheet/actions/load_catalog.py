"""A directory of catalog files becomes the workshop's running edition, whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from buildsheet.actions.catalog_files import read_directory, read_texts
from buildsheet.actions.codes import recorded
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Finding
from buildsheet.storage import editions, events
from buildsheet.storage.database import Section
from buildsheet.storage.editions import StoredEdition


@dataclass(frozen=True, slots=True)
class Loaded:
    """``outcome``: ``loaded`` new, ``known`` loaded before with the same content, or ``refused``."""

    outcome: Literal["loaded", "known", "refused"]
    edition: Edition | None
    findings: tuple[Finding, ...]


def load_catalog(workshop: Workshop, path: Path) -> Loaded:
    """The catalog directory as an edition. Raises WorldError where a file cannot be opened."""
    texts, faults = read_texts(path)
    if faults:
        return Loaded("refused", None, read_directory(path)[1])
    return load_texts(workshop, texts)


def load_texts(workshop: Workshop, texts: Mapping[str, str]) -> Loaded:
    """Read the files (name -> text) and store them as an edition, where nothing in them is at fault."""
    edition, findings = read_catalog(texts)
    if edition is None:
        return Loaded("refused", None, tuple(findings))
    at = stamp(workshop.clock())
    with workshop.database.writing() as section:
        refusal = _refusal(section, edition)
        if refusal is not None:
            return Loaded("refused", None, (*findings, refusal))
        if editions.numbered(section, edition.number) is not None:
            return Loaded("known", edition, tuple(findings))
        stored = StoredEdition(edition.number, edition.digest, edition.house.starts, at)
        editions.insert(section, stored, texts)
        facts = json.dumps({"edition": edition.number, "digest": edition.digest})
        events.append(section, at=at, kind="edition.loaded", facts=facts)
    return Loaded("loaded", edition, tuple(findings))


def _refusal(section: Section, edition: Edition) -> Finding | None:
    same = editions.numbered(section, edition.number)
    if same is not None:
        if same.digest == edition.digest:
            return None
        return recorded(
            "data.edition-frozen",
            "/house.toml/edition",
            f"Edition {edition.number} is loaded already and says something else; "
            "an edition is never edited.",
            edition=edition.number,
            have={"digest": edition.digest},
            need={"digest": same.digest},
        )
    newest = editions.newest(section)
    if newest is not None and newest.number > edition.number:
        return recorded(
            "data.edition-older",
            "/house.toml/edition",
            f"Edition {edition.number} comes after edition {newest.number}, which is loaded already.",
            edition=edition.number,
            have={"edition": edition.number},
            need={"edition_from": newest.number + 1},
        )
    return None

"""Parts of a draft, also of one that holds faults: listed, looked at before they are saved, copied."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from buildsheet.actions.desk.show_catalog import PartLine, matching
from buildsheet.actions.desk.standing import read_once
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.tables import Unreadable, tables_in, with_table
from buildsheet.catalog.clone import Differing, clone, differing, named_beside
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import Place
from buildsheet.catalog.links import file_of
from buildsheet.catalog.model_faults import checked
from buildsheet.catalog.parts import Part
from buildsheet.catalog.rules.rule import Rule
from buildsheet.findings import Finding
from buildsheet.storage import drafts

Texts = Mapping[str, str]
"""Name -> text of the files of a draft."""


@dataclass(frozen=True, slots=True)
class Copied:
    """The values of a copy, and the keys whose proof stays with the original."""

    values: Mapping[str, Any]
    left_behind: tuple[str, ...]


def texts_of_version(workshop: Workshop, version: int) -> Texts:
    """The files of the draft as they stood in an earlier version, whichever draft that was; empty for a
    version that there never was."""
    with workshop.database.reading() as section:
        edit = drafts.numbered(section, version)
        return drafts.files(section, edit) if edit is not None else {}


def values_in(texts: Texts, kind: str, code: str) -> dict[str, Any] | None:
    """A part's values as the draft has them; None where it has no such part.

    Raises KeyError for a kind that there is not.
    """
    if kind not in KINDS:
        raise KeyError(kind)
    return _tables(texts, kind).get(code)


def lines_in(
    texts: Texts, *, kind: str = "", words: str = "", state: str = ""
) -> tuple[PartLine, ...]:
    """Parts of the draft whose code or name holds every word, of this kind and state; '' for any."""
    return matching(_lines(texts, kind), words, state)


def _lines(texts: Texts, kind: str) -> Iterator[PartLine]:
    for each in KINDS:
        if kind in ("", each):
            for code, values in sorted(_tables(texts, each).items()):
                name, state = values.get("name", ""), values.get("state", "active")
                yield PartLine(each, code, str(name), str(state))


def _tables(texts: Texts, kind: str) -> dict[str, dict[str, Any]]:
    """Code -> values; nothing where the file cannot be read, which the draft's findings say."""
    try:
        return tables_in(texts.get(file_of(kind), ""))
    except Unreadable:
        return {}


def look_at_part(
    texts: Texts, kind: str, code: str, values: Mapping[str, Any]
) -> tuple[Finding, ...]:
    """What the catalog's reading would say if the draft had these values: every fault in the part,
    and those elsewhere that it brings. Stores nothing."""
    file = file_of(kind)
    try:
        with_it = {**texts, file: with_table(texts.get(file, ""), code, values)}
    except Unreadable:
        return read_once(texts)[1]
    before = {(each.code, each.at, each.says) for each in read_once(texts)[1]}
    place = Place(file, (code,)).at
    return tuple(
        each
        for each in read_once(with_it)[1]
        if each.at == place
        or each.at.startswith(place + "/")
        or (each.code, each.at, each.says) not in before
    )


def copy_of(texts: Texts, kind: str, code: str, new_code: str) -> Copied | None:
    """A part's values without what was proved for it alone; None where it has faults of its own."""
    part = _part(texts, kind, code)
    if part is None:
        return None
    copied = clone(part, new_code)
    return Copied(copied.values, copied.left_behind)


def differing_from(
    texts: Texts, kind: str, code: str, values: Mapping[str, Any]
) -> tuple[Differing, ...]:
    """Every key in which typed values differ from a part of the draft; none where there is no such."""
    part = _part(texts, kind, code)
    return differing(part, values) if part is not None else ()


def named_by(texts: Texts, kind: str, code: str) -> tuple[str, ...]:
    """The codes of other parts that name this one; none where the draft cannot be read for its faults."""
    edition = read_once(texts)[0]
    if edition is None:
        return ()
    return named_beside(getattr(edition, kind)[code], edition)


def rules_naming(texts: Texts, code: str) -> tuple[str, ...]:
    """The rules that have this part in an example, or whose condition speaks of its code; none where the
    draft cannot be read for its faults."""
    edition = read_once(texts)[0]
    rules = edition.rules.values() if edition is not None else ()
    return tuple(each.id for each in rules if _names(each, code))


def _names(rule: Rule, code: str) -> bool:
    examples = (*rule.accepts, *rule.refuses)
    if any(code == said for example in examples for said in example.values()):
        return True
    return any(f"{mark}{code}{mark}" in f"{rule.when} {rule.needs}" for mark in ("'", '"'))


def _part(texts: Texts, kind: str, code: str) -> Part | None:
    values = values_in(texts, kind, code)
    if values is None:
        return None
    table = {"code": code, **_fixed(values)}
    return checked(KINDS[kind], table, Place(file_of(kind), (code,)))[0]


def _fixed(value: Any) -> Any:
    """Lists as tuples, as the models want them."""
    if isinstance(value, list):
        return tuple(_fixed(each) for each in value)
    if isinstance(value, dict):
        return {key: _fixed(each) for key, each in value.items()}
    return value

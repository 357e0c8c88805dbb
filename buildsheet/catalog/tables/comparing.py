"""Rows of a spreadsheet against the texts of a catalog: what they change, as edits; and what would
then be at fault, at the cells it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from buildsheet.catalog.amending.edits import PutPart
from buildsheet.catalog.amending.tables import Unreadable, tables_in, with_tables
from buildsheet.catalog.clone import as_values
from buildsheet.catalog.differences import FieldChange, PartChange
from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.faults import Place, fault, plain
from buildsheet.catalog.links import file_of
from buildsheet.catalog.model_faults import checked
from buildsheet.catalog.parts import Part
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.tables.columns import Keys
from buildsheet.catalog.tables.reading import CODE, Imported, Row
from buildsheet.findings import Change, Finding, Value

Table = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Compared:
    """What a file would do. ``edits`` make it so; ``changes`` say it, one for each new or changed part;
    ``unchanged`` counts the rows that say what the catalog says. With any finding nothing is to be
    done: no edit is made of a file that is at fault anywhere."""

    edits: tuple[PutPart, ...]
    changes: tuple[PartChange, ...]
    unchanged: int
    texts: Mapping[str, str]
    findings: tuple[Finding, ...]


def compared(texts: Mapping[str, str], imported: Imported) -> Compared:
    """The rows put into the texts of a catalog. Faults that the texts have already are not told."""
    there = {kind: _tables(texts.get(file_of(kind), "")) for kind in KINDS}
    rows = {(row.kind, row.code): row for row in imported.rows}
    findings = list(imported.findings)
    edits: list[PutPart] = []
    changes: list[PartChange] = []
    unchanged = 0
    for row in imported.rows:
        if not row.sound:
            continue
        trouble = _no_code(row)
        if trouble:
            findings.extend(_at_its_cell(each, rows) for each in trouble)
            continue
        old = there[row.kind].get(row.code)
        new = _merged(old or {}, row.values)
        change = _change(row, old, new)
        if change is None:
            unchanged += 1
            continue
        changes.append(change)
        edits.append(PutPart(row.code, row.kind, new, whole=True))
    try:
        after = _amended(texts, edits)
    except Unreadable as trouble:
        says = f"a part file of the draft is no TOML: {plain(str(trouble))}."
        findings.append(fault("data.syntax", Place("the draft"), says))
        after = dict(texts)
    findings.extend(_new_faults(texts, after, imported))
    return Compared(tuple(edits), tuple(changes), unchanged, after, tuple(findings))


def _no_code(row: Row) -> list[Finding]:
    """What is wrong with the code itself: such a row is put nowhere."""
    return checked(Part, {"code": row.code, "name": "any"}, Place(file_of(row.kind), (row.code,)))[
        1
    ]


def _amended(texts: Mapping[str, str], edits: list[PutPart]) -> dict[str, str]:
    """The texts after the edits: what `amending.amend` makes of them, each file read once only."""
    after = dict(texts)
    for kind in KINDS:
        tables = {each.code: each.values for each in edits if each.kind == kind}
        if tables:
            after[file_of(kind)] = with_tables(texts.get(file_of(kind), ""), tables)
    return after


def _tables(text: str) -> Mapping[str, Table]:
    try:
        return tables_in(text)
    except Unreadable:
        return {}


def _merged(old: Table, values: Mapping[Keys, Value]) -> Table:
    """A part's table with the row's keys in it: an empty cell takes its key out."""
    merged: Table = {
        key: dict(each) if isinstance(each, dict) else each for key, each in old.items()
    }
    for keys, value in values.items():
        head, *rest = keys
        if not rest:
            if value is None:
                merged.pop(head, None)
            else:
                merged[head] = value
            continue
        inner = merged.get(head)
        inner = inner if isinstance(inner, dict) else {}
        if value is None:
            inner.pop(rest[0], None)
        else:
            inner[rest[0]] = value
        if inner:
            merged[head] = inner
        else:
            merged.pop(head, None)
    return merged


def _change(row: Row, old: Table | None, new: Table) -> PartChange | None:
    """How the part will differ; None where it says the same, defaults written out or not."""
    before, after = (None if old is None else _stated(row, old)), _stated(row, new)
    if old is not None and before == after:
        return None
    fields = tuple(_fields(before or {}, after, ()))
    return PartChange(row.kind, row.code, "added" if old is None else "changed", fields)


def _stated(row: Row, table: Table) -> Table:
    """The table as its model says it, defaults and all; as it stands where the model refuses it."""
    whole = {"code": row.code, **_fixed(table)}
    part, _ = checked(KINDS[row.kind], whole, Place("", (row.code,)))
    return as_values(part) if part is not None else table


def _fixed(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _fixed(each) for key, each in value.items()}
    return tuple(map(_fixed, value)) if isinstance(value, list) else value


def _fields(old: Mapping[str, Any], new: Mapping[str, Any], keys: Keys) -> Iterator[FieldChange]:
    for key in dict.fromkeys((*old, *new)):
        before, after = old.get(key), new.get(key)
        if isinstance(before, dict) or isinstance(after, dict):
            inner_old = before if isinstance(before, dict) else {}
            inner_new = after if isinstance(after, dict) else {}
            yield from _fields(inner_old, inner_new, (*keys, key))
        elif before != after:
            yield FieldChange(".".join((*keys, key)), before, after)


def _new_faults(
    before: Mapping[str, str], after: Mapping[str, str], imported: Imported
) -> Iterator[Finding]:
    known = {(each.at, each.says) for each in read_catalog(before)[1]}
    rows = {(row.kind, row.code): row for row in imported.rows}
    unread = {row.code for row in imported.rows if not row.sound}
    for each in read_catalog(after)[1]:
        if (each.at, each.says) in known:
            continue
        if each.code == "data.unknown-reference" and each.have.get("found") in unread:
            continue  # the part is in the file; its own row has said what is wrong
        yield _at_its_cell(each, rows)


def _at_its_cell(found: Finding, rows: Mapping[tuple[str, str], Row]) -> Finding:
    """The same fault where a cell is to blame: at that cell, the ways out too."""
    cell = _cell(found.at, rows)
    if cell is None:
        return found
    return replace(
        found,
        at=cell.at,
        says=f"{cell}: {found.says.removeprefix('parts/')}",
        also=tuple(place.at if (place := _cell(at, rows)) else at for at in found.also),
        try_=tuple(
            Change(place.at if (place := _cell(each.at, rows)) else each.at, each.values)
            for each in found.try_
        ),
    )


def _cell(at: str, rows: Mapping[tuple[str, str], Row]) -> Place | None:
    """The cell behind a place in the catalog's files; the row's code where it has no column."""
    parts = [each.replace("~1", "/").replace("~0", "~") for each in at.split("/")[1:]]
    if len(parts) < 3 or parts[0] != "parts":
        return None
    row = rows.get((parts[1].removesuffix(".toml"), parts[2]))
    if row is None:
        return None
    keys = tuple(parts[3:])
    for length in (2, 1):
        if len(keys) >= length and keys[:length] in row.cells:
            return row.cells[keys[:length]]
    if keys:
        under = [place for each, place in row.cells.items() if each[0] == keys[0]]
        if under:
            return under[0]
    return row.cells[CODE]

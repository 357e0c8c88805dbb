"""Findings at the fields they are about: a place in a catalog file -> the key of a form's field."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from buildsheet.findings import Finding
from buildsheet.web.pages.catalog.at_the_desk import at_the_field
from buildsheet.web.pages.catalog.form.field import Field
from buildsheet.web.pages.catalog.place import members

Marks = dict[str, list[str]]


def marks(findings: Iterable[Finding], fields: Sequence[Field], code: str) -> Marks:
    """Key of a field -> what is said about it. What is about the whole part is under ''."""
    known = {field.key for field in fields}
    found: Marks = {}
    for finding in findings:
        for at in (finding.at, *finding.also):
            place = members(at)
            if code in place[2:3]:
                said = found.setdefault(_key(place[3:], known), [])
                sentence = at_the_field(finding)
                if sentence not in said:
                    said.append(sentence)
    return found


def _key(keys: Sequence[str], known: set[str]) -> str:
    for end in range(len(keys), 0, -1):
        key = ".".join(keys[:end])
        if key in known:
            return key
    # A whole table that is missing or wrong is marked at its first field.
    return next((each for each in sorted(known) if keys and each.startswith(keys[0] + ".")), "")

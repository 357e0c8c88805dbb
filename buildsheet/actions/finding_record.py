"""Findings read back from what was answered, so that a sheet prints what was said then."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from buildsheet.findings import Change, Finding


def findings_of(documents: Iterable[Mapping[str, Any]]) -> tuple[Finding, ...]:
    """The findings whose documents these are, the inverse of `Finding.as_json`."""
    return tuple(_finding(document) for document in documents)


def _finding(document: Mapping[str, Any]) -> Finding:
    return Finding(
        code=document["code"],
        severity=document["severity"],
        at=document["at"],
        says=document["says"],
        reason=document["reason"],
        source=document["source"],
        have=document["have"],
        need=document["need"],
        also=tuple(document["also"]),
        try_=tuple(Change(each["at"], tuple(each["values"])) for each in document["try"]),
        together=tuple(document.get("together", ())),
        edition=document["edition"],
    )

"""A finding together with the places of the document where a change may clear it."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.findings import Finding


@dataclass(frozen=True, slots=True)
class Raised:
    """``ways`` are JSON Pointers, the likeliest first; none where only a person can help."""

    finding: Finding
    ways: tuple[str, ...] = ()

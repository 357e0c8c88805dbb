"""Codes for what only all that can be ordered, taken together, can say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.codes import CATALOG, CodeEntry, entry, of_entry
from buildsheet.findings import Finding, Value

CHOICE_CODES: Final[Mapping[str, CodeEntry]] = {
    each.code: each
    for each in (
        entry(
            "order.no-way-on",
            "block",
            "No complete order is left with this value beside what is chosen already.",
            "A choice that leads nowhere is said before anybody goes down that way.",
            CATALOG,
        ),
    )
}
"""By code."""


def no_way_on(
    at: str,
    says: str,
    *,
    edition: int,
    have: Mapping[str, Value],
    need: Mapping[str, Value] | None = None,
    also: tuple[str, ...] = (),
) -> Finding:
    """The finding that no single check can raise: only together the choices lead nowhere."""
    listed = CHOICE_CODES["order.no-way-on"]
    return of_entry(
        listed, "block", at, says, edition=edition, have=have, need=need or {}, also=also
    )

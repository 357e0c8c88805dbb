"""Codes for moves of orders that cannot be made, or not without a name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.codes import PRACTICE, CodeEntry, entry, of_entry
from buildsheet.findings import Finding, Value

_RECORD: Final = "the workshop's record"
_STATES: Final = "states of the order"

_ENTRIES: Final = (
    entry(
        "move.not-from-here",
        "block",
        "The order's state has no such move.",
        "What is cancelled or gone cannot be held, and what waits is not released.",
        _STATES,
        "6.6",
    ),
    entry(
        "move.approval-needed",
        "block",
        "Something would be lost, and nobody has put a name to it.",
        "Work and parts that are thrown away are a decision, not a side effect.",
        PRACTICE,
        "6.7",
    ),
    entry(
        "move.too-late",
        "block",
        "A wheel has come too far for this.",
        "What is built and inspected, or has left the house, is another order's matter.",
        PRACTICE,
        "6.7",
    ),
    entry(
        "move.old-revision",
        "block",
        "The change replaces another revision than the one that counts.",
        "Whoever changes an order has to know what it says now, or somebody else's change is lost.",
        _RECORD,
        "6.7",
    ),
    entry(
        "move.next-revision",
        "block",
        "The changed order does not carry a higher revision.",
        "Two meanings under one revision cannot be told apart.",
        _RECORD,
        "6.7",
    ),
    entry(
        "move.other-order",
        "block",
        "The changed order names another source or number, or has other wheels.",
        "A change makes this order another one of itself, not somebody else's.",
        _RECORD,
        "6.7",
    ),
    entry(
        "move.cannot-plan",
        "block",
        "The changed wheel cannot be planned for the rim as it was measured.",
        "The sheet was made for the rim in hand; spokes for the rim of the catalog would not fit it.",
        "geometry",
    ),
    entry(
        "move.nothing-changes",
        "block",
        "The changed order says what the order says already.",
        "A revision without a change hides the one that was meant.",
        _RECORD,
    ),
)

MOVE_CODES: Final[Mapping[str, CodeEntry]] = MappingProxyType(
    {each.code: each for each in _ENTRIES}
)
"""By code."""


def moved(
    code: str,
    at: str,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
) -> Finding:
    """A blocking finding of one of these codes."""
    return of_entry(
        MOVE_CODES[code],
        "block",
        at,
        says,
        edition=None,
        have=have or {},
        need=need or {},
        also=(),
    )

"""Codes for what the shelves say."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.codes import CodeEntry, entry, of_entry
from buildsheet.findings import Finding, Severity, Value

_RECORD: Final = "the workshop's record"

STOCK_CODES: Final[Mapping[str, CodeEntry]] = MappingProxyType(
    {
        each.code: each
        for each in (
            entry(
                "stock.short",
                "block caution",
                "Parts of the order are not free in the number it takes.",
                "A part that is promised twice stops a wheel on the bench.",
                _RECORD,
                "R-J02",
            ),
            entry(
                "stock.not-kept",
                "note",
                "Nothing was ever counted in this workshop, so nothing is held for the order.",
                "An answer must not pretend that parts are set aside.",
                _RECORD,
            ),
            entry(
                "stock.unknown-item",
                "block",
                "The running edition has no such part, or it does not come that way.",
                "What no order can take would lie on the shelf unseen.",
                _RECORD,
            ),
            entry(
                "stock.reason-missing",
                "block",
                "A correction says no reason.",
                "A number that changes without a word hides what went wrong.",
                _RECORD,
            ),
            entry(
                "stock.key-reused",
                "block",
                "The key of a list of movements was used for another list.",
                "A delivery that is entered twice is promised twice.",
                _RECORD,
            ),
            entry(
                "stock.from-announced",
                "note",
                "What came in was booked against a delivery that had been announced.",
                "What has arrived is no longer expected, and orders are told what is.",
                _RECORD,
            ),
            entry(
                "stock.overdrawn",
                "caution",
                "Less lies on the shelf than is held for orders.",
                "Some wheel that was promised cannot be kitted.",
                _RECORD,
            ),
        )
    }
)
"""By code."""


def stocked(
    code: str,
    severity: Severity,
    at: str,
    says: str,
    *,
    edition: int | None,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
    also: tuple[str, ...] = (),
) -> Finding:
    """A finding of one of these codes."""
    return of_entry(
        STOCK_CODES[code],
        severity,
        at,
        says,
        edition=edition,
        have=have or {},
        need=need or {},
        also=also,
    )

"""Every code an order can be answered with. A code is never renamed and never means another thing."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.codes import CodeEntry, of_entry
from buildsheet.findings import Finding, Severity, Value
from buildsheet.orders.codes import document, finish, fit, use, wheel

__all__ = ["CODES", "CodeEntry", "found"]

CODES: Final[Mapping[str, CodeEntry]] = MappingProxyType(
    {
        each.code: each
        for each in (*document.CODES, *fit.CODES, *wheel.CODES, *use.CODES, *finish.CODES)
    }
)
"""By code, in the order of families."""


def found(
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
    """A finding of a listed code, with the reason and the source that the list gives."""
    return of_entry(
        CODES[code],
        severity,
        at,
        says,
        edition=edition,
        have=have or {},
        need=need or {},
        also=also,
    )

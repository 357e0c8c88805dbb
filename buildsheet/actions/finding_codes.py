"""Every code that a finding can carry, with what it means: the public list."""

from __future__ import annotations

from functools import lru_cache

from buildsheet.actions.codes import RECORD_CODES
from buildsheet.catalog.codes import FAULT_CODES, FaultCode
from buildsheet.findings import Value
from buildsheet.orders.codes import CODES, CodeEntry


@lru_cache(maxsize=1)
def finding_codes() -> tuple[dict[str, Value], ...]:
    """One document per code, by code."""
    listed: dict[str, CodeEntry | FaultCode] = {**CODES, **RECORD_CODES, **FAULT_CODES}
    return tuple(listed[code].as_json() for code in sorted(listed))

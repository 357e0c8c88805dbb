"""What one finding code means, and the one way to make a finding of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.findings import Finding, Severity, Value

GEOMETRY: Final = "geometry"
STATICS: Final = "statics"
MAKER: Final = "maker's table"
HOUSE: Final = "house figure, proposal"
PRACTICE: Final = "common practice, no source"
FORM: Final = "form of the order document"
CATALOG: Final = "catalog of the edition"


@dataclass(frozen=True, slots=True)
class CodeEntry:
    """One code: the severities it can have, what it says in general, why the rule exists, who says so.

    ``inventory`` names the rule of the trade's list that it covers, where there is one.
    """

    code: str
    severities: tuple[Severity, ...]
    says: str
    reason: str
    source: str
    inventory: str = ""

    def as_json(self) -> dict[str, Value]:
        """One line of the public list of codes."""
        return {
            "code": self.code,
            "severities": list(self.severities),
            "says": self.says,
            "reason": self.reason,
            "source": self.source,
        }


def entry(
    code: str, severities: str, says: str, reason: str, source: str, inventory: str = ""
) -> CodeEntry:
    """A code entry from words; ``severities`` separated by blanks, the hardest first."""
    words: dict[str, Severity] = {
        "block": "block",
        "approval": "approval",
        "caution": "caution",
        "note": "note",
    }
    return CodeEntry(
        code, tuple(words[each] for each in severities.split()), says, reason, source, inventory
    )


def of_entry(
    listed: CodeEntry,
    severity: Severity,
    at: str,
    says: str,
    *,
    edition: int | None,
    have: Mapping[str, Value],
    need: Mapping[str, Value],
    also: tuple[str, ...],
) -> Finding:
    """A finding with the reason and source of its code; a severity that is not listed is a mistake."""
    if severity not in listed.severities:
        raise ValueError(f"{listed.code} is listed as {listed.severities}, not as {severity}")
    return Finding(
        code=listed.code,
        severity=severity,
        at=at,
        says=says,
        reason=listed.reason,
        source=listed.source,
        have=have,
        need=need,
        also=also,
        edition=edition,
    )

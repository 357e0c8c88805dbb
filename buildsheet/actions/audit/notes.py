"""What an audit looked at, and every fault it came across."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from buildsheet.findings import Value


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is not as it was written: under which check, at what, in a sentence."""

    check: str
    at: str
    says: str


@dataclass(slots=True)
class Notes:
    """Check -> things looked at, and the faults in the order they were found."""

    looked: Counter[str] = field(default_factory=Counter)
    faults: list[Fault] = field(default_factory=list)

    def saw(self, check: str, count: int = 1) -> None:
        """So many things were looked at; 0 says that the check was made and had nothing to look at."""
        self.looked[check] += count

    def fault(self, check: str, at: str, says: str) -> None:
        """Something is wrong."""
        self.faults.append(Fault(check, at, says))

    def as_json(self) -> dict[str, Value]:
        """The audit as a document."""
        return {
            "sound": not self.faults,
            "looked_at": {**self.looked},
            "faults": [
                {"check": each.check, "at": each.at, "says": each.says} for each in self.faults
            ],
        }

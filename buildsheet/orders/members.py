"""What a document holds, by member and type: a value of another type reads as absent.

Readings drop every faulty member before anything is judged, so "absent" here always has a finding
of its own or is a member that may be left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.findings import Value


@dataclass(frozen=True, slots=True)
class Members:
    """One object of a document."""

    values: Mapping[str, Value]

    def has(self, name: str) -> bool:
        """True where the member stands there and is not null."""
        return self.values.get(name) is not None

    def word(self, name: str) -> str | None:
        """A text."""
        value = self.values.get(name)
        return value if isinstance(value, str) else None

    def number(self, name: str) -> float | None:
        """A number, whole or not."""
        value = self.values.get(name)
        return value if isinstance(value, int | float) and not isinstance(value, bool) else None

    def whole(self, name: str) -> int | None:
        """A whole number; 24.0 is one."""
        value = self.number(name)
        return int(value) if value is not None and value == int(value) else None

    def flag(self, name: str) -> bool:
        """True where the member is true."""
        return self.values.get(name) is True

    def inner(self, name: str) -> Members:
        """An object inside; an empty one where there is none."""
        value = self.values.get(name)
        return Members(value if isinstance(value, dict) else {})

"""One thing to say about an order, a part or a wheel: code, severity, place, reason, way out.

A finding is a value. Checks gather findings to the end, in a stable order; nobody raises one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

Severity = Literal["block", "approval", "caution", "note"]

SEVERITIES: Final[tuple[Severity, ...]] = ("block", "approval", "caution", "note")
"""From not buildable to merely said."""

Scalar = str | int | float | bool | None
Value = Scalar | list["Value"] | dict[str, "Value"]


@dataclass(frozen=True, slots=True)
class Change:
    """One way out: put any of ``values`` at ``at`` (a JSON Pointer into the posted document)."""

    at: str
    values: tuple[Value, ...]

    def as_json(self) -> dict[str, Value]:
        """The form that interfaces fix: ``{"at": ..., "values": [...]}``."""
        return {"at": self.at, "values": list(self.values)}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to say.

    ``at`` and ``also`` are JSON Pointers (RFC 6901) into the posted document. ``try_`` holds single
    changes that clear this finding and cause no new block; ``together`` holds sets of changes
    (pointer -> value) that clear it only when made at once, offered where no single change does.
    """

    code: str
    severity: Severity
    at: str
    says: str
    reason: str
    source: str
    have: Mapping[str, Value] = field(default_factory=dict)
    need: Mapping[str, Value] = field(default_factory=dict)
    also: tuple[str, ...] = ()
    try_: tuple[Change, ...] = ()
    together: tuple[Mapping[str, Value], ...] = ()
    edition: int | None = None

    @property
    def family(self) -> str:
        """The word before the dot: ``fit``, ``lacing``, ``length`` ..."""
        return self.code.split(".", 1)[0]

    @property
    def blocks(self) -> bool:
        """True where the wheel cannot be built as posted."""
        return self.severity == "block"

    def held_to(self, edition: int) -> Finding:
        """The same finding about an order that this edition judges."""
        return Finding(
            self.code,
            self.severity,
            self.at,
            self.says,
            self.reason,
            self.source,
            self.have,
            self.need,
            self.also,
            self.try_,
            self.together,
            edition,
        )

    def as_json(self) -> dict[str, Value]:
        """The document of the interfaces, members in their fixed order."""
        document: dict[str, Value] = {
            "code": self.code,
            "severity": self.severity,
            "at": self.at,
            "also": list(self.also),
            "edition": self.edition,
            "says": self.says,
            "have": dict(self.have),
            "need": dict(self.need),
            "try": [change.as_json() for change in self.try_],
            "reason": self.reason,
            "source": self.source,
        }
        if self.together:
            document["together"] = [dict(changes) for changes in self.together]
        return document


def pointer(*members: str | int) -> str:
    """A JSON Pointer from its members, with ``~`` and ``/`` escaped as RFC 6901 section 3 says.

    >>> pointer("hub", "a/b~c", 0)
    '/hub/a~1b~0c/0'
    """
    return "".join(["/" + _escaped(member) for member in members])


def _escaped(member: str | int) -> str:
    name = str(member)
    return name.replace("~", "~0").replace("/", "~1") if "/" in name or "~" in name else name


def in_stable_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """The same findings sorted by severity, place and code: the same order gives the same list."""
    rank = {severity: place for place, severity in enumerate(SEVERITIES)}
    return tuple(sorted(findings, key=lambda each: (rank[each.severity], each.at, each.code)))

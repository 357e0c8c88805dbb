"""What may still be chosen, as it is answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.findings import Finding, Value


@dataclass(frozen=True, slots=True)
class Way:
    """A value that still leads to a complete order, and to how many."""

    value: Value
    ways: int


@dataclass(frozen=True, slots=True)
class Closed:
    """A value that no longer does, and what closes it."""

    value: Value
    finding: Finding


@dataclass(frozen=True, slots=True)
class Choices:
    """What a part of an order leaves open; places are JSON Pointers.

    ``ways`` is the number of complete orders that the part can become: one for every assignment of a
    value to all members that such an order asks for. Every value of the list of every undecided place
    stands once in ``open``, where it leads on, or in ``closed``. ``forced`` are places where all those
    orders agree; ``assumed`` is what was put in for members without a list. Where ``ways`` is 0,
    ``findings`` say why and what to change; ``broken``: they are faults of the part's form.
    """

    edition: int
    ways: int
    open: Mapping[str, tuple[Way, ...]]
    closed: Mapping[str, tuple[Closed, ...]]
    forced: Mapping[str, Value]
    assumed: Mapping[str, Value]
    findings: tuple[Finding, ...]
    broken: bool = False

    def as_json(self) -> dict[str, Value]:
        """The document of the interfaces."""
        return {
            "edition": self.edition,
            "ways": self.ways,
            "open": {
                at: [{"value": each.value, "ways": each.ways} for each in ways]
                for at, ways in self.open.items()
            },
            "closed": {
                at: [{"value": each.value, "finding": each.finding.as_json()} for each in closed]
                for at, closed in self.closed.items()
            },
            "forced": dict(self.forced),
            "assumed": dict(self.assumed),
            "findings": [each.as_json() for each in self.findings],
        }

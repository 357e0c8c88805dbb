"""A doubt: what the dimensions of a part themselves speak against, before file and table are added."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from buildsheet.catalog.parts import Part
from buildsheet.findings import Value


@dataclass(frozen=True, slots=True)
class Doubt:
    """What does not make sense at ``keys`` of a part. ``values``: what would."""

    code: str
    keys: tuple[str | int, ...]
    says: str
    have: Mapping[str, Value] = field(default_factory=dict)
    need: Mapping[str, Value] = field(default_factory=dict)
    values: tuple[Value, ...] = ()
    also: tuple[str, ...] = ()


def implausible(key: str, says: str, **facts: Value) -> Doubt:
    """Dimensions that cannot belong to one part."""
    return Doubt("data.implausible", (key,), says, have=facts)


def contradiction(key: str, says: str, **facts: Value) -> Doubt:
    """Words that exclude each other."""
    return Doubt("data.contradiction", (key,), says, have=facts)


def needed(key: str, says: str) -> Doubt:
    """A key that another one calls for."""
    return Doubt("data.missing-key", (key,), says)


def out_of_order(part: Part, low: str, high: str) -> Iterator[Doubt]:
    """``low`` above ``high``, where both are known."""
    lower, upper = getattr(part, low), getattr(part, high)
    if lower is not None and upper is not None and lower > upper:
        says = f"{lower:g} is above {high} {upper:g}."
        yield Doubt(
            "data.contradiction", (low,), says, have={low: lower, high: upper}, also=(high,)
        )


def twice(part: Part, key: str) -> Iterator[Doubt]:
    """Entries of a list that stand in it already."""
    values = getattr(part, key) or ()
    for row, value in enumerate(values):
        if value in values[:row]:
            yield Doubt(
                "data.duplicate", (key, row), f"{value} stands twice.", have={"found": value}
            )

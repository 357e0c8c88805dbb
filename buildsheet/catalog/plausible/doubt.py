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


def too_light(part: Part, key: str, lightest_g: float) -> Iterator[Doubt]:
    """A mass that no such part has: kilograms in the place of grams."""
    mass_g: float = getattr(part, key)
    if mass_g < lightest_g:
        meant_g = round(1000.0 * mass_g, 3)
        helps = meant_g >= lightest_g
        yield Doubt(
            "data.implausible",
            (key,),
            f"found {mass_g:g}; no such part is lighter than {lightest_g:g} g. Kilograms?"
            + (f" Try {meant_g:g}." if helps else ""),
            have={key: mass_g},
            need={"minimum": lightest_g},
            values=(meant_g,) if helps else (),
        )


LEAST_SYSTEM_KG = 40.0
"""Bicycle and the lightest rider [own choice]; a smaller limit is a slipped point."""


def too_low_a_mass(limit_kg: float | None, keys: tuple[str | int, ...]) -> Iterator[Doubt]:
    """A limit on the system's mass that no rider with a bicycle stays under."""
    if limit_kg is not None and limit_kg < LEAST_SYSTEM_KG:
        meant_kg = round(10.0 * limit_kg, 3)
        helps = meant_kg >= LEAST_SYSTEM_KG
        yield Doubt(
            "data.implausible",
            keys,
            f"found {limit_kg:g}; rider and bicycle together weigh {LEAST_SYSTEM_KG:g} kg and more. A "
            "slipped decimal point?" + (f" Try {meant_kg:g}." if helps else ""),
            have={"found": limit_kg},
            need={"minimum": LEAST_SYSTEM_KG},
            values=(meant_kg,) if helps else (),
        )

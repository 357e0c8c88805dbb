"""A part of an order document, read: what it says, what it leaves open, what is assumed meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, cast

from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import changed, value_at
from buildsheet.orders.document import Use
from buildsheet.orders.form import MASS_PLACES
from buildsheet.orders.reading import Reading, read, read_document
from buildsheet.space.choices.places import (
    BRAKES,
    KINDS,
    POSITIONS,
    SIDES,
    Brake,
    Kind,
    positions_in,
)

ABOUT_ABSENCE: Final = frozenset({"order.missing-member", "load.mass-missing"})
"""What the form says about members that are not there yet."""

ABOUT_WHEELS: Final = "pair.kind"
"""What the form says about a kind that has other wheels: no fault, but a choice that closes others."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One kind of order on one kind of bicycle: both decide which members are asked for."""

    kind: Kind
    brake: Brake

    def value(self, at: str) -> Value:
        """What it decides at a place; None where it decides nothing."""
        return {"/kind": self.kind, "/use/brake": self.brake}.get(at)


@dataclass(frozen=True)
class Part:
    """A part of an order document.

    ``document`` holds its sound members, with the assumed ones put in. A member that stands there as
    null was left out on purpose; one that is absent is still open. ``faults`` are faults of form;
    ``wheels`` says that the wheels given are not those of the kind given.
    """

    document: Mapping[str, Value]
    assumed: Mapping[str, Value]
    faults: tuple[Finding, ...]
    wheels: tuple[Finding, ...]

    def has(self, at: str) -> bool:
        """Whether the part decides this place, be it by leaving it out on purpose.

        A pattern is decided when both its sides are.
        """
        if at.endswith("/crossings") and not stands(self.document, at):
            return False
        if at.endswith("/crossings"):
            named = value_at(self.document, at)
            return named is None or all(stands(self.document, f"{at}/{side}") for side in SIDES)
        return stands(self.document, at)

    def says(self, at: str) -> bool:
        """Whether the part itself names something here: neither left out nor assumed."""
        return self.value(at) is not None and at not in self.assumed

    def value(self, at: str) -> Value:
        """What stands at a place; None where nothing does."""
        return value_at(self.document, at)

    def open_crossings(self, position: str) -> tuple[str, ...]:
        """The places where the pattern is still open: as a whole, or the sides that are not named."""
        at = f"/{position}/crossings"
        if self.has(at):
            return ()
        if isinstance(self.value(at), dict):
            return tuple(f"{at}/{side}" for side in SIDES if not self.has(f"{at}/{side}"))
        return (at,)

    @cached_property
    def frames(self) -> tuple[Frame, ...]:
        """The kinds of order and bicycle that are still open, in a stable order."""
        return tuple(Frame(kind, brake) for kind in self._kinds for brake in self._brakes)

    @property
    def _kinds(self) -> tuple[Kind, ...]:
        if self.wheels:
            return ()
        kinds = (cast(Kind, self.value("/kind")),) if self.has("/kind") else KINDS
        return tuple(each for each in kinds if self._suits(each))

    def _suits(self, kind: Kind) -> bool:
        wanted = positions_in(kind)
        for position in POSITIONS:
            at = f"/{position}"
            if not stands(self.document, at):
                continue
            if (self.value(at) is not None) != (position in wanted):
                return False
        return True

    @property
    def _brakes(self) -> tuple[Brake, ...]:
        return (cast(Brake, self.value("/use/brake")),) if self.has("/use/brake") else BRAKES

    def after(self, at: str, value: Value) -> Part:
        """The part with a value put at a place."""
        return replace(self, document=changed(self.document, ((at, value),)))

    def without(self, at: str) -> Part:
        """The part with a place open again."""
        return replace(self, document=_dropped(self.document, at), wheels=())


def stands(document: Mapping[str, Value], at: str) -> bool:
    """Whether anything, be it null, was said about this place or about an object around it.

    >>> stands({"front": {"washer": None}}, "/front/washer"), stands({"rear": None}, "/rear/hub")
    (True, True)
    >>> stands({"front": {}}, "/front/washer")
    False
    """
    inner: Value = dict(document)
    for name in at.split("/")[1:]:
        if inner is None:
            return True
        if not isinstance(inner, dict) or name not in inner:
            return False
        inner = inner[name]
    return True


def read_part(raw: bytes) -> Part:
    """A posted text as a part of an order. Never raises for what stands in it."""
    return _part(read(raw))


def part_of(document: Mapping[str, Any]) -> Part:
    """The same for a document that was parsed elsewhere."""
    return _part(read_document(document))


def _part(reading: Reading) -> Part:
    lacks = [each for each in reading.findings if each.code in ABOUT_ABSENCE]
    wheels = tuple(
        each
        for each in reading.findings
        if each.code == ABOUT_WHEELS and stands(reading.draft, each.at)
    )
    faults = tuple(
        each for each in reading.findings if each not in lacks and each.code != ABOUT_WHEELS
    )
    assumed = {at: lightest_kg(at) for at in MASS_PLACES if value_at(reading.draft, at) is None}
    return Part(changed(reading.draft, assumed.items()), assumed, faults, wheels)


def lightest_kg(at: str) -> Value:
    """The least mass that the order form takes at a place of ``use``.

    >>> lightest_kg("/use/rider_kg")
    20
    """
    bounds = Use.model_fields[at.rsplit("/", 1)[1]].metadata
    least_kg = next(float(each.ge) for each in bounds if hasattr(each, "ge"))
    return int(least_kg) if least_kg.is_integer() else least_kg


def _dropped(document: Mapping[str, Value], at: str) -> dict[str, Value]:
    copy = dict(document)
    name, _, rest = at[1:].partition("/")
    inner = copy.get(name)
    if not rest or not isinstance(inner, dict):
        copy.pop(name, None)
    else:
        copy[name] = _dropped(inner, "/" + rest)
    return copy

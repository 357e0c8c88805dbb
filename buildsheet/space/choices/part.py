"""A part of an order document, read: what it says, what it leaves open, what is assumed meanwhile."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, cast

from buildsheet.findings import Finding, Value
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

    ``members`` holds its sound members by place, the assumed ones put in; objects and what is inside
    them stand there both, the whole document under the empty place. A member that stands there as null
    was left out on purpose; one that is absent is still open. ``faults`` are faults of form; ``wheels``
    says that the wheels given are not those of the kind given.
    """

    members: Mapping[str, Value]
    assumed: Mapping[str, Value]
    faults: tuple[Finding, ...]
    wheels: tuple[Finding, ...]

    @property
    def document(self) -> Mapping[str, Value]:
        """The part as a document."""
        whole = self.members[""]
        return whole if isinstance(whole, dict) else {}

    def has(self, at: str) -> bool:
        """Whether the part decides this place, be it by leaving it out on purpose.

        A pattern is decided when both its sides are.
        """
        if not self._stands(at):
            return False
        if not at.endswith("/crossings") or self.members.get(at) is None:
            return True
        return all(self._stands(f"{at}/{side}") for side in SIDES)

    def _stands(self, at: str) -> bool:
        """Whether anything, be it null, was said about this place or about an object around it."""
        if at in self.members:
            return True
        around, _, _ = at.rpartition("/")
        return bool(around) and self._stands(around) and self.members.get(around) is None

    def says(self, at: str) -> bool:
        """Whether the part itself names something here: neither left out nor assumed."""
        return self.value(at) is not None and at not in self.assumed

    def value(self, at: str) -> Value:
        """What stands at a place; None where nothing does."""
        return self.members.get(at)

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
            if not self._stands(at):
                continue
            if (self.value(at) is not None) != (position in wanted):
                return False
        return True

    @property
    def _brakes(self) -> tuple[Brake, ...]:
        return (cast(Brake, self.value("/use/brake")),) if self.has("/use/brake") else BRAKES

    def after(self, at: str, value: Value) -> Part:
        """The part with a value put at a place."""
        return replace(self, members=_with(self.members, at, value))

    def without(self, at: str) -> Part:
        """The part with a place open again."""
        return replace(self, members=_without(self.members, at), wheels=())


def _by_place(value: Value, at: str) -> Iterator[tuple[str, Value]]:
    """A member and every member inside it, by its place."""
    yield at, value
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _by_place(inner, f"{at}/{name}")


def _with(members: Mapping[str, Value], at: str, value: Value) -> dict[str, Value]:
    """The members with this one put in, and the objects around it changed with it."""
    changed = dict(members)
    changed.update(_by_place(value, at))
    while at:
        at, _, name = at.rpartition("/")
        around = changed.get(at)
        value = {**(around if isinstance(around, dict) else {}), name: value}
        changed[at] = value
    return changed


def _without(members: Mapping[str, Value], at: str) -> dict[str, Value]:
    """The members without this one, if it is there."""
    if at not in members:
        return dict(members)
    kept = {each: value for each, value in members.items() if not (each + "/").startswith(at + "/")}
    at, _, name = at.rpartition("/")
    around = members[at]
    value = (
        {each: v for each, v in around.items() if each != name} if isinstance(around, dict) else {}
    )
    return _with(kept, at, value) if at else {**kept, "": value}


def read_part(raw: bytes) -> Part:
    """A posted text as a part of an order. Never raises for what stands in it."""
    return _part(read(raw))


def part_of(document: Mapping[str, Any]) -> Part:
    """The same for a document that was parsed elsewhere."""
    return _part(read_document(document))


def _part(reading: Reading) -> Part:
    said = Part(dict(_by_place(dict(reading.draft), "")), {}, (), ())
    wheels = [each for each in reading.findings if each.code == ABOUT_WHEELS]
    faults = [each for each in reading.findings if each.code not in (*ABOUT_ABSENCE, ABOUT_WHEELS)]
    assumed = {at: lightest_kg(at) for at in MASS_PLACES if said.value(at) is None}
    for at, mass_kg in assumed.items():
        said = said.after(at, mass_kg)
    return Part(
        said.members, assumed, tuple(faults), tuple(each for each in wheels if said.has(each.at))
    )


def lightest_kg(at: str) -> Value:
    """The least mass that the order form takes at a place of ``use``.

    >>> lightest_kg("/use/rider_kg")
    20
    """
    bounds = Use.model_fields[at.rsplit("/", 1)[1]].metadata
    least_kg = next(float(each.ge) for each in bounds if hasattr(each, "ge"))
    return int(least_kg) if least_kg.is_integer() else least_kg

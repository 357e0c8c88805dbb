"""What differs between two editions, asked the way an order asks: does it touch me?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar

from buildsheet.catalog.differences import differences
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Decal, DrillingProgram
from buildsheet.findings import Value
from buildsheet.orders.members import Members

Kind = TypeVar("Kind", Decal, DrillingProgram)

NAMED_KINDS: Final = frozenset({"rims", "hubs", "spokes", "nipples", "washers", "drivers"})
"""Kinds whose parts an order names by their codes."""

PAPER_ONLY: Final = frozenset({"sheet", "workshop"})
"""House tables that no check reads and that no length, tension or mass comes from."""


@dataclass(frozen=True, slots=True)
class Changed:
    """What may alter an order's answer.

    ``codes`` of parts that an order names; ``rims`` whose drilling programs and ``colours`` whose
    decals differ; ``everything`` where a house figure or an end cap differs, which any order may
    depend on; ``rules`` by id.
    """

    codes: frozenset[str]
    rims: frozenset[str]
    colours: frozenset[str]
    everything: bool
    rules: frozenset[str]

    def touches(self, document: Mapping[str, Value]) -> bool:
        """Whether an order names anything that differs, rules apart."""
        if self.everything:
            return True
        order = Members(document)
        finish = order.inner("finish")
        colours = {finish.word("decal_colour"), finish.word("rear_decal_colour")}
        return bool(self.colours & colours) or any(
            self._touches_wheel(order.inner(position)) for position in ("front", "rear")
        )

    def _touches_wheel(self, wheel: Members) -> bool:
        spoke = wheel.inner("spoke")
        named = {wheel.word(name) for name in ("rim", "hub", "nipple", "washer", "driver")}
        named |= {spoke.word("left"), spoke.word("right")}
        return bool(self.codes & named) or wheel.word("rim") in self.rims


def changed_content(old: Edition, new: Edition) -> Changed:
    """What differs between two editions, as far as an order can notice it."""
    found = differences(old, new)
    house = {each.key.partition(".")[0] for each in found.house} - PAPER_ONLY
    kinds = {each.kind for each in found.parts}
    return Changed(
        codes=frozenset(each.code for each in found.parts if each.kind in NAMED_KINDS),
        rims=frozenset(each.rim for each in _differing(old.programs, new.programs)),
        colours=frozenset(each.colour for each in _differing(old.decals, new.decals)),
        everything=bool(house) or "end_caps" in kinds,
        rules=frozenset(each.id for each in found.rules),
    )


def _differing(old: Mapping[str, Kind], new: Mapping[str, Kind]) -> Iterator[Kind]:
    """Both states of every part that is not the same in both."""
    for code in {*old, *new}:
        if old.get(code) != new.get(code):
            yield from (each[code] for each in (old, new) if code in each)

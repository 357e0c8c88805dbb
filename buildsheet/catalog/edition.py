"""One edition: every part, program, rule and house figure, frozen, with a digest over all of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from buildsheet.catalog.house import House
from buildsheet.catalog.parts import (
    Decal,
    DrillingProgram,
    Driver,
    EndCaps,
    Hub,
    Nipple,
    Part,
    Rim,
    Spoke,
    Washer,
)
from buildsheet.catalog.rules.rule import Rule

KINDS: Final[Mapping[str, type[Part]]] = {
    "rims": Rim,
    "hubs": Hub,
    "spokes": Spoke,
    "nipples": Nipple,
    "washers": Washer,
    "drivers": Driver,
    "end_caps": EndCaps,
    "decals": Decal,
    "programs": DrillingProgram,
}
"""File stem under ``parts/`` and attribute of `Edition` -> the kind's model."""


@dataclass(frozen=True, slots=True)
class Edition:
    """A numbered, frozen state of the catalog. ``digest`` is ``sha256:...`` over its canonical text:
    two editions with the same digest say the same."""

    number: int
    digest: str
    house: House
    rims: Mapping[str, Rim]
    hubs: Mapping[str, Hub]
    spokes: Mapping[str, Spoke]
    nipples: Mapping[str, Nipple]
    washers: Mapping[str, Washer]
    drivers: Mapping[str, Driver]
    end_caps: Mapping[str, EndCaps]
    decals: Mapping[str, Decal]
    programs: Mapping[str, DrillingProgram]
    rules: Mapping[str, Rule] = field(default_factory=lambda: MappingProxyType({}))

    def decal(self, colour: str, size: str, hand: str) -> Decal | None:
        """The decal set of this colour, size and hand, or None where none is made."""
        for each in self.decals.values():
            if (each.colour, each.size, each.hand) == (colour, size, hand):
                return each
        return None

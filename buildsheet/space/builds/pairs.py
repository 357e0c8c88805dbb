"""What one rim with one hub may be built from: all that decides its sound wheels, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.house import (
    FitHouse,
    House,
    LacingHouse,
    LengthHouse,
    LoadHouse,
    TensionHouse,
)
from buildsheet.catalog.parts import DrillingProgram, Hub, Nipple, Position, Rim, Spoke, Washer


@dataclass(frozen=True)
class Around:
    """What goes between any rim and any hub, and the house's figures that judge it."""

    spokes: tuple[Spoke, ...]
    nipples: tuple[Nipple, ...]
    washers: tuple[Washer, ...]
    lacing: LacingHouse
    fit: FitHouse
    length: LengthHouse
    tension: TensionHouse
    load: LoadHouse

    @cached_property
    def _hash(self) -> int:
        return hash(tuple(getattr(self, each.name) for each in fields(self)))

    def __hash__(self) -> int:
        # asked once for every pair of rim and hub
        return self._hash


@dataclass(frozen=True, slots=True)
class Pair:
    """One rim with one hub, the programs that drill the rim for this position, and all around them.

    Two pairs that are equal have the same sound wheels, whatever edition they come from.
    """

    position: Position
    rim: Rim
    hub: Hub
    programs: tuple[DrillingProgram, ...]
    around: Around

    def edition(self) -> Edition:
        """An edition that holds nothing but this: a check that reads anything else fails loudly."""
        around = self.around
        judging: dict[str, Any] = {
            "lacing": around.lacing,
            "fit": around.fit,
            "length": around.length,
            "tension": around.tension,
            "load": around.load,
        }
        house = House.model_construct(**judging)
        tables: dict[str, Any] = {each.name: {} for each in fields(Edition)}
        tables.update(
            number=0,
            digest="",
            house=house,
            rims={self.rim.code: self.rim},
            hubs={self.hub.code: self.hub},
            spokes={each.code: each for each in around.spokes},
            nipples={each.code: each for each in around.nipples},
            washers={each.code: each for each in around.washers},
            programs={each.code: each for each in self.programs},
        )
        return Edition(**tables)


def pairs(edition: Edition, position: Position) -> Iterator[Pair]:
    """Every rim with every hub of this position, in the order of the edition."""
    around = _around(edition)
    hubs = [hub for hub in edition.hubs.values() if hub.position == position]
    for rim in edition.rims.values():
        drills = tuple(
            each
            for each in edition.programs.values()
            if each.rim == rim.code and each.position == position
        )
        for hub in hubs:
            yield Pair(position, rim, hub, drills, around)


def _around(edition: Edition) -> Around:
    house = edition.house
    return Around(
        spokes=tuple(edition.spokes.values()),
        nipples=tuple(edition.nipples.values()),
        washers=tuple(edition.washers.values()),
        lacing=house.lacing,
        fit=house.fit,
        length=house.length,
        tension=house.tension,
        load=house.load,
    )

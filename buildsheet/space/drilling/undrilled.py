"""Wheels that wait for nothing but a drilling program: those of a new rim, as a rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import DrillingProgram
from buildsheet.space.builds import POSITIONS, WheelBuild, builds_of
from buildsheet.space.drilling.kinds import Drilling, of_build
from buildsheet.space.wheels import passing

_ANY_DEG: Final = 90.0
"""A tolerance that no spoke fails."""


def undrilled(
    edition: Edition, drilled: frozenset[Drilling]
) -> Mapping[Drilling, list[WheelBuild]]:
    """Wheels that nothing but the want of a drilling program keeps from being built, where a kind of
    drilled rim has none at all."""
    empty = [each for each in _thinkable(edition) if each not in drilled]
    if not empty:
        return {}
    lacing = edition.house.lacing.model_copy(
        update={"hole_axis_deg": _ANY_DEG, "hole_axis_approval_deg": _ANY_DEG}
    )
    rims = {each.rim for each in empty}
    if_drilled = replace(
        edition,
        digest=f"{edition.digest} if drilled",
        house=edition.house.model_copy(update={"lacing": lacing}),
        rims={code: rim for code, rim in edition.rims.items() if code in rims},
        programs={**edition.programs, **{each.name: _stand_in(each) for each in empty}},
    )
    found: dict[Drilling, list[WheelBuild]] = {}
    builds = builds_of(if_drilled)
    for position, passes in passing(builds).items():
        for place in passes.nonzero()[0]:
            of = of_build(builds[position], int(place))
            if of in empty:
                found.setdefault(of, []).append(builds[position].builds[int(place)])
    return found


def _thinkable(edition: Edition) -> Iterator[Drilling]:
    """Every kind of drilled rim that some hub and some nipple on offer would go with."""
    kinds = {each.kind for each in edition.nipples.values() if each.state == "active"}
    hubs = {
        (hub.position, holes, hub.brake, hub.split)
        for hub in edition.hubs.values()
        if hub.state == "active"
        for holes in hub.holes
    }
    for rim in edition.rims.values():
        if rim.state == "active":
            for holes, position, kind in product(rim.holes, POSITIONS, rim.drillings):
                if kind in kinds and (position, holes, rim.brake, rim.split) in hubs:
                    yield Drilling(rim.code, holes, position, kind)


def _stand_in(of: Drilling) -> DrillingProgram:
    """A program that drills straight in, for the sake of asking what else would stand in the way."""
    return DrillingProgram.model_construct(
        code=of.name,
        name=of.name,
        state="active",
        rim=of.rim,
        holes=of.holes,
        position=of.position,
        drilling=of.drilling,
        left_lateral_deg=0.0,
        right_lateral_deg=0.0,
        in_plane_deg=0.0,
    )

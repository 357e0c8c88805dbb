"""From a build's codes back to its parts, and in how many finishes each build of an edition can be had."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.plan.assembly import Assembly
from buildsheet.space.builds import Builds, WheelBuild
from buildsheet.space.builds.build import Truths
from buildsheet.space.finishes import finish_space
from buildsheet.wheel.spec import Sides


def assembled(build: WheelBuild, edition: Edition) -> Assembly:
    """The wheel as parts, in the nipple's first colour. Raises KeyError for a code that the edition does
    not know."""
    nipple = edition.nipples[build.nipple]
    left, right = build.spokes
    return Assembly(
        position=build.position,
        rim=edition.rims[build.rim],
        holes=build.holes,
        hub=edition.hubs[build.hub],
        spokes=Sides(edition.spokes[left], edition.spokes[right]),
        crossings=None if build.crossings is None else Sides(*build.crossings),
        nipple=nipple,
        nipple_colour=nipple.colours[0],
        washer=None if build.washer is None else edition.washers[build.washer],
    )


def ways(builds: Builds) -> tuple[int, ...]:
    """For each build, in how many nipple colours, driver bodies and decal colours it can be built: 0 where
    a rule or a use that nobody can state leaves none. Remembered by the edition's digest."""
    return finish_space(builds).ways() if len(builds) else ()


def passing(builds: Mapping[Position, Builds]) -> dict[Position, Truths]:
    """By position, which builds can be built in some finish for some use."""
    return {
        position: np.array([number > 0 for number in ways(each)], dtype=np.bool_)
        for position, each in builds.items()
    }

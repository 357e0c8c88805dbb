"""From a build's codes back to its parts, and in how many finishes each build of an edition can be had."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.plan.assembly import Assembly
from buildsheet.space.builds import Builds, WheelBuild
from buildsheet.space.builds.build import Truths
from buildsheet.space.count import ways_of_builds
from buildsheet.wheel.spec import Sides

REMEMBERED: Final = 32
"""Positions of editions; an impact asks for four."""

_ways: OrderedDict[tuple[str, Position], tuple[int, ...]] = OrderedDict()
_asking = threading.Lock()


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
    if not len(builds):
        return ()
    key = builds.edition.digest, builds.position
    with _asking:
        known = _ways.get(key)
    if known is None:
        known = ways_of_builds(builds.edition, {builds.position: builds})
        with _asking:
            _ways[key] = known
            while len(_ways) > REMEMBERED:
                _ways.popitem(last=False)
    return known


def passing(builds: Mapping[Position, Builds]) -> dict[Position, Truths]:
    """By position, which builds can be built in some finish for some use."""
    return {
        position: np.array([number > 0 for number in ways(each)], dtype=np.bool_)
        for position, each in builds.items()
    }

"""From a build's codes back to its parts."""

from __future__ import annotations

from buildsheet.catalog.edition import Edition
from buildsheet.plan.assembly import Assembly
from buildsheet.space.builds import WheelBuild
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

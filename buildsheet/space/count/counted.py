"""How many wheels and sets can be built from an edition, exactly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.space.builds import POSITIONS, Builds, Progress, builds_of
from buildsheet.space.count.conditions import Problem, Wheels
from buildsheet.space.count.lists import (
    Lists,
    combinations,
    decal_colours,
    use_lists,
    wheel_lists,
)
from buildsheet.space.questions import askings_of

DECALS = "/finish/decal_colour"


@dataclass(frozen=True, slots=True)
class Count:
    """``combinations``: every wheel that the lists spell out. ``buildable``: those that some use at the
    lightest masses does not refuse, by parts, nipple colour, driver body and decal colour; approvals
    may be needed. ``by_rim``: the same for each rim of the edition. ``sets``: pairs of a front and a
    rear wheel that are buildable together under one use, with decals of one colour."""

    edition: int
    combinations: int
    buildable: int
    by_rim: Mapping[str, int]
    sets: int

    def as_json(self) -> dict[str, Value]:
        """The document of the interfaces, with the sets added."""
        return {
            "edition": self.edition,
            "combinations": self.combinations,
            "buildable": self.buildable,
            "by_rim": dict(self.by_rim),
            "sets": self.sets,
        }


def count(edition: Edition, *, progress: Progress | None = None) -> Count:
    """The count of an edition. ``progress`` is told of the sound wheels as they are found."""
    builds = builds_of(edition, progress=progress)
    by_rim = dict.fromkeys(edition.rims, 0)
    for position in POSITIONS:
        ways = ways_of_builds(edition, {position: builds[position]})
        for build, number in zip(builds[position].builds, ways, strict=True):
            by_rim[build.rim] += number
    return Count(
        edition=edition.number,
        combinations=combinations(edition),
        buildable=sum(by_rim.values()),
        by_rim=by_rim,
        sets=sum(ways_of_builds(edition, builds)),
    )


def ways_of_builds(edition: Edition, builds: Mapping[Position, Builds]) -> tuple[int, ...]:
    """For each build of the first position given, in how many colours and driver bodies it can be
    built; with both positions, in how many sets it can go."""
    lists = _lists(edition, builds)
    uses = {at for at in lists if at.startswith(("/use/", "/market", "/kind"))}
    problem = Problem(Wheels(edition, builds, lists))
    for at in lists.keys() - uses:
        problem.choose(at)
    for asking in askings_of(edition):
        if problem.wheels.is_open(asking):
            problem.add(asking)
    first, *_ = (problem.build(position) for position in builds)
    or_ed = uses & problem.choices.keys()
    return problem.space().ways(of=[first], exists=or_ed)[first]


def _lists(edition: Edition, builds: Mapping[Position, Builds]) -> Lists:
    """What is left open by the builds: colours and driver bodies, and the use."""
    lists: dict[str, tuple[Value, ...]] = dict(use_lists(edition))
    for position in builds:
        wheel = wheel_lists(edition, position)
        for member in ("nipple_colour", "driver"):
            at = f"/{position}/{member}"
            if at in wheel:
                lists[at] = wheel[at]
    lists[DECALS] = decal_colours(edition)
    lists["/kind"] = ("set",) if len(builds) > 1 else tuple(builds)
    return lists

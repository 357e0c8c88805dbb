"""Rules that leave nothing together, though each by itself leaves something."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.space.builds import POSITIONS, builds_of
from buildsheet.space.remembered import parts_digest, remembered
from buildsheet.space.wheels import ways

Place = tuple[Position, str]
"""Position and rim."""

Left = Mapping[Place, int]
"""Configurations that are left."""


@dataclass(frozen=True, slots=True, order=True)
class Contradiction:
    """These rules together leave no wheel of this rim at this position, though each of them alone leaves
    some. As few as it takes: without any one of them something is left."""

    position: Position
    rim: str
    rules: tuple[str, ...]


@remembered
def contradictions(edition: Edition) -> tuple[Contradiction, ...]:
    """Every contradiction, sorted. Exact over all configurations of one wheel: rules of sets and of whole
    orders are not looked at.

    Two rules can only contradict each other at a place where what each of them leaves adds up to no more
    than there is without rules: those pairs alone are counted together.
    """
    names = tuple(
        name
        for name, rule in edition.rules.items()
        if rule.severity == "block" and rule.scope in ("part", "wheel")
    )
    if len(names) < 2:
        return ()
    free = _left(edition, ())
    alone = {name: _left(edition, (name,)) for name in names}
    found: set[Contradiction] = set()
    for pair in combinations(names, 2):
        suspect = [
            place
            for place, every in free.items()
            if all(alone[name][place] for name in pair)
            and sum(alone[name][place] for name in pair) <= every
        ]
        if suspect:
            both = _left(edition, pair)
            found |= {Contradiction(*place, pair) for place in suspect if not both[place]}
    together = _left(edition, names)
    told = {(each.position, each.rim) for each in found}
    found |= {
        Contradiction(*place, _least(edition, place, names))
        for place, number in together.items()
        if not number and place not in told and all(alone[name][place] for name in names)
    }
    return tuple(sorted(found))


def _least(edition: Edition, place: Place, names: tuple[str, ...]) -> tuple[str, ...]:
    """Of rules that leave nothing at a place, some that do so and no fewer of them."""
    kept = names
    for name in names:
        fewer = tuple(each for each in kept if each != name)
        if not _left(edition, fewer)[place]:
            kept = fewer
    return kept


def _left(edition: Edition, names: Collection[str]) -> Left:
    """What these rules alone leave, by position and rim; places with nothing at all are not there."""
    rules = {name: rule for name, rule in edition.rules.items() if name in names}
    # remembered for the parts and these rules, whatever other rules the edition has
    asked = [
        [each.scope, each.when, each.needs, each.asked_in(edition.number)]
        for each in rules.values()
    ]
    held = replace(edition, rules=rules, digest=f"{parts_digest(edition)} with {asked}")
    left: dict[Place, int] = {}
    for position, builds in builds_of(held).items():
        for build, number in zip(builds, ways(builds), strict=True):
            place = (position, build.rim)
            left[place] = left.get(place, 0) + number
    return {
        (position, rim): left.get((position, rim), 0) for position in POSITIONS for rim in held.rims
    }

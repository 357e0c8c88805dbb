"""What the makers of a wheel's parts release it for: how heavy, which use, which tyres.

A wheel that loses some of this can still be built, for a lighter rider or a milder use; whoever
publishes has to see it all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Hub, Nipple, Position, Rim, Spoke
from buildsheet.space.builds.build import Truths, WheelBuild

MEMBERS: Final[Mapping[str, tuple[str, ...]]] = {
    "rims": ("system_limits", "use_classes", "pressure_limits", "tyre_min_mm", "tyre_max_mm"),
    "hubs": ("system_limit_kg", "use_classes"),
    "spokes": ("system_limit_kg", "use_classes"),
    "nipples": ("system_limit_kg", "use_classes"),
}
"""By kind of part, what a release is made of."""

FIGURES: Final = ("system_kg", "use_classes", "tyres")


@dataclass(frozen=True, slots=True)
class Released:
    """``system_kg`` is the lowest limit of any part, in kg of rider, bicycle and luggage;
    ``use_classes`` those that every part has; ``tyres`` the narrowest and the widest in mm, then pairs
    of tyre width in mm and highest pressure in bar. None where a part does not say."""

    system_kg: float | None
    use_classes: tuple[int, ...] | None
    tyres: tuple[float | None, ...]


def released(edition: Edition, build: WheelBuild) -> Released:
    """The release of one wheel whose parts the edition has."""
    rim, hub = edition.rims[build.rim], edition.hubs[build.hub]
    others: tuple[Hub | Nipple | Spoke, ...] = (
        hub,
        edition.nipples[build.nipple],
        *(edition.spokes[each] for each in dict.fromkeys(build.spokes)),
    )
    pressures = [(each.tyre_mm, each.limit_bar) for each in rim.pressure_limits or ()]
    return Released(
        _lowest([_rim_kg(rim, build.holes, build.position), *(o.system_limit_kg for o in others)]),
        _common([rim.use_classes, *(each.use_classes for each in others)]),
        (rim.tyre_min_mm, rim.tyre_max_mm, *chain.from_iterable(pressures)),
    )


def releases_differ(
    old: Edition, new: Edition, builds: Iterable[WheelBuild]
) -> dict[str, Truths] | None:
    """Figure -> for each wheel, which both editions have, whether it is released otherwise; None where
    no part says anything else, which costs nothing to see."""
    if not any(_part_differs(old, new, kind) for kind in MEMBERS):
        return None
    differs: list[tuple[bool, ...]] = []
    known: dict[tuple[object, ...], tuple[bool, ...]] = {}
    for each in builds:
        key = (each.position, each.rim, each.holes, each.hub, each.spokes, each.nipple)
        if key not in known:
            before, after = released(old, each), released(new, each)
            known[key] = tuple(getattr(before, n) != getattr(after, n) for n in FIGURES)
        differs.append(known[key])
    table = np.array(differs, np.bool_).reshape(len(differs), len(FIGURES))
    return {name: table[:, place] for place, name in enumerate(FIGURES)}


def _part_differs(old: Edition, new: Edition, kind: str) -> bool:
    before, after = getattr(old, kind), getattr(new, kind)
    return any(
        getattr(before[code], name) != getattr(after[code], name)
        for code in before.keys() & after.keys()
        for name in MEMBERS[kind]
    )


def _rim_kg(rim: Rim, holes: int, position: Position) -> float | None:
    row = next((each for each in rim.system_limits or () if each.holes == holes), None)
    if row is None:
        return None
    return row.front_kg if position == "front" else row.rear_kg


def _lowest(limits: Iterable[float | None]) -> float | None:
    said = list(limits)
    known = [each for each in said if each is not None]
    return min(known) if len(known) == len(said) else None


def _common(classes: Iterable[tuple[int, ...] | None]) -> tuple[int, ...] | None:
    said = list(classes)
    known = [set(each) for each in said if each is not None]
    return tuple(sorted(set.intersection(*known))) if len(known) == len(said) else None

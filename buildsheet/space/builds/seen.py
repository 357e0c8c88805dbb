"""The different things that builds say at a few of their members."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from buildsheet.findings import Value
from buildsheet.remembered import Same
from buildsheet.space.builds.build import Builds, WheelBuild

Places = tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What builds say at ``places``. ``different``: each combination of values that some build has there;
    ``which`` (B,): the one that each build has."""

    places: Places
    different: tuple[Mapping[str, Value], ...]
    which: NDArray[np.intp]


def seen_at(builds: Builds, places: Places) -> Seen:
    """What the builds say at these places of an order. Worked out once for equal builds."""
    return _seen(Same(builds.builds), places)


@lru_cache(maxsize=256)
def _seen(same: Same[tuple[WheelBuild, ...]], places: Places) -> Seen:
    numbers: dict[tuple[object, ...], int] = {}
    which = np.empty(len(same.it), dtype=np.intp)
    for index, build in enumerate(same.it):
        key = tuple(_said(build, at) for at in places)
        which[index] = numbers.setdefault(key, len(numbers))
    which.setflags(write=False)
    different = tuple(
        {at: _value(said) for at, said in zip(places, key, strict=True)} for key in numbers
    )
    return Seen(places, different, which)


def _said(build: WheelBuild, at: str) -> str | int | tuple[int, int] | None:
    member = at.split("/", 2)[2]
    if member.startswith("spoke/"):
        return build.spokes[0 if member == "spoke/left" else 1]
    said: str | int | tuple[int, int] | None = getattr(build, member)
    return said


def _value(said: object) -> Value:
    if isinstance(said, tuple):
        return {"left": said[0], "right": said[1]}
    return said if isinstance(said, str | int) else None

"""The sound wheels of one position as columns: for each wheel, where its members stand on their lists."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.space.builds import Builds, WheelBuild
from buildsheet.space.choices.places import build_places, values_of

Numbers = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Combos:
    """The different combinations of some members among the wheels.

    ``of_wheel``: for each wheel the number of its combination; ``values``: the combinations.
    """

    of_wheel: Numbers
    values: tuple[tuple[Value, ...], ...]


class Columns:
    """Every sound wheel of one position, in columns. ``places`` are JSON Pointers of its members."""

    def __init__(self, builds: Builds, edition: Edition) -> None:
        self.builds = builds
        self.position = builds.position
        self.places = build_places(self.position)
        self.size = len(builds)
        self._values = {at: values_of(at, edition) for at in self.places}
        self._numbers: dict[str, Numbers] = {}
        self._combos: dict[tuple[str, ...], Combos] = {}
        members = [_members(each) for each in builds]
        for place, at in enumerate(self.places):
            number_of = {_key(value): number for number, value in enumerate(self._values[at])}
            listed = (number_of[_key(each[place])] for each in members)
            self._numbers[at] = np.fromiter(listed, dtype=np.intp, count=self.size)

    def values(self, at: str) -> tuple[Value, ...]:
        """The list of a member."""
        return self._values[at]

    def numbers(self, at: str) -> Numbers:
        """For each wheel, where its member stands on that list."""
        return self._numbers[at]

    def wheel(self, number: int) -> dict[str, Value]:
        """One wheel by place."""
        return {at: self._values[at][self._numbers[at][number]] for at in self.places}

    def having(self, at: str, value: Value) -> Flags:
        """Which wheels have this member; one side of a pattern may be named alone."""
        if at in self._numbers:
            return self._among(at, [each == value for each in self._values[at]])
        pattern, _, side = at.rpartition("/")
        sides = (
            each.get(side) if isinstance(each, dict) else None for each in self.values(pattern)
        )
        return self._among(pattern, [each == value for each in sides])

    def _among(self, at: str, fits: Iterable[bool]) -> Flags:
        chosen: Flags = np.array([*fits], dtype=np.bool_)[self._numbers[at]]
        return chosen

    def combos(self, places: tuple[str, ...]) -> Combos:
        """The different combinations of these members, worked out once."""
        known = self._combos.get(places)
        if known is None:
            known = self._combos[places] = self._distinct(places)
        return known

    def _distinct(self, places: tuple[str, ...]) -> Combos:
        shape = tuple(len(self._values[at]) for at in places)
        flat = np.ravel_multi_index(tuple(self._numbers[at] for at in places), shape)
        different, of_wheel = np.unique(flat, return_inverse=True)
        where = np.unravel_index(different, shape)
        lists = [
            [self._values[at][each] for each in one] for at, one in zip(places, where, strict=True)
        ]
        return Combos(of_wheel.astype(np.intp), tuple(zip(*lists, strict=True)))


def _members(build: WheelBuild) -> tuple[Value, ...]:
    """The members of a wheel as an order writes them, in the order of the places."""
    crossed = build.crossings
    pattern: Value = None if crossed is None else {"left": crossed[0], "right": crossed[1]}
    left, right = build.spokes
    return (build.rim, build.holes, build.hub, pattern, left, right, build.nipple, build.washer)


def _key(value: Value) -> str:
    """A value as text: patterns are objects, which no dictionary takes as a key."""
    plain = int(value) if isinstance(value, float) and value.is_integer() else value
    return json.dumps(plain, sort_keys=True)

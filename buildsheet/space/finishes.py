"""Colours, driver bodies and decals: what each build of an edition can be had in, and in both of two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import chain
from typing import Final

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.space.builds import Builds
from buildsheet.space.count.conditions import Problem, Wheels
from buildsheet.space.count.lists import decal_colours, use_lists, wheel_lists
from buildsheet.space.counting import Choice, Factor, Space
from buildsheet.space.questions import askings_of

DECALS: Final = "/finish/decal_colour"
FINISHES: Final = ("nipple_colour", "driver")
"""Members of a wheel that its figures leave open, beside the decals."""

Lists = dict[str, tuple[Value, ...]]


def finish_space(builds: Builds) -> FinishSpace:
    """The finishes of all builds of one position. Remembered by the edition's digest."""
    return _finish_space(_OfEdition(builds))


class _OfEdition:
    """All builds of one position of an edition: what an edition says is in its digest."""

    def __init__(self, builds: Builds) -> None:
        self.builds = builds
        self._key = (builds.edition.digest, builds.position)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _OfEdition) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@lru_cache(maxsize=16)
def _finish_space(of: _OfEdition) -> FinishSpace:
    return FinishSpace(of.builds)


class FinishSpace:
    """All finishes of the builds of one position, prepared once and asked often. ``uses`` are the choices
    of which one that works is enough."""

    def __init__(self, builds: Builds) -> None:
        edition, self._position = builds.edition, builds.position
        self._lists = _lists(edition, self._position)
        self.problem = _problem(builds, self._lists)
        self.uses = _uses(self.problem, self._lists, self._position)
        self._space = self.problem.space()
        self._ways: tuple[int, ...] | None = None

    def offers(self, at: str) -> tuple[Value, ...]:
        """The values that the edition offers at a place; empty where the wheel has no such member."""
        return self._lists.get(at, ())

    def factors(
        self, values: Mapping[str, Sequence[Value]], rows: Sequence[int]
    ) -> Iterator[Factor]:
        """The edition's conditions on these of its builds, over other lists of values: what the edition
        does not offer, it refuses."""
        places = {f"/{self._position}": list(rows)}
        for at, wide in values.items():
            own = {value: place for place, value in enumerate(self.offers(at))}
            if own:
                places[at] = [own.get(value, -1) for value in wide]
                offered = np.array([value in own for value in wide], dtype=np.bool_)
                yield Factor((at,), offered)
        for factor in self.problem.factors:
            table = factor.table
            for axis, name in enumerate(factor.names):
                if name in places:
                    table = table.take(places[name], axis=axis)
            yield Factor(factor.names, table)

    def ways(self) -> tuple[int, ...]:
        """For each build, the number of its finishes. The same figures as `count.ways_of_builds`."""
        if self._ways is None:
            build = f"/{self._position}"
            self._ways = self._space.ways(of=[build], exists=self.uses)[build]
        return self._ways

    def possible(self, at: str, builds: Sequence[int] | None = None) -> tuple[str, ...]:
        """The values at a place that some of these builds (by index; None: any) can be had in."""
        if at not in self._lists or (builds is not None and not len(builds)):
            return ()
        held = {} if builds is None else {f"/{self._position}": builds}
        numbers = self._space.ways(held, of=[at], exists=self.uses)[at]
        values = zip(self._lists[at], numbers, strict=True)
        return tuple(str(value) for value, number in values if number)


def ways_in_both(
    old: Builds, new: Builds, old_rows: Sequence[int], new_rows: Sequence[int]
) -> tuple[int, ...]:
    """For each of the wheels that both editions have (by index in each), the number of colours and driver
    bodies in which both can build it, each for some use of its own.

    Exact: the conditions of both editions over one set of choices. Nothing is asked again.
    """
    if not len(new_rows):
        return ()
    both = finish_space(old), finish_space(new)
    build = f"/{new.position}"
    values = {
        at: tuple(dict.fromkeys(chain.from_iterable(each.offers(at) for each in both)))
        for at in (DECALS, *(f"{build}/{member}" for member in FINISHES))
    }
    sizes = {at: len(each) for at, each in values.items() if each} | {build: len(new_rows)}
    choices = [Choice(at, size) for at, size in sizes.items()]
    factors: list[Factor] = []
    uses: set[str] = set()
    for name, space, rows in (("old", both[0], old_rows), ("new", both[1], new_rows)):
        own = {at: f"{name} {at}" for at in space.uses}
        uses |= set(own.values())
        choices += [replace(space.problem.choices[at], name=own[at]) for at in own]
        factors += [
            Factor(tuple(own.get(at, at) for at in each.names), each.table)
            for each in space.factors(values, rows)
        ]
    return Space(choices, factors).ways(of=[build], exists=uses)[build]


def _lists(edition: Edition, position: Position) -> Lists:
    """Every colour and driver body on offer, and every use."""
    wheel = wheel_lists(edition, position)
    places = (f"/{position}/{member}" for member in FINISHES)
    finishes = {at: wheel[at] for at in places if at in wheel}
    return {
        **use_lists(edition),
        **finishes,
        DECALS: decal_colours(edition),
        "/kind": (position,),
    }


def _problem(builds: Builds, lists: Lists) -> Problem:
    """An edition's conditions on its builds."""
    position = builds.position
    problem = Problem(Wheels(builds.edition, {position: builds}, lists))
    for at in (DECALS, *(f"/{position}/{member}" for member in FINISHES)):
        if at in lists:
            problem.choose(at)
    for asking in askings_of(builds.edition):
        if problem.wheels.is_open(asking):
            problem.add(asking)
    problem.build(position)
    return problem


def _uses(problem: Problem, lists: Lists, position: Position) -> frozenset[str]:
    """The choices of which one that works is enough."""
    counted = {DECALS, *(f"/{position}/{member}" for member in FINISHES)}
    return frozenset(at for at in problem.choices if at in lists and at not in counted)

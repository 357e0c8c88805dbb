"""Colours, driver bodies and decals: what each build of an edition can be had in, and in both of two."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.space.builds import Builds, Figures, WheelBuild
from buildsheet.space.count.conditions import Problem, Wheels
from buildsheet.space.count.lists import decal_colours, use_lists, wheel_lists
from buildsheet.space.counting import Choice, Factor, Space
from buildsheet.space.questions import askings_of

DECALS: Final = "/finish/decal_colour"
FINISHES: Final = ("nipple_colour", "driver")
"""Members of a wheel that its figures leave open, beside the decals."""

Lists = dict[str, tuple[Value, ...]]


class FinishSpace:
    """All finishes of the builds of one position, prepared once and asked often."""

    def __init__(self, builds: Builds) -> None:
        edition, self._position = builds.edition, builds.position
        self._lists: Lists = {**use_lists(edition), **_finishes((edition,), self._position)}
        problem = _problem(builds.builds, self._position, edition, self._lists)
        self._uses = _uses(problem, self._lists, self._position)
        self._space = problem.space()

    def possible(self, at: str, builds: Sequence[int] | None = None) -> tuple[str, ...]:
        """The values at a place that some of these builds (by index; None: any) can be had in."""
        if at not in self._lists or (builds is not None and not len(builds)):
            return ()
        held = {} if builds is None else {f"/{self._position}": builds}
        numbers = self._space.ways(held, of=[at], exists=self._uses)[at]
        values = zip(self._lists[at], numbers, strict=True)
        return tuple(str(value) for value, number in values if number)


def ways_in_both(
    builds: Sequence[WheelBuild], position: Position, old: Edition, new: Edition
) -> tuple[int, ...]:
    """For each build, sound in both editions, the number of colours and driver bodies in which both can
    build it, each for some use of its own. Exact: both editions' conditions over one set of choices."""
    if not builds:
        return ()
    choices: dict[str, Choice] = {}
    factors: list[Factor] = []
    uses: set[str] = set()
    finishes = _finishes((old, new), position)
    for name, edition in (("old", old), ("new", new)):
        lists: Lists = {**use_lists(edition), **finishes}
        problem = _problem(builds, position, edition, lists)
        own = {at: f"{name} {at}" for at in _uses(problem, lists, position)}
        uses |= set(own.values())
        for at, choice in problem.choices.items():
            choices[own.get(at, at)] = replace(choice, name=own.get(at, at))
        factors.extend(
            Factor(tuple(own.get(at, at) for at in each.names), each.table)
            for each in problem.factors
        )
    build = f"/{position}"
    return Space(tuple(choices.values()), factors).ways(of=[build], exists=uses)[build]


def _finishes(editions: Sequence[Edition], position: Position) -> Lists:
    """Every colour and driver body that one of the editions offers; what an edition does not offer its
    checks refuse."""
    wheels = [wheel_lists(each, position) for each in editions]
    lists: Lists = {}
    for member in FINISHES:
        at = f"/{position}/{member}"
        if any(at in each for each in wheels):
            lists[at] = tuple(dict.fromkeys(chain.from_iterable(each[at] for each in wheels)))
    lists[DECALS] = tuple(dict.fromkeys(chain.from_iterable(map(decal_colours, editions))))
    return lists


def _problem(
    builds: Sequence[WheelBuild],
    position: Position,
    edition: Edition,
    lists: Mapping[str, tuple[Value, ...]],
) -> Problem:
    """One edition's conditions on these builds."""
    some = Builds(edition, position, tuple(builds), Figures.of(()))
    problem = Problem(Wheels(edition, {position: some}, lists))
    for at in _finishes((edition,), position):
        problem.sum_over(at)
    for asking in askings_of(edition):
        if problem.wheels.is_open(asking):
            problem.add(asking)
    problem.build(position)
    return problem


def _uses(problem: Problem, lists: Lists, position: Position) -> frozenset[str]:
    """The choices of which one that works is enough."""
    counted = {DECALS, *(f"/{position}/{member}" for member in FINISHES)}
    return frozenset(at for at in problem.choices if at in lists and at not in counted)

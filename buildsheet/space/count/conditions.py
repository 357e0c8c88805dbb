"""Checks as conditions of a space: each asked once for every different thing that it reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod
from typing import Final

import numpy as np
from numpy.typing import NDArray

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.orders.posted import Posted
from buildsheet.space.builds import Builds
from buildsheet.space.builds.build import Truths
from buildsheet.space.builds.planned import plans_at, plans_pass
from buildsheet.space.builds.seen import Places, Seen, seen_at
from buildsheet.space.count.lists import Lists
from buildsheet.space.counting import Choice, Factor, Space
from buildsheet.space.questions import BUILD, RULES_FAMILY, Asking, RuleAsking

Said = Mapping[str, Value]
Numbers = NDArray[np.intp]

MOST_PAIRS: Final = 2_000
"""More pairs of wheels than this are first told apart by what a rule takes from them."""


@dataclass(frozen=True)
class Wheels:
    """The wheels of one position, or of both as a set, in every colour and use of ``lists``."""

    edition: Edition
    builds: Mapping[Position, Builds]
    lists: Lists

    def built(self, places: Places) -> dict[Position, Seen]:
        """What builds say at the places that are theirs."""
        own = {
            position: tuple(at for at in places if at in _members(position))
            for position in self.builds
        }
        return {position: seen_at(self.builds[position], at) for position, at in own.items() if at}

    def merged(
        self, asking: RuleAsking, built: dict[Position, Seen], beside: int = 1
    ) -> dict[Position, Seen]:
        """The same, with what a rule of sets cannot tell apart made one, where two wheels would else be
        too many pairs to ask about."""
        if asking.rule.scope != "set" or prod(
            len(s.different) for s in built.values()
        ) * beside <= (MOST_PAIRS):
            return built
        return {position: self._merged(asking, position, seen) for position, seen in built.items()}

    def _merged(self, asking: RuleAsking, position: Position, seen: Seen) -> Seen:
        numbers: dict[object, int] = {}
        kept: list[Said] = []
        places = np.empty(len(seen.different), dtype=np.intp)
        for place, said in enumerate(seen.different):
            wheel = Posted(changed({}, said.items()), self.edition).wheel(position)
            read = asking.read_of(wheel) if wheel is not None else ()
            places[place] = numbers.setdefault(read, len(kept))
            if len(numbers) > len(kept):
                kept.append(said)
        return Seen(seen.places, tuple(kept), places[seen.which])

    def listed(self, asking: Asking) -> tuple[str, ...]:
        """What is read that is chosen from a list. The rest is left out of every order here."""
        return tuple(at for at in asking.reads if at in self.lists)

    def is_open(self, asking: Asking) -> bool:
        """Whether the answer is open: not about a wheel that is not there, nor a check of one build alone,
        which is sound already. Rules are no part of that soundness."""
        position = asking.question.position
        if position is not None and position not in self.builds:
            return False
        if asking.question.check.startswith(RULES_FAMILY):
            return True
        return not any(_members(each).issuperset(asking.reads) for each in self.builds)

    def document(self, *said: Said) -> dict[str, Value]:
        """An order for these wheels that says this and nothing else."""
        wheels: dict[str, Value] = {position: {} for position in self.builds}
        return changed(wheels, ((at, value) for each in said for at, value in each.items()))

    def passes(self, asking: Asking, *said: Said) -> bool:
        """Whether an order that says this is not refused."""
        return asking.block(self.document(*said), self.edition) is None


def _members(position: Position) -> frozenset[str]:
    return frozenset(f"/{position}/{member}" for member in BUILD)


@dataclass
class Problem:
    """Choices and factors as they are gathered."""

    wheels: Wheels
    choices: dict[str, Choice] = field(default_factory=dict)
    factors: list[Factor] = field(default_factory=list)

    def space(self) -> Space:
        """All of it, ready to be counted."""
        return Space(tuple(self.choices.values()), self.factors)

    def add(self, asking: Asking) -> None:
        """One more condition, and the choices that it looks at."""
        if isinstance(asking, RuleAsking) and asking.planned:
            self._add_planned(asking)
            return
        wheels = self.wheels
        built, listed = wheels.built(asking.reads), wheels.listed(asking)
        if isinstance(asking, RuleAsking):
            built = wheels.merged(asking, built)
        axes: list[Sequence[Said]] = [seen.different for seen in built.values()]
        axes += self._listed_axes(listed)
        answers = np.array(
            [wheels.passes(asking, *said) for said in product(*axes)], dtype=np.bool_
        )
        self._put(built, listed, answers.reshape([len(axis) for axis in axes]))

    def _add_planned(self, asking: RuleAsking) -> None:
        """A rule that reads a wheel's plan: asked of the plan's figures, not of computed wheels."""
        wheels, position = self.wheels, asking.whose
        if position is None or position not in wheels.builds:
            return
        own = tuple(at for at in asking.beside if at in _members(position))
        plans = plans_at(wheels.builds[position], own, asking.planned)
        others = wheels.built(tuple(at for at in asking.beside if at not in own))
        others = wheels.merged(asking, others, beside=len(plans.facts))
        listed = wheels.listed(asking)
        axes: list[Sequence[Said]] = [seen.different for seen in others.values()]
        axes += self._listed_axes(listed)
        open_table: Truths = np.ones((len(plans.facts), *map(len, axes)), dtype=np.bool_)
        for places in product(*(range(len(axis)) for axis in axes)):
            said = [axis[place] for axis, place in zip(axes, places, strict=True)]
            around = wheels.document(*said)
            if not asking.is_settled(around, wheels.edition):
                index: tuple[slice | int, ...] = (slice(None), *map(int, places))
                open_table[index] = plans_pass(asking, plans, wheels.edition, around)
        by_build = Seen(own, tuple({} for _ in plans.facts), plans.which)
        self._put({position: by_build, **others}, listed, open_table)

    def _listed_axes(self, listed: Places) -> list[Sequence[Said]]:
        return [[{at: value} for value in self.wheels.lists[at]] for at in listed]

    def _put(self, built: Mapping[Position, Seen], listed: Places, table: Truths) -> None:
        """A factor from a table over what builds say and what is listed."""
        names = [self.choose(at) for at in listed]
        if len(built) == 1:
            ((position, seen),) = built.items()
            self.factors.append(Factor((self.build(position), *names), table[seen.which]))
        else:
            # no table should be as long as both wheels' builds together
            through = []
            for axis, (position, seen) in enumerate(built.items()):
                table, which = _alike_as_one(table, axis)
                through.append(self._seen(position, which[seen.which], table.shape[axis]))
            self.factors.append(Factor((*through, *names), table))

    def build(self, position: Position) -> str:
        """The choice of a build."""
        name = f"/{position}"
        self.choices.setdefault(name, Choice(name, len(self.wheels.builds[position])))
        return name

    def choose(self, at: str) -> str:
        """The choice from a list, whether or not a condition reads it."""
        self.choices.setdefault(at, Choice(at, len(self.wheels.lists[at])))
        return at

    def _seen(self, position: Position, which: Numbers, size: int) -> str:
        """A choice of ``size`` values for what is read of a build, tied to the build: ``which`` (B,)."""
        name = f"/{position} {len(self.choices)}"
        self.choices[name] = Choice(name, size)
        self.factors.append(Factor((self.build(position), name), which[:, None] == np.arange(size)))
        return name


def _alike_as_one(table: Truths, axis: int) -> tuple[Truths, Numbers]:
    """The table with equal slices along an axis made one, and for each slice the one it became."""
    if not table.size:
        return table, np.arange(table.shape[axis], dtype=np.intp)
    flat = np.moveaxis(table, axis, 0).reshape(table.shape[axis], -1)
    _, kept, which = np.unique(flat, axis=0, return_index=True, return_inverse=True)
    return np.take(table, kept, axis=axis), which.reshape(-1)

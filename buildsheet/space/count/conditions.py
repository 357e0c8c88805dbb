"""Checks as conditions of a space: each asked once for every different thing that it reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.space.builds import Builds
from buildsheet.space.builds.seen import Seen, seen_at
from buildsheet.space.count.lists import Lists
from buildsheet.space.counting import Choice, Factor, Space
from buildsheet.space.questions import BUILD, RULES_FAMILY, Asking

Said = Mapping[str, Value]


@dataclass(frozen=True)
class Wheels:
    """The wheels of one position, or of both as a set, in every colour and use of ``lists``."""

    edition: Edition
    builds: Mapping[Position, Builds]
    lists: Lists

    def built(self, asking: Asking) -> dict[Position, tuple[str, ...]]:
        """What the asking reads of each build."""
        read = {
            position: tuple(at for at in asking.reads if at in _members(position))
            for position in self.builds
        }
        return {position: places for position, places in read.items() if places}

    def listed(self, asking: Asking) -> tuple[str, ...]:
        """What it reads that is chosen from a list. The rest is left out of every order here."""
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

    def passes(self, asking: Asking, said: Iterable[Said]) -> bool:
        """Whether an order that says this, about wheels that are there, is not refused."""
        document: dict[str, Value] = {position: {} for position in self.builds}
        document = changed(document, ((at, value) for each in said for at, value in each.items()))
        return asking.block(document, self.edition) is None


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
        wheels = self.wheels
        built = {at: seen_at(wheels.builds[at], each) for at, each in wheels.built(asking).items()}
        listed = wheels.listed(asking)
        axes: list[Sequence[Said]] = [seen.different for seen in built.values()]
        axes += [[{at: value} for value in wheels.lists[at]] for at in listed]
        answers = np.array([wheels.passes(asking, said) for said in product(*axes)], dtype=np.bool_)
        table = answers.reshape([len(axis) for axis in axes])
        names = [self._listed(at) for at in listed]
        if len(built) == 1:
            ((position, seen),) = built.items()
            self.factors.append(Factor((self.build(position), *names), table[seen.which]))
        else:
            # no table should be as long as both wheels' builds together
            through = [self._seen(position, seen) for position, seen in built.items()]
            self.factors.append(Factor((*through, *names), table))

    def build(self, position: Position) -> str:
        """The choice of a build."""
        name = f"/{position}"
        self.choices.setdefault(name, Choice(name, len(self.wheels.builds[position])))
        return name

    def _listed(self, at: str) -> str:
        self.choices.setdefault(at, Choice(at, len(self.wheels.lists[at])))
        return at

    def _seen(self, position: Position, seen: Seen) -> str:
        """A choice for what is read of a build, tied to the build."""
        name = f"/{position}: {', '.join(seen.places)}"
        if name not in self.choices:
            self.choices[name] = Choice(name, len(seen.different))
            tie = seen.which[:, None] == np.arange(len(seen.different))
            self.factors.append(Factor((self.build(position), name), tie))
        return name

    def sum_over(self, at: str) -> str:
        """A list that is counted, whether or not a condition reads it."""
        return self._listed(at)

"""The door: a space of choices under factors, prepared once and asked often."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from buildsheet.errors import CannotCount
from buildsheet.space.counting import arithmetic, passes
from buildsheet.space.counting.arithmetic import Floats, Ring
from buildsheet.space.counting.contraction import Operand
from buildsheet.space.counting.held import Held, Wholes, allowed_values, held, value_weights
from buildsheet.space.counting.merging import merge
from buildsheet.space.counting.ordering import Plan
from buildsheet.space.counting.problem import Choice, Factor, numbered
from buildsheet.space.counting.splitting import split_plan
from buildsheet.space.counting.support import spread

Values = Mapping[str, int | Sequence[int]]
NOTHING: Values = {}

_PLANS = 256  # shapes of questions whose plan is remembered


@dataclass(frozen=True, eq=False)
class _Question:
    """One question in numbers of choices: what takes part, what is or-ed, whose ways are wanted."""

    parts: Sequence[Held]
    ored: frozenset[int]
    wanted: frozenset[int] = frozenset()


class Space:
    """All combinations of one value a choice, each counted with the product of its factors' entries.

    Values of a choice are numbered from 0. A combination that some factor refuses counts 0; weights
    and numbers in factors multiply. Everything is exact, whatever the size.

    ``held`` in a question fixes choices to a value or to several. ``exists`` names choices that are
    or-ed, not summed: the rest of a combination counts once if some value of these (all together)
    goes with it; neither a weight nor a number above 1 may lie on them.

    >>> import numpy as np
    >>> rim, hub = Choice("rim", 3), Choice("hub", 2)
    >>> same = Factor(("rim", "hub"), np.array([[True, False], [True, False], [False, True]]))
    >>> space = Space([rim, hub], [same])
    >>> space.count(), space.count({"hub": 0}), space.count(exists=["rim"])
    (3, 2, 2)
    >>> dict(space.ways({"rim": [0, 2]}))
    {'rim': (1, 0, 1), 'hub': (1, 1)}
    """

    def __init__(self, choices: Sequence[Choice], factors: Sequence[Factor]) -> None:
        self._numbers = numbered(choices, factors)
        self._choices = tuple(choices)
        self._counted = frozenset(
            self._numbers[name] for factor in factors if factor.counted for name in factor.names
        )
        self._merged = merge(
            [choice.size for choice in choices],
            [(tuple(self._numbers[name] for name in f.names), f.table) for f in factors],
        )
        self._free = tuple(self._part(var, None) for var in range(len(self._choices)))
        self._plan = lru_cache(maxsize=_PLANS)(self._planned)

    @property
    def names(self) -> tuple[str, ...]:
        """Of all choices, in the order in which they were given."""
        return tuple(self._numbers)

    @property
    def classes(self) -> Mapping[str, int]:
        """How many kinds of values each choice has that some factor tells apart."""
        return dict(zip(self._numbers, self._merged.sizes, strict=True))

    def elimination(self) -> list[str]:
        """Names of the choices in the order in which they are eliminated when nothing is held."""
        plan = self._plan(frozenset(), frozenset())
        return [self._choices[var].name for var in plan.order]

    def count(self, held: Values = NOTHING, *, exists: Collection[str] = ()) -> int:
        """How many combinations there are; raises `CannotCount` for what is not in the space."""
        ored = self._ored(exists)
        return self._answer(self._question(held, ored))[0]

    def ways(
        self,
        held: Values = NOTHING,
        of: Collection[str] | None = None,
        *,
        exists: Collection[str] = (),
        instead: bool = False,
    ) -> Mapping[str, tuple[int, ...]]:
        """For each choice (or those in ``of``), how many combinations go through each of its values.

        A value that is not held has none; with ``instead`` it has those there would be if its own
        choice, and no other, were not held. An or-ed choice's values each have the combinations of
        the summed choices that work with it: these overlap, so their sum may exceed the count.
        """
        ored = self._ored(exists)
        asked = [self._number(name) for name in (self.names if of is None else of)]
        summed = frozenset(asked) - ored
        found: dict[int, Wholes] = {}
        if summed or not asked:
            question = self._question(held, ored, summed, masked=instead)
            found.update(self._answer(question)[1])
        for var in ored.intersection(asked):
            one = frozenset({var})
            question = self._question(held, ored - one, one, flat=one, masked=instead)
            found.update(self._answer(question)[1])
        return {
            self._choices[var].name: self._through(var, found[var], held, ored, instead=instead)
            for var in asked
        }

    # ---- a question in numbers ---------------------------------------------------

    def _number(self, name: str) -> int:
        if name not in self._numbers:
            raise CannotCount(f"there is no choice {name}; there are: {', '.join(self._numbers)}")
        return self._numbers[name]

    def _ored(self, exists: Collection[str]) -> frozenset[int]:
        ored = frozenset(self._number(name) for name in exists)
        for var in ored & self._counted:
            raise CannotCount(
                f"choice {self._choices[var].name} is or-ed, but a factor over it holds numbers "
                "above 1: only yes and no can be or-ed"
            )
        return ored

    def _part(
        self, var: int, values: Sequence[int] | None, *, flat: bool = False, masked: bool = False
    ) -> Held:
        merged = self._merged
        return held(
            self._choices[var], merged.classes[var], merged.sizes[var], values,
            flat=flat, masked=masked,
        )  # fmt: skip

    def _question(
        self,
        held_values: Values,
        ored: frozenset[int],
        wanted: frozenset[int] = frozenset(),
        *,
        flat: frozenset[int] = frozenset(),
        masked: bool = False,
    ) -> _Question:
        parts = list(self._free)
        for var in ored | flat:
            parts[var] = self._part(var, None, flat=True)
        for name, wish in held_values.items():
            var = self._number(name)
            parts[var] = self._part(
                var,
                allowed_values(self._choices[var], wish),
                flat=var in ored | flat,
                masked=masked and var not in ored,
            )
        return _Question(parts, ored, wanted)

    def _through(
        self, var: int, ways: Wholes, held: Values, ored: frozenset[int], *, instead: bool
    ) -> tuple[int, ...]:
        """Ways through each value, from those through each class without the weight."""
        choice = self._choices[var]
        through = np.append(ways, np.zeros(1, dtype=ways.dtype))[self._merged.classes[var]]
        if choice.weights is not None:
            through = through * value_weights(choice, flat=var in ored)
        if choice.name in held and not instead:
            kept = np.zeros(choice.size, dtype=np.int64)
            kept[allowed_values(choice, held[choice.name])] = 1
            through = through * kept
        return tuple(through.tolist())

    # ---- its answer ---------------------------------------------------------------

    def _planned(self, ored: frozenset[int], single: frozenset[int]) -> Plan:
        sizes = tuple(1 if var in single else size for var, size in enumerate(self._merged.sizes))
        scopes = [table.scope for table in self._merged.tables]
        return split_plan(sizes, scopes, ored, self._merged.pairs)

    def _answer(self, question: _Question) -> tuple[int, Mapping[int, Wholes]]:
        """The count, and for each wanted choice the ways through each class without its weight."""
        parts = question.parts
        ways: dict[int, Wholes] = {
            var: np.zeros(self._merged.sizes[var], dtype=np.int64) for var in question.wanted
        }
        if self._merged.constant == 0 or any(part.size == 0 for part in parts):
            return 0, ways
        single = frozenset(var for var, part in enumerate(parts) if part.size == 1)
        plan = self._plan(question.ored, single)
        count = 0
        for places in product(*(range(parts[var].size) for var in plan.split)):
            now = list(parts)
            for var, place in zip(plan.split, places, strict=True):
                now[var] = parts[var].only(place)
            now = self._left(now)
            if any(part.size == 0 for part in now):
                continue
            more, through = self._exact(plan, _Question(now, question.ored, question.wanted))
            count += more
            for var, numbers in through.items():
                rows = now[var].rows
                if ways[var].dtype != numbers.dtype:
                    ways[var] = ways[var].astype(object)
                ways[var][slice(None) if rows is None else rows] += numbers
        return count, ways

    def _left(self, parts: Sequence[Held]) -> list[Held]:
        """The parts without what cannot go with the rest."""
        sizes = self._merged.sizes
        alive = {
            var: part.alive(sizes[var]) for var, part in enumerate(parts) if part.size < sizes[var]
        }
        spread(alive, tuple(alive), self._merged.pairs, sizes)
        return [part.left(alive[var]) if var in alive else part for var, part in enumerate(parts)]

    def _exact(self, plan: Plan, question: _Question) -> tuple[int, Mapping[int, Wholes]]:
        """One pass a ring, joined to whole numbers."""
        merged = self._merged
        limit = passes.bound(
            [1 if var in question.ored else part.total for var, part in enumerate(question.parts)],
            [table.most for table in merged.tables],
            merged.constant,
        )
        rings, results = self._passes(plan, question, limit)
        (count,) = arithmetic.joined(rings, [np.atleast_1d(total) for total, _ in results])
        ways: dict[int, Wholes] = {}
        for var in question.wanted:
            numbers = arithmetic.joined(rings, [through[var] for _, through in results])
            ways[var] = np.array(numbers, dtype=np.int64 if limit < arithmetic.EXACT else object)
        return count, ways

    def _passes(
        self, plan: Plan, question: _Question, limit: int
    ) -> tuple[Sequence[Ring], list[tuple[Floats, Mapping[int, Floats]]]]:
        """The rings that were needed and what each found: one, where no number proves too large."""
        merged = self._merged
        given = [merged.constant, *(table.most for table in merged.tables)]
        given += [part.total for part in question.parts]
        if limit >= arithmetic.EXACT > max(given):
            try:
                watched = arithmetic.Watched()
                return (watched,), [self._pass(plan, question, watched)]
            except arithmetic.Exceeded:
                pass
        rings = arithmetic.rings(limit)
        return rings, [self._pass(plan, question, ring) for ring in rings]

    def _pass(
        self, plan: Plan, question: _Question, ring: Ring
    ) -> tuple[Floats, Mapping[int, Floats]]:
        tables: list[list[Operand]] = [[] for _ in plan.order]
        for table in self._merged.tables:
            cut = table.floats(ring)
            for axis, var in enumerate(table.scope):
                cut = question.parts[var].cut(cut, axis)
            tables[plan.bucket(table.scope)].append((table.scope, cut))
        work = passes.Work(
            plan,
            tables,
            [part.floats(ring) for part in question.parts],
            question.ored,
            ring.settle(np.asarray(_as_float(self._merged.constant, ring))),
            ring,
        )
        results = passes.upward(work)
        ways = passes.downward(work, results, question.wanted) if question.wanted else {}
        return passes.total(work, results), ways


def _as_float(number: int, ring: Ring) -> float:
    return float(number % ring.prime if isinstance(ring, arithmetic.Remainders) else number)

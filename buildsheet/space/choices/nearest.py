"""What stands between a part of an order and a complete one: the wheels that come nearest to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product

import numpy as np

from buildsheet.catalog.parts import Position
from buildsheet.findings import Finding, Value
from buildsheet.space.choices.columns import Columns, Flags, Numbers
from buildsheet.space.choices.part import Part
from buildsheet.space.choices.sorting import Sorted
from buildsheet.space.choices.standing import Demand, Standing, Wholes
from buildsheet.space.choices.tables import row_flags
from buildsheet.space.choices.verdicts import over


@dataclass(frozen=True, slots=True)
class Detour:
    """The way round a closed value, of one position's wheels.

    ``conflicts``: the places that the nearest wheel does not go together with. ``single``: places with
    values that clear the way when one of them is changed alone; ``together``: changes that clear it
    when made at once. Both are empty where exchanging this wheel does not help. ``example``: what a
    check says about the nearest wheel, where it is a check that refuses it.
    """

    conflicts: tuple[str, ...]
    single: Mapping[str, tuple[Value, ...]] = field(default_factory=dict)
    together: Mapping[str, Value] = field(default_factory=dict)
    example: Finding | None = None


class Nearest:
    """The wheels of one shelf, by how much they differ from what a part of an order demands."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self._demands: dict[Position, list[Demand]] = {}
        self._misses: dict[Position, Flags] = {}
        self._instead: dict[str, Wholes] = {}
        self._known: dict[Sorted, Demand] = {}

    def after(self, at: str, part: Part) -> Nearest:
        """The same where the part says something at one more list, or no more than its kind does."""
        if at not in self.standing.layout.lists and self.standing.shelf.frame.value(at) is None:
            return Nearest(Standing(self.standing.shelf, part))
        after = Nearest(Standing(self.standing.shelf, part, self.standing))
        after._known = {
            each: demand for each, demand in self._together().items() if at not in each.asking.reads
        }
        return after

    def instead(self, name: str) -> Wholes:
        """The ways through each value of a list, or each wheel of a position, as if the part said
        nothing there."""
        if name not in self._instead:
            self._instead[name] = self.standing.ways_instead(name)
        return self._instead[name]

    def demands(self, columns: Columns) -> list[Demand]:
        """Everything that the part demands of a wheel here, by itself or by what goes with it."""
        known = self._demands.get(columns.position)
        if known is None:
            together = (
                demand for each, demand in self._together().items() if each.wheels == (columns,)
            )
            known = [*self.standing.demands[columns.position], *together]
            self._demands[columns.position] = known
        return known

    def _together(self) -> dict[Sorted, Demand]:
        """What lists demand of a wheel where the part has chosen from them."""
        standing = self.standing
        for each in standing.layout.together:
            if each in self._known or len(each.wheels) != 1:
                continue
            if all(standing.part.has(at) for at in each.open):
                flags = row_flags(each.wheels[0], each, standing.fixed, standing.shelf.verdicts)
                self._known[each] = Demand((*each.open, *each.fixed), flags, each.asking)
        return self._known

    def misses(self, columns: Columns) -> Flags:
        """One row for each demand, one column for each wheel of the shelf: what is not met."""
        known = self._misses.get(columns.position)
        if known is None:
            rows = self.standing.shelf.rows[columns.position]
            flags = [~each.meets[rows] for each in self.demands(columns)]
            known = np.array(flags, dtype=np.bool_).reshape(len(flags), len(rows))
            self._misses[columns.position] = known
        return known

    def refused_by_lists(self, at: str) -> Finding | None:
        """What one check says about the value at this place with the first values of other lists, where
        it refuses it with all of theirs, and the part has chosen from none of them."""
        standing = self.standing
        for each in standing.layout.together:
            others = [other for other in each.open if other != at]
            if each.wheels or at not in each.open or any(map(standing.part.has, others)):
                continue
            lists = (standing.layout.lists[other] for other in others)
            found = None
            for values in product(*lists):
                read = over(dict(zip(others, values, strict=True)), standing.fixed)
                refused = standing.shelf.verdicts.finding(each.asking, read)
                if refused is None:
                    break
                found = found or refused
            else:
                return found
        return None

    def meets_all(self, columns: Columns) -> bool:
        """Whether some wheel here meets every demand by itself."""
        return bool((~self.misses(columns).any(axis=0)).any())

    def having(self, columns: Columns, at: str | None) -> Flags | None:
        """Which of the shelf's wheels have what the part says at this place; None where the place is
        no member of these wheels."""
        if at is None or not (at in columns.places or at.rpartition("/")[0] in columns.places):
            return None
        rows = self.standing.shelf.rows[columns.position]
        return columns.having(at, self.standing.part.value(at))[rows]

    def detour(self, columns: Columns, among: Flags | None = None) -> Detour | None:
        """The way round by another wheel here, looked for ``among`` some of the shelf's wheels.

        None where there is no wheel among them at all.
        """
        misses = self.misses(columns)
        rows = np.flatnonzero(among) if among is not None else np.arange(misses.shape[1])
        if not len(rows):
            return None
        missed = misses[:, rows]
        counts = missed.sum(axis=0)
        nearest = int(counts.argmin())
        if not counts[nearest]:
            return Detour(())
        conflicts = self._places(columns, missed[:, nearest])
        example = self._example(columns, missed[:, nearest], int(rows[nearest]))
        leads_on = ~missed[~self._ours(columns)].any(axis=0)
        if leads_on.any():
            leads_on &= self.instead(columns.position)[rows] > 0
        single = self._single(columns, rows[leads_on & (counts == 1)])
        if single or not leads_on.any():
            return Detour(conflicts, single, example=example)
        best = int(np.flatnonzero(leads_on & (counts == counts[leads_on].min()))[0])
        changes = {
            at: self._value(columns, int(rows[best]), at)
            for at in self._places(columns, missed[:, best])
        }
        return Detour(tuple(changes) or conflicts, {}, changes, example)

    def _example(self, columns: Columns, missed: Flags, row: int) -> Finding | None:
        number = int(self.standing.shelf.rows[columns.position][row])
        read = over(columns.wheel(number), self.standing.fixed)
        for each in np.flatnonzero(missed):
            asking = self.demands(columns)[each].asking
            if asking is not None:
                return self.standing.shelf.verdicts.finding(asking, read)
        return None

    def _ours(self, columns: Columns) -> Flags:
        """Which demands are about a single member of the wheel, that another wheel could change."""
        own = [each.asking is None for each in self.demands(columns)]
        return np.array(own, dtype=np.bool_)

    def _places(self, columns: Columns, missed: Flags) -> tuple[str, ...]:
        demands = self.demands(columns)
        return tuple(
            dict.fromkeys(at for number in np.flatnonzero(missed) for at in demands[number].places)
        )

    def _single(self, columns: Columns, rows: Numbers) -> dict[str, tuple[Value, ...]]:
        misses, found = self.misses(columns), {}
        for number, each in enumerate(self.demands(columns)):
            chosen = rows[misses[number, rows]]
            if len(chosen) and each.asking is None:
                at = each.places[0]
                found[at] = self._values(columns, chosen, at)
        return found

    def _values(self, columns: Columns, rows: Numbers, at: str) -> tuple[Value, ...]:
        wheels = self.standing.shelf.rows[columns.position][rows]
        if at in columns.places:
            numbers = np.unique(columns.numbers(at)[wheels])
            return tuple(columns.values(at)[number] for number in numbers)
        values = {_of_side(columns.wheel(int(wheel)), at) for wheel in wheels}
        return tuple(sorted(each for each in values if each is not None))

    def _value(self, columns: Columns, row: int, at: str) -> Value:
        wheel = columns.wheel(int(self.standing.shelf.rows[columns.position][row]))
        return wheel[at] if at in wheel else _of_side(wheel, at)


def _of_side(wheel: Mapping[str, Value], at: str) -> int | None:
    pattern, _, side = at.rpartition("/")
    named = wheel[pattern]
    crossings = named.get(side) if isinstance(named, dict) else None
    return crossings if isinstance(crossings, int) else None

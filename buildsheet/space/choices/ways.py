"""The complete orders through every value of every open place, summed over all kinds of order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from buildsheet.findings import Value
from buildsheet.space.choices.assortment import Assortment
from buildsheet.space.choices.part import Part
from buildsheet.space.choices.places import BRAKES, KINDS, values_of
from buildsheet.space.choices.standing import Standing, Wholes

Counted = list[tuple[Value, int]]


@dataclass(frozen=True, eq=False)
class Counts:
    """``places`` holds for every open place each value of its list with its ways, in list order;
    ``standings`` how the part stands in each kind of order that it can still become, with the ways
    through its lists and wheels."""

    total: int
    places: Mapping[str, Counted]
    standings: tuple[tuple[Standing, Mapping[str, Wholes]], ...]


def count_ways(assortment: Assortment, part: Part) -> Counts:
    """The ways on from a part whose form is faultless."""
    standings = tuple(
        (standing, standing.ways())
        for standing in (Standing(assortment.shelf(frame), part) for frame in part.frames)
    )
    totals = [total_of(standing, ways) for standing, ways in standings]
    sums: dict[str, Wholes] = {}
    for (standing, ways), total in zip(standings, totals, strict=True):
        for at, through in _through(standing, ways, total).items():
            whole = through.astype(object)  # sums of several kinds of order know no upper end
            sums[at] = sums[at] + whole if at in sums else whole
    places = {
        at: list(zip(values_of(at, assortment.edition), sums[at].tolist(), strict=True))
        for at in _in_order(sums)
    }
    return Counts(sum(totals), places, standings)


def total_of(standing: Standing, ways: Mapping[str, Wholes]) -> int:
    """The complete orders of one kind that are left."""
    position = standing.shelf.columns[0].position
    return int(ways[position][standing.left[position]].sum())


def _through(standing: Standing, ways: Mapping[str, Wholes], total: int) -> dict[str, Wholes]:
    part, frame = standing.part, standing.shelf.frame
    found: dict[str, Wholes] = {}
    for at, value in (("/kind", frame.kind), ("/use/brake", frame.brake)):
        if not part.has(at):
            listed = KINDS if at == "/kind" else BRAKES
            found[at] = np.array([total if each == value else 0 for each in listed], dtype=object)
    for at in standing.layout.lists:
        if not part.has(at):
            found[at] = ways[at]
    for columns in standing.shelf.columns:
        position = columns.position
        rows = standing.shelf.rows[position]
        for at in columns.places:
            if at.endswith("/crossings"):
                continue
            if not part.has(at):
                numbers = columns.numbers(at)[rows]
                found[at] = _summed(numbers, ways[position], len(columns.values(at)))
        for at in part.open_crossings(position):
            numbers, size = _pattern_numbers(standing, position, at)
            found[at] = _summed(numbers[rows], ways[position], size)
    return found


def _pattern_numbers(standing: Standing, position: str, at: str) -> tuple[Wholes, int]:
    """For each wheel where its pattern, or one side of it, stands on the list of that place."""
    columns = next(each for each in standing.shelf.columns if each.position == position)
    pattern = f"/{position}/crossings"
    numbers, values = columns.numbers(pattern), columns.values(pattern)
    if at == pattern:
        return numbers, len(values)
    side = at.rsplit("/", 1)[1]
    # wheels without a pattern have no ways here: they count for nothing, wherever they are put
    of_side = np.array([each[side] if isinstance(each, dict) else 0 for each in values], np.intp)
    return of_side[numbers], 1 + int(of_side.max())


def _summed(numbers: Wholes, ways: Wholes, size: int) -> Wholes:
    sums = np.zeros(size, dtype=ways.dtype)
    np.add.at(sums, numbers, ways)
    return sums


def _in_order(places: Mapping[str, Wholes]) -> list[str]:
    """Places in the order in which an order is talked through: what, for which bicycle, the wheels."""
    rank = {"kind": 0, "market": 1, "use": 2, "front": 3, "rear": 4, "finish": 5}
    return sorted(places, key=lambda at: rank[at[1:].split("/", 1)[0]])

"""Spoke lengths that a new edition starts to need, and lengths that die with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.space.lengths.shelves import windows_by_type
from buildsheet.space.lengths.wanted import grids, wanted_in
from buildsheet.space.lengths.windows import fewest


@dataclass(frozen=True, slots=True)
class LengthChange:
    """One spoke type. ``fewest`` is the size of the smallest store before and after.

    ``needed_mm``: the fewest lengths, in no window before, that new wheels cannot do without.
    ``dead_mm``: lengths that lay in some wheel's window and lie in none any more.
    """

    spoke: str
    fewest: tuple[int, int]
    needed_mm: tuple[int, ...]
    dead_mm: tuple[int, ...]


def length_changes(old: Edition, new: Edition) -> tuple[LengthChange, ...]:
    """The spoke types whose store changes, sorted."""
    before, after = _windows(old), _windows(new)
    found = []
    for spoke in sorted({*before, *after}):
        was, now = before.get(spoke, frozenset()), after.get(spoke, frozenset())
        useful, still = _lengths(was), _lengths(now)
        change = LengthChange(
            spoke,
            (len(fewest(was)), len(fewest(now))),
            fewest(window for window in now if useful.isdisjoint(window)),
            tuple(sorted(useful - still)),
        )
        if change.needed_mm or change.dead_mm or change.fewest[0] != change.fewest[1]:
            found.append(change)
    return tuple(found)


def _windows(edition: Edition) -> dict[str, frozenset[range]]:
    return windows_by_type(wanted_in(edition), grids(edition))


def _lengths(windows: Iterable[range]) -> frozenset[int]:
    return frozenset(length for window in windows for length in window)

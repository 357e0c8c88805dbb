"""A plan of lengths against the shelves: what is missing, what could go, what dies."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from buildsheet.space.lengths.plan import on_grids
from buildsheet.space.lengths.windows import WheelWant, fewest, on_grid


@dataclass(frozen=True, slots=True)
class Shelf:
    """The stocked lengths of one type, in millimetres, beside its plan.

    ``missing``: in the plan, not on the shelf. ``spare``: on the shelf and inside some wheel's window,
    but the plan does without. ``dead``: on the shelf, inside no window of any buildable wheel.
    """

    spoke: str
    stocked_mm: tuple[int, ...]
    missing_mm: tuple[int, ...]
    spare_mm: tuple[int, ...]
    dead_mm: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RimAdds:
    """What one rim asks of the store beyond all other rims.

    ``more`` is, by spoke type, how many lengths the smallest store would save without it;
    ``only_mm`` the planned lengths that lie in no other rim's windows.
    """

    rim: str
    builds: int
    more: Mapping[str, int]
    only_mm: Mapping[str, tuple[int, ...]]


def shelf(
    spoke: str,
    planned_mm: Collection[int],
    stocked_mm: Collection[int],
    windows: Collection[range],
) -> Shelf:
    """The shelf of one type against its plan; ``windows`` are those of all buildable wheels."""
    useful = {length for window in windows for length in window}
    left_over = [length for length in sorted(stocked_mm) if length not in planned_mm]
    return Shelf(
        spoke,
        tuple(sorted(stocked_mm)),
        missing_mm=tuple(sorted(set(planned_mm) - set(stocked_mm))),
        spare_mm=tuple(length for length in left_over if length in useful),
        dead_mm=tuple(length for length in left_over if length not in useful),
    )


def windows_by_type(
    wants: Iterable[WheelWant], grids: Mapping[str, range]
) -> dict[str, frozenset[range]]:
    """Spoke type -> the windows of every wheel that finds a length on both sides."""
    found: dict[str, set[range]] = {}
    for want in wants:
        windows = on_grids(want, grids)
        if windows is not None:
            found.setdefault(want.left.spoke, set()).add(windows.left)
            found.setdefault(want.right.spoke, set()).add(windows.right)
    return {spoke: frozenset(each) for spoke, each in sorted(found.items())}


def rim_adds(
    rim: str,
    wants: Sequence[WheelWant],
    grids: Mapping[str, range],
    planned_mm: Mapping[str, Sequence[int]],
) -> RimAdds:
    """What this rim adds to the store of all others. Exact: two optima are compared."""
    own = [want for want in wants if want.rim == rim]
    everything = windows_by_type(wants, grids)
    others = windows_by_type((want for want in wants if want.rim != rim), grids)
    more: dict[str, int] = {}
    only: dict[str, tuple[int, ...]] = {}
    for spoke, windows in everything.items():
        rest = others.get(spoke, frozenset())
        saved = len(fewest(windows)) - len(fewest(rest))
        alone = tuple(
            length
            for length in planned_mm.get(spoke, ())
            if not any(length in window for window in rest)
        )
        if saved:
            more[spoke] = saved
        if alone:
            only[spoke] = alone
    return RimAdds(rim, sum(want.builds for want in own), more, only)


def share_served(
    wants: Iterable[WheelWant],
    grids: Mapping[str, range],
    stocked_mm: Mapping[str, Collection[int]],
) -> dict[str, float]:
    """Spoke type -> the part of all sides, 0 to 1, that finds a stocked length in its window."""
    every: Counter[str] = Counter()
    served: Counter[str] = Counter()
    for want in wants:
        for side in want.sides:
            window = on_grid(side, grids[side.spoke])
            every[side.spoke] += want.builds
            if window is not None and any(each in window for each in stocked_mm[side.spoke]):
                served[side.spoke] += want.builds
    return {spoke: served[spoke] / number for spoke, number in every.items()}

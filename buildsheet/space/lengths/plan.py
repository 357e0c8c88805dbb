"""The plan of a spoke store: which lengths, what each is for, how far wheels are off, when to order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final

from buildsheet.catalog.house import LengthHouse
from buildsheet.plan.lengths import ROUNDING_MM, best_pair, look_alike
from buildsheet.space.lengths.apart import Both, Side, Store, smallest_store
from buildsheet.space.lengths.windows import Want, WheelWant, inside, on_grid
from buildsheet.wheel.spec import Sides

ERROR_STEP_MM: Final = 0.1
"""Width of a step of the error histogram."""

DISTINCT_DIGITS: Final = 2
"""Targets that agree to the hundredth of a millimetre count as one."""


@dataclass(frozen=True, slots=True)
class StockLength:
    """One length of the store.

    ``sides`` sides of ``builds`` builds take it; ``alone`` sides find no other length of the store in
    their window. ``order_point`` is when to order more: what the hungriest of those wheels takes of
    it, times the wheels wanted in stock, and the spares that go with every length.
    """

    length_mm: int
    sides: int
    builds: int
    alone: int
    order_point: int


@dataclass(frozen=True, slots=True)
class ErrorStep:
    """Sides whose stocked length is off its target by ``from_mm`` up to the next step (long: positive)."""

    from_mm: float
    sides: int


@dataclass(frozen=True, slots=True)
class TypePlan:
    """The lengths of one spoke type. ``targets`` counts distinct lengths to make, to 0.01 mm;
    ``range_mm`` is the shortest and the longest of them. The number of ``lengths`` is the fewest."""

    spoke: str
    sides: int
    targets: int
    range_mm: tuple[float, float]
    lengths: tuple[StockLength, ...]
    errors: tuple[ErrorStep, ...]

    @property
    def lengths_mm(self) -> tuple[int, ...]:
        """The lengths alone, ascending."""
        return tuple(each.length_mm for each in self.lengths)


@dataclass(frozen=True, slots=True)
class LengthPlan:
    """A store for all builds: ``types`` by code. ``look_alike`` builds get two lengths that the eye takes
    for one; with so few lengths no store has less of them, where ``proved``. ``unserved`` builds find
    nothing on the grid on one side at least; they are in no other figure."""

    types: Mapping[str, TypePlan]
    builds: int
    unserved: int
    look_alike: int
    proved: bool


@dataclass(frozen=True, slots=True)
class Stocked:
    """Wheels of one want with their windows on the grids, and the lengths they take."""

    want: WheelWant
    windows: Sides[range]
    taken_mm: tuple[int, int]


def length_plan(
    wants: Sequence[WheelWant],
    grids: Mapping[str, range],
    house: LengthHouse,
    *,
    spares: int,
    wheels_in_stock: int = 1,
) -> LengthPlan:
    """The fewest lengths of every type for these wheels; of such stores one with the fewest look-alike
    pairs, and lengths near target + aim where still free.

    ``grids`` holds the lengths each type can be had in; ``spares`` go with every length of a wheel;
    order points are for ``wheels_in_stock`` wheels at once.
    """
    served = [(want, windows) for want in wants if (windows := on_grids(want, grids)) is not None]
    store = store_for(served, house)
    stocked = [_take(want, windows, store, house) for want, windows in served]
    spokes = sorted(store.lengths_mm)
    return LengthPlan(
        types={
            spoke: _type_plan(spoke, store.lengths_mm[spoke], stocked, spares, wheels_in_stock)
            for spoke in spokes
        },
        builds=sum(want.builds for want, _ in served),
        unserved=sum(want.builds for want in wants) - sum(want.builds for want, _ in served),
        look_alike=sum(each.want.builds for each in stocked if look_alike(*each.taken_mm, house)),
        proved=store.proved,
    )


def on_grids(want: WheelWant, grids: Mapping[str, range]) -> Sides[range] | None:
    """Both windows of a wheel; None where a side finds nothing on its grid."""
    left, right = (on_grid(side, grids[side.spoke]) for side in want.sides)
    return None if left is None or right is None else Sides(left, right)


def store_for(served: Iterable[tuple[WheelWant, Sides[range]]], house: LengthHouse) -> Store:
    """The smallest store with most builds kept apart; wheels with equal windows are put together."""
    builds: Counter[tuple[Side, Side]] = Counter()
    aims: Counter[tuple[Side, float]] = Counter()
    for want, windows in served:
        sides = (Side(want.left.spoke, windows.left), Side(want.right.spoke, windows.right))
        builds[sides] += want.builds
        for side, each in zip(sides, want.sides, strict=True):
            aims[side, round(each.target_mm + house.aim_mm, DISTINCT_DIGITS)] += want.builds
    both = [Both(left, right, number) for (left, right), number in builds.items()]
    return smallest_store(both, house.look_alike_mm, aims)


def _take(want: WheelWant, windows: Sides[range], store: Store, house: LengthHouse) -> Stocked:
    """The lengths of the store that the wheel's plan would choose."""
    left = inside(store.lengths_mm[want.left.spoke], windows.left)
    right = inside(store.lengths_mm[want.right.spoke], windows.right)
    targets = Sides(want.left.target_mm, want.right.target_mm)
    taken = best_pair(Sides(left, right), targets, house)
    if taken[0] is None or taken[1] is None:
        raise AssertionError("a store leaves a window empty")
    return Stocked(want, windows, (taken[0], taken[1]))


def _type_plan(
    spoke: str, lengths_mm: tuple[int, ...], stocked: list[Stocked], spares: int, wheels: int
) -> TypePlan:
    targets: set[float] = set()
    errors: Counter[int] = Counter()
    use = _Use(lengths_mm)
    for each in stocked:
        for side, taken, want in _sides_of(each, spoke):
            targets.add(round(want.target_mm, DISTINCT_DIGITS))
            errors[_step(taken - want.target_mm)] += each.want.builds
            use.note_side(taken, inside(lengths_mm, side), each.want.builds)
        use.note_wheel(_pieces(each, spoke), each.want.builds)
    return TypePlan(
        spoke=spoke,
        sides=sum(errors.values()),
        targets=len(targets),
        range_mm=(min(targets), max(targets)),
        lengths=tuple(use.length(each, spares, wheels) for each in lengths_mm),
        errors=tuple(
            ErrorStep(round(step * ERROR_STEP_MM, 6), errors[step])
            for step in range(min(errors), max(errors) + 1)
        ),
    )


def _step(error_mm: float) -> int:
    # an error on the edge of a step belongs to the step above, whatever its last binary digit says
    return floor(error_mm / ERROR_STEP_MM + ROUNDING_MM)


def _sides_of(each: Stocked, spoke: str) -> list[tuple[range, int, Want]]:
    """Window, length taken and want of the sides that have this spoke."""
    sides = zip(
        (each.windows.left, each.windows.right), each.taken_mm, each.want.sides, strict=True
    )
    return [side for side in sides if side[2].spoke == spoke]


def _pieces(each: Stocked, spoke: str) -> Counter[int]:
    """Length -> how many spokes of this type one wheel takes of it."""
    pieces: Counter[int] = Counter()
    for _, taken, want in _sides_of(each, spoke):
        pieces[taken] += want.pieces
    return pieces


class _Use:
    """What the wheels make of each length of one type, counted up."""

    def __init__(self, lengths_mm: Iterable[int]) -> None:
        self.sides: Counter[int] = Counter()
        self.builds: Counter[int] = Counter()
        self.alone: Counter[int] = Counter()
        self.most: dict[int, int] = dict.fromkeys(lengths_mm, 0)

    def note_side(self, taken_mm: int, choices_mm: tuple[int, ...], builds: int) -> None:
        self.sides[taken_mm] += builds
        if len(choices_mm) == 1:
            self.alone[taken_mm] += builds

    def note_wheel(self, pieces: Counter[int], builds: int) -> None:
        for length, number in pieces.items():
            self.builds[length] += builds
            self.most[length] = max(self.most[length], number)

    def length(self, length_mm: int, spares: int, wheels: int) -> StockLength:
        most = self.most[length_mm]
        return StockLength(
            length_mm,
            self.sides[length_mm],
            self.builds[length_mm],
            self.alone[length_mm],
            order_point(most, spares, wheels) if most else 0,
        )


def order_point(pieces_of_one_wheel: int, spares: int, wheels: int = 1) -> int:
    """Pieces on the shelf at which more are ordered: one wheel's need of this length, left and right
    together, with its spares, times the wheels that should always be buildable.

    >>> order_point(28, 2), order_point(14, 2, wheels=3)
    (30, 48)
    """
    return wheels * (pieces_of_one_wheel + spares)

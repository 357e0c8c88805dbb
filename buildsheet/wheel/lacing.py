"""Which hub hole each rim hole gets, on which face the head lies, and what passes over and under.

Drilled one to one, right-side holes are 1, 3, 5 ... and left-side holes 2, 4, 6 ..., evenly spaced
unless paired. Drilled two to one, holes come in groups of three, the valve between two groups: the
doubled side's pair outside, the single side's hole in their middle. Each side is evenly spaced by
itself, so there are twice as large gaps between groups as within them:

    right doubled, its own pitch q:

    hole     1 R    2 L    3 R   |   4 R    5 L    6 R   | ...
    angle    q/2     q     3q/2     5q/2    3q     7q/2

Each side's spokes are trailing and leading by turns, the first after the valve trailing. A trailing
spoke's hub hole lies as many holes ahead as there are crossings, a leading one's as many behind.
The valve then stands between a spoke that leans away clockwise and one that leans away the other
way: the widest gap. Straight-pull seats are numbered the same way, which is clockwise from the
valve as the wheel stands laced.

House conventions, common practice with no source: trailing spokes have their heads in (they run
down the outer face), leading ones out; at the outermost crossing the trailing spoke passes under,
that is nearer the wheel's middle plane. Straight-pull spokes have no heads and interlace the same
way.
"""

from __future__ import annotations

from itertools import product
from math import pi, radians
from operator import attrgetter
from typing import Final, Literal

from buildsheet.errors import CannotLace
from buildsheet.wheel.groups import SpokeGroup, runs_of, seat_step
from buildsheet.wheel.hub_turn import SettledHub, settle_hub
from buildsheet.wheel.laceable import require_laceable, require_short_of_tangent
from buildsheet.wheel.spec import (
    SIDES,
    Head,
    Interlace,
    LacedSpoke,
    Lacing,
    Run,
    Side,
    Sides,
    StraightPullSide,
    WheelSpec,
)
from buildsheet.wheel.wrap import crossings_of

ValveGap = Literal["opening", "parallel", "crossing"]

HEAD_OF_RUN: Final[dict[Run, Head]] = {"trailing": "in", "leading": "out"}
UNDER_OR_OVER: Final[dict[Run, Interlace]] = {"trailing": "under", "leading": "over"}
_LEAN: Final[dict[Run, int]] = {"trailing": 1, "radial": 0, "leading": -1}

_PHASES: Final = tuple(product((False, True), repeat=2))
"""Which sides start leading instead of trailing, the house's own choice first."""


def lace(spec: WheelSpec) -> Lacing:
    """The whole lacing map, in rim-hole order, with the hub turned until the spokes' torque
    vanishes.

    Raises CannotLace where no pattern joins hub and rim, and never hands back a map whose valve
    lies in a crossing gap, or that uses a hole twice.
    """
    return lace_settled(spec, settled_hub(spec))


def settled_hub(spec: WheelSpec) -> SettledHub:
    """The hub at rest in a wheel that can be laced; CannotLace where it cannot."""
    require_laceable(spec)
    hub = settle_hub(spec)
    require_short_of_tangent(spec, hub.groups)
    return hub


def lace_settled(spec: WheelSpec, hub: SettledHub) -> Lacing:
    """The map of `lace` for a hub whose rest is already known (see `settled_hub`)."""
    runs, gap = _runs_that_free_the_valve(spec)
    spokes = _laced(spec, runs, hub.groups)
    _prove(spec, spokes)
    return Lacing(spokes=spokes, hub_turn_rad=hub.turn_rad, valve_gap=gap)


def hole_sides(spec: WheelSpec) -> tuple[Side, ...]:
    """The side of each rim hole, from hole 1: right first one to one, in groups of three two to
    one."""
    left, right = spec.spokes.left.count, spec.spokes.right.count
    if left == right:
        return ("right", "left") * right
    if right > left:
        return ("right", "left", "right") * left
    return ("left", "right", "left") * right


def rim_angles_rad(spec: WheelSpec) -> Sides[tuple[float, ...]]:
    """Angles of each side's rim holes, clockwise from the valve, pairs moved together."""
    left, right = spec.spokes.left.count, spec.spokes.right.count
    shift = radians(spec.rim.pair_shift_deg)
    # where each side's first hole stands, in pitches of that side: one to one, the first hole is
    # half a rim pitch after the valve, the second one and a half; two to one, both are centred
    first = Sides(left=0.75, right=0.25) if left == right else Sides(left=0.5, right=0.5)
    return Sides(
        left=_even(left, first.left, -shift),
        right=_even(right, first.right, shift),
    )


def valve_gap_between(last: Run, first: Run) -> ValveGap:
    """What the valve lies in, from the last spoke before it and the first after it.

    >>> valve_gap_between("leading", "trailing")
    'opening'
    """
    lean = _LEAN[first] - _LEAN[last]
    return "opening" if lean > 0 else "crossing" if lean < 0 else "parallel"


def _even(count: int, first: float, shift_rad: float) -> tuple[float, ...]:
    pitch = 2.0 * pi / count
    return tuple((place + first) * pitch + shift_rad for place in range(count))


def _runs_that_free_the_valve(spec: WheelSpec) -> tuple[Sides[tuple[Run, ...]], ValveGap]:
    """The runs of both sides, started so that the valve has the best gap there is."""
    sides = hole_sides(spec)
    parallel: Sides[tuple[Run, ...]] | None = None
    for left_leads, right_leads in _PHASES:
        runs = Sides(runs_of(spec, "left", left_leads), runs_of(spec, "right", right_leads))
        gap = valve_gap_between(runs[sides[-1]][-1], runs[sides[0]][0])
        if gap == "opening":
            return runs, gap
        if gap == "parallel" and parallel is None:
            parallel = runs
    if parallel is None:
        raise CannotLace("valve-gap", "every start of this pattern crosses spokes over the valve")
    return parallel, "parallel"


def _laced(
    spec: WheelSpec, runs: Sides[tuple[Run, ...]], groups: tuple[SpokeGroup, ...]
) -> tuple[LacedSpoke, ...]:
    sides, angles = hole_sides(spec), rim_angles_rad(spec)
    laced: dict[Side, list[LacedSpoke]] = {}
    for side in SIDES:
        holes = [hole for hole, its in enumerate(sides, start=1) if its == side]
        laced[side] = _one_side(spec, side, holes, runs[side], angles[side], groups)
    return tuple(sorted(laced["left"] + laced["right"], key=attrgetter("hole")))


def _one_side(
    spec: WheelSpec,
    side: Side,
    holes: list[int],
    runs: tuple[Run, ...],
    rim_angles: tuple[float, ...],
    groups: tuple[SpokeGroup, ...],
) -> list[LacedSpoke]:
    """One side's spokes, clockwise from the valve."""
    count, full = len(holes), 2.0 * pi
    wraps = {group.run: group.wrap_rad for group in groups if group.side == side}
    steps = {run: seat_step(spec, side, run) for run in wraps}
    faces = {run: _faces(spec, side, run) for run in wraps}
    return [
        LacedSpoke(
            hole,
            side,
            (place + steps[run]) % count + 1,
            run,
            *faces[run],
            angle % full,
            (angle + wraps[run]) % full,
        )
        for place, (hole, run, angle) in enumerate(zip(holes, runs, rim_angles, strict=True))
    ]


def _faces(spec: WheelSpec, side: Side, run: Run) -> tuple[Head, Interlace]:
    straight = isinstance(spec.hub[side], StraightPullSide)
    head: Head = "none" if straight else HEAD_OF_RUN.get(run, spec.radial_heads)
    crossed = crossings_of(spec, side) > 0
    return head, UNDER_OR_OVER.get(run, "none") if crossed else "none"


def _prove(spec: WheelSpec, spokes: tuple[LacedSpoke, ...]) -> None:
    """Every hub hole once and every rim hole once, or the map is not handed back."""
    hub_holes = {(spoke.side, spoke.hub_hole) for spoke in spokes}
    rim_holes = {spoke.hole for spoke in spokes}
    if len(hub_holes) == len(rim_holes) == len(spokes) == spec.rim.holes:
        return
    raise CannotLace(
        "self-test",
        "the map uses a hole twice and was rejected",
        have={"hub_holes": len(hub_holes), "rim_holes": len(rim_holes)},
        need={"holes": spec.rim.holes},
    )

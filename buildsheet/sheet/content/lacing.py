"""The lacing in words: the first four spokes, how they repeat, and what turns a wheel round."""

from __future__ import annotations

from itertools import pairwise

from buildsheet.plan.plan import Plan
from buildsheet.sheet.content.says import FirstSpoke, LacingSays
from buildsheet.wheel.spec import LacedSpoke, Side, Sides


def lacing_says(plan: Plan) -> LacingSays:
    """The lacing block: always seen from the right side, from which rim holes are counted."""
    toward: Side | None = None
    if plan.bed_offset_mm:
        toward = "left" if plan.bed_offset_mm < 0.0 else "right"
    return LacingSays(
        view="the RIGHT",
        pattern=_pattern(plan),
        first=tuple(_first(spoke) for spoke in plan.lacing[:4]),
        repeat=Sides(left=_repeat(plan.lacing, "left"), right=_repeat(plan.lacing, "right")),
        bed_toward=toward,
        bed_words="rim bed on THIS side",
        spokes=plan.lacing,
    )


def _pattern(plan: Plan) -> str:
    crossings = {plan.spokes.left.crossings, plan.spokes.right.crossings}
    if crossings == {None}:
        return "set by the hub"
    left, right = plan.spokes.left.crossings, plan.spokes.right.crossings
    if left == right:
        return _crossed(left)
    return f"LEFT {_crossed(left)}, RIGHT {_crossed(right)}"


def _crossed(crossings: int | None) -> str:
    if crossings is None:
        return "set by the hub"
    return f"{crossings} crossings" if crossings > 1 else ("1 crossing" if crossings else "radial")


def _first(spoke: LacedSpoke) -> FirstSpoke:
    return FirstSpoke(
        hole=str(spoke.hole),
        side=spoke.side,
        word=spoke.side.upper(),
        hub_hole=str(spoke.hub_hole),
        run=spoke.run,
        head="" if spoke.head == "none" else f"head {spoke.head}",
    )


def _repeat(spokes: tuple[LacedSpoke, ...], side: Side) -> str:
    """How a side's first spokes repeat."""
    rule = _rule(spokes, side)
    if rule is None:
        return "go on by the numbers of the picture"
    rim, hub = rule
    return f"then rim holes + {rim}, hub holes + {hub}"


def _rule(spokes: tuple[LacedSpoke, ...], side: Side) -> tuple[int, int] | None:
    """Steps along rim and hub from a spoke to the next of its kind; None where they are uneven."""
    mine = [spoke for spoke in spokes if spoke.side == side]
    steps: set[tuple[int, int]] = set()
    for run in ("trailing", "leading", "radial"):
        kin = [spoke for spoke in mine if spoke.run == run]
        for one, other in pairwise(kin):
            hub_step = (other.hub_hole - one.hub_hole) % len(mine)
            steps.add((other.hole - one.hole, hub_step))
    return steps.pop() if len(steps) == 1 else None

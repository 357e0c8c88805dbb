"""Spoke lengths: one in stock for each side, threads that end in the nipple's head."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.plan.assembly import feature
from buildsheet.plan.build import Computed
from buildsheet.plan.lengths import look_alike
from buildsheet.wheel.spec import SIDES, Side


def stock_length(wheel: PostedWheel) -> Iterator[Raised]:
    """A stocked length lies in the window of each side, and its thread ends in the head."""
    computed = wheel.computed
    if computed is None:
        return
    for side in SIDES:
        choice = computed.stock[side]
        if choice.stock_mm is None:
            yield _none_in_window(wheel, computed, side)
        elif choice.error_mm is not None:
            yield from _thread_fill(wheel, computed, side, choice.error_mm)


def _none_in_window(wheel: PostedWheel, computed: Computed, side: Side) -> Raised:
    choice, spoke = computed.stock[side], computed.assembly.spokes[side]
    near = [
        f"{length} ({length - choice.target_mm:+.1f})"
        for length in (choice.below_mm, choice.above_mm)
        if length is not None
    ]
    low, high = choice.window_mm
    return wheel.found(
        "length.no-stock-length",
        "block",
        f"spoke/{side}",
        f"The {side} side ({_feature(wheel, computed, side)}) needs {choice.target_mm:.1f} mm of "
        f"{spoke.code}; nearest in stock {' and '.join(near)}, wanted {low:+g} to {high:+g}. "
        "Take another spoke, nipple or pattern.",
        have={
            "target_mm": round(choice.target_mm, 3),
            "nearest_mm": [choice.below_mm, choice.above_mm],
        },
        need={"window_mm": [low, high]},
        also=("nipple", "crossings") if wheel.crossings is not None else ("nipple",),
        ways=("spoke", f"spoke/{side}", "nipple", "crossings", "washer", "hub", "rim"),
    )


def _thread_fill(
    wheel: PostedWheel, computed: Computed, side: Side, error_mm: float
) -> Iterator[Raised]:
    nipple = computed.assembly.nipple
    if nipple.head_top_mm is None:
        if side == "left":
            yield wheel.unknown("nipple", nipple, "head_top_mm", "where the thread may end")
        return
    if error_mm > nipple.head_top_mm + SAME:
        yield wheel.found(
            "length.thread-fill",
            "block",
            f"spoke/{side}",
            f"The {side} spokes would end {error_mm:.1f} mm past the slot of nipple {nipple.code}, "
            f"whose head is {nipple.head_top_mm:g} mm high there. Take a nipple with a longer head.",
            have={"past_slot_mm": round(error_mm, 3)},
            need={"past_slot_mm": {"at_most": nipple.head_top_mm}},
            also=("nipple",),
            ways=("nipple", "spoke", "crossings"),
        )


def look_alikes(wheel: PostedWheel) -> Iterator[Raised]:
    """Left and right lengths that the eye takes for one are bagged apart."""
    computed = wheel.computed
    if computed is None:
        return
    left, right = computed.stock.left.stock_mm, computed.stock.right.stock_mm
    if left is None or right is None or not look_alike(left, right, wheel.house.length):
        return
    yield wheel.found(
        "length.look-alike",
        "caution",
        "spoke",
        f"Left {left}, right {right}: look-alike lengths. Bag them apart and mark the bags.",
        have={"left_mm": left, "right_mm": right},
        need={"apart_mm": {"more_than": wheel.house.length.look_alike_mm}},
    )


def stretch_difference(wheel: PostedWheel) -> Iterator[Raised]:
    """Sides that stretch differently move the dish while tension rises."""
    computed, limit_mm = wheel.computed, wheel.house.length.stretch_difference_mm
    if computed is None:
        return
    left = computed.mechanics.sides.left.stretch_mm
    right = computed.mechanics.sides.right.stretch_mm
    if abs(left - right) > limit_mm + SAME:
        more, less = ("left", "right") if left > right else ("right", "left")
        yield wheel.found(
            "length.stretch-difference",
            "note",
            "spoke",
            f"{more.capitalize()} spokes stretch {max(left, right):.2f} mm, {less} ones "
            f"{min(left, right):.2f} mm: look at the dish after every round.",
            have={"left_mm": round(left, 3), "right_mm": round(right, 3)},
            need={"apart_mm": {"at_most": limit_mm}},
        )


def _feature(wheel: PostedWheel, computed: Computed, side: Side) -> str:
    return feature(wheel.position, computed.assembly.rim.brake, side)


COMPUTED_CHECKS = (stock_length, look_alikes, stretch_difference)

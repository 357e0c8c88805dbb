"""While lacing: the first spoke of each side measured, and the gate half way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.stations.station import Stand, Station, StepDocument
from buildsheet.findings import Finding
from buildsheet.wheel.spec import SIDES

LengthMm = Annotated[float, Field(ge=60.0, le=340.0)]


class FirstSpoke(StepDocument):
    """One spoke out of each bag, measured."""

    left_mm: LengthMm | None = None
    right_mm: LengthMm | None = None


def judge_first_spoke(stand: Stand, step: FirstSpoke) -> tuple[Finding, ...]:
    """Whether the bags hold what is written on them."""
    return tuple(_first_spoke(stand, step))


def _first_spoke(stand: Stand, step: FirstSpoke) -> Iterator[Finding]:
    allowed_mm = stand.house.sheet.first_spoke_mm
    measured = {"left": step.left_mm, "right": step.right_mm}
    for side in SIDES:
        length_mm, stock_mm = measured[side], stand.plan.spokes[side].stock_mm
        if length_mm is None:
            says = f"Measure one spoke out of the {side.upper()} bag."
            yield found("bench.reading-missing", "block", f"/{side}_mm", says)
        elif stock_mm is not None and abs(length_mm - stock_mm) > allowed_mm + 1e-9:
            other = stand.plan.spokes["right" if side == "left" else "left"].stock_mm
            swapped = other is not None and abs(length_mm - other) <= allowed_mm
            hint = " It is the length of the other side: the bags are swapped." if swapped else ""
            yield found(
                "bench.first-spoke",
                "block",
                f"/{side}_mm",
                f"The {side} spoke measures {length_mm:.1f} mm, {stock_mm} is wanted, {allowed_mm:g} off "
                f"is allowed.{hint} Do not lace.",
                have={"length_mm": length_mm},
                need={"length_mm": stock_mm, "within_mm": allowed_mm},
            )


class HalfWay(StepDocument):
    """Before the second side: the four spokes at the valve as in the picture, the hub's label toward the
    valve, and on an asymmetric rim the spoke bed toward its side."""

    as_picture: bool | None = None
    label_at_valve: bool | None = None
    bed_as_arrow: bool | None = None


def judge_half_way(stand: Stand, step: HalfWay) -> tuple[Finding, ...]:
    """Whether to go on with the second side."""
    return tuple(_half_way(stand, step))


def _half_way(stand: Stand, step: HalfWay) -> Iterator[Finding]:
    asked = {
        "as_picture": (step.as_picture, "the four spokes at the valve are as in the picture"),
        "label_at_valve": (
            step.label_at_valve,
            "the hub's label is readable through the valve hole",
        ),
    }
    if stand.plan.orientation:
        asked["bed_as_arrow"] = (
            step.bed_as_arrow,
            f"the rim lies as the arrow says: {stand.plan.orientation}",
        )
    for member, (answer, what) in asked.items():
        if not answer:
            done = "is not" if answer is False else "was not looked at"
            says = f"That {what} {done}. Unlace to the valve and look again before the second side."
            code = "bench.half-way" if answer is False else "bench.reading-missing"
            yield found(code, "block", f"/{member}", says, have={"answer": answer})


FIRST_SPOKE: Final = Station(
    name="first-spoke",
    says="Measure one spoke out of each bag.",
    document=FirstSpoke,
    judge=judge_first_spoke,
    needs=("kit",),
    move="build",
)
HALF_WAY: Final = Station(
    name="half-way",
    says="Turn the wheel: four spokes at the valve as in the picture?",
    document=HalfWay,
    judge=judge_half_way,
    needs=("first-spoke",),
)

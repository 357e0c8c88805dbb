"""What the figures of a bare wheel give reason to say: stated limits, geometry, published tests.

House figures take no part: without a catalog there is no house. Nothing here says that a wheel is good.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.findings import Finding, pointer
from buildsheet.plan.wheel_file.codes import found
from buildsheet.plan.wheel_file.document import WheelFile
from buildsheet.wheel.spec import SIDES, Mechanics, Side
from buildsheet.wheel.structure import StructureAnswer
from buildsheet.wheel.wrap import most_crossings

BUCKLING_SHARE = 0.5
"""Of the buckling tension: where a wheel goes out of true [Ford 2018; read]."""

MEAN_FLOOR_N = 400.0
OTHER_SIDE_FLOOR_N = 300.0
SPOKE_FLOOR_N = 150.0
"""JIS D 9301:2019, 5.5.1.3 c: mean tension, wheels over 22 in; the other side of a dished wheel;
no single spoke at or below the last [second-hand, through an institute's test summary]."""

SIDE_LOAD_N = 250.0
"""Side load of the published wheel test [TBIS 15194:2019 table 25 (read), JIS D 9301:2019 5.5.1.3
(second-hand)]."""


def remarks(
    file: WheelFile, mechanics: Mechanics, structure: StructureAnswer | None
) -> Iterator[Finding]:
    """Findings on a laced wheel and its structure."""
    yield from _heads(file, mechanics)
    if not mechanics.spec.tight_side_n:
        return
    yield from _limit(file)
    yield from _floor(mechanics)
    if structure:
        yield from _carries(structure)


def _heads(file: WheelFile, mechanics: Mechanics) -> Iterator[Finding]:
    for side in SIDES:
        clearance, spokes = mechanics.sides[side].head_clearance_mm, mechanics.spec.spokes[side]
        wanted = (spokes.head_mm + spokes.width_mm) / 2.0
        if clearance is None or clearance >= wanted:
            continue
        fits = most_crossings(file.spec(), side, wanted)
        over = clearance < spokes.head_mm / 2.0
        says = (
            f"A {side} spoke passes {clearance:.1f} mm from the middle of its neighbour's head; head and "
            f"wire need {wanted:.1f} mm. Up to {fits} crossings leave that."
        )
        yield found(
            "lacing.head-clearance",
            "block" if over else "caution",
            pointer("spokes", side, "crossings"),
            says,
            have={"clearance_mm": clearance},
            need={"clearance_mm": wanted, "most_crossings": fits},
        )


def _limit(file: WheelFile) -> Iterator[Finding]:
    limit, tight = file.rim.spoke_limit_n, file.tension.tight_side_n if file.tension else None
    if limit is None or tight is None or tight <= limit:
        return
    yield found(
        "tension.rim-limit",
        "block",
        "/tension/tight_side_n",
        f"The tight side's {tight:.0f} N lie above the rim's limit of {limit:.0f} N.",
        have={"tight_side_n": tight},
        need={"at_most": limit},
    )


def _floor(mechanics: Mechanics) -> Iterator[Finding]:
    tight, slack = (mechanics.sides[side].tension_n for side in _sides_by_tension(mechanics))
    floors = (MEAN_FLOOR_N, OTHER_SIDE_FLOOR_N if slack < tight else MEAN_FLOOR_N)
    if tight >= floors[0] and slack >= floors[1]:
        return
    yield found(
        "tension.floor",
        "caution",
        "/tension/tight_side_n",
        f"The sides would carry {tight:.0f} and {slack:.0f} N; {floors[0]:.0f} and {floors[1]:.0f} N are "
        "the least means of the published requirement for wheels over 22 in, and no spoke at or below "
        f"{SPOKE_FLOOR_N:.0f} N.",
        have={"tight_n": tight, "slack_n": slack},
        need={"tight_n": floors[0], "slack_n": floors[1], "every_spoke_above_n": SPOKE_FLOOR_N},
    )


def _sides_by_tension(mechanics: Mechanics) -> tuple[Side, Side]:
    return ("left", "right") if mechanics.tight_side == "left" else ("right", "left")


def _carries(structure: StructureAnswer) -> Iterator[Finding]:
    figures, mean = structure.figures, structure.layout.mean_tension_n
    if mean > BUCKLING_SHARE * figures.buckling_tension_n:
        share = mean / figures.buckling_tension_n
        yield found(
            "tension.buckling",
            "caution",
            "/tension/tight_side_n",
            f"The mean of {mean:.0f} N is {share:.0%} of the {figures.buckling_tension_n:.0f} N at which "
            f"the rim leaves its plane.",
            have={
                "mean_tension_n": mean,
                "buckling_tension_n": figures.buckling_tension_n,
                "buckling_mode": figures.buckling_mode,
            },
            need={"at_most_n": BUCKLING_SHARE * figures.buckling_tension_n},
        )
    if figures.slack_side_load_n < SIDE_LOAD_N:
        yield found(
            "load.side-load",
            "caution",
            "/tension/tight_side_n",
            f"{figures.slack_side_load_n:.0f} N from the side slacken a spoke; the published wheel test "
            f"pushes with {SIDE_LOAD_N:.0f} N.",
            have={"slack_side_load_n": figures.slack_side_load_n},
            need={"at_least_n": SIDE_LOAD_N},
        )

"""What the wheel carries as a structure; these checks cost more and are run last."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.errors import CannotCompute
from buildsheet.findings import Value
from buildsheet.orders.posted import PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.plan.build import Computed, structure_figures
from buildsheet.plan.plan import StructurePlan
from buildsheet.units import NEWTON_PER_KGF

ROUGH_FROM_CLASS = 3
"""Classes of EN 17406 from here on leave made roads and gravel [read in summaries]."""


def carries(wheel: PostedWheel) -> Iterator[Raised]:
    """The planned tension stands, and outlasts knocks and side pushes of this rider."""
    computed = wheel.computed
    if computed is None:
        return
    rim = computed.assembly.rim
    if rim.section is None:
        yield wheel.unknown("rim", rim, "section", "what the wheel carries as a structure")
        return
    try:
        figures = structure_figures(computed)
    except CannotCompute as error:
        yield _leaves_its_plane(wheel, f"This tension cannot stand: {error}.", {})
        return
    if figures is not None:
        yield from _buckling(wheel, computed, figures)
        yield from _slack_margin(wheel, figures)
        yield from _side_load(wheel, figures)


def _leaves_its_plane(wheel: PostedWheel, says: str, have: dict[str, Value]) -> Raised:
    return wheel.found(
        "tension.buckling",
        "block",
        "rim",
        f"{says} Take a stiffer rim or more spokes.",
        have=have,
        also=("hub", "holes"),
        ways=("rim", "holes", "hub"),
    )


def _buckling(wheel: PostedWheel, computed: Computed, figures: StructurePlan) -> Iterator[Raised]:
    mean_n = _mean_tension_n(computed)
    share, most = mean_n / figures.buckling_tension_n, wheel.house.tension.buckling_share
    if share <= most:
        return
    yield wheel.found(
        "tension.buckling",
        "approval",
        "rim",
        f"The planned mean of {mean_n:.0f} N is {share:.0%} of the {figures.buckling_tension_n:.0f} N "
        f"at which rim {computed.assembly.rim.code} leaves its plane; {most:.0%} wanted. Take more "
        "spokes or a stiffer rim, or have it released.",
        have={"mean_n": round(mean_n, 1), "buckling_n": round(figures.buckling_tension_n, 1)},
        need={"share": {"at_most": most}},
        also=("hub", "holes"),
        ways=("rim", "holes", "hub"),
    )


def _mean_tension_n(computed: Computed) -> float:
    left, right = computed.spec.spokes.left.count, computed.spec.spokes.right.count
    plan = computed.tension
    return (left * plan.left_n + right * plan.right_n) / (left + right)


def _slack_margin(wheel: PostedWheel, figures: StructurePlan) -> Iterator[Raised]:
    house, mass_kg = wheel.house.load, wheel.order.system_kg
    if mass_kg is None:
        return
    share = house.front_share if wheel.position == "front" else house.rear_share
    standing_n = mass_kg * share * NEWTON_PER_KGF
    knock_n = standing_n * house.dynamic_factor
    if figures.slack_load_n >= knock_n:
        return
    carries_kg = figures.slack_load_n / (share * NEWTON_PER_KGF * house.dynamic_factor)
    standing = figures.slack_load_n < standing_n
    what = "the rider at rest" if standing else "a knock"
    way_out = "Have it released, or take" if standing else "Consider"
    yield wheel.found(
        "load.slack-margin",
        "approval" if standing else "caution",
        "",
        f"{figures.slack_load_n:.0f} N take the last tension from a spoke of the {wheel.position} "
        f"wheel; {what} of {mass_kg:g} kg makes {standing_n if standing else knock_n:.0f} N. Knocks "
        f"counted, every spoke stays tight to {carries_kg:.0f} kg. {way_out} more spokes or an "
        "asymmetric rim.",
        have={"slack_load_n": round(figures.slack_load_n, 1), "knock_n": round(knock_n, 1)},
        need={"slack_load_n": {"at_least": round(knock_n, 1)}, "system_kg": round(carries_kg, 1)},
        also=("/use/rider_kg",),
        ways=("rim", "holes", "spoke", "hub"),
    )


def _side_load(wheel: PostedWheel, figures: StructurePlan) -> Iterator[Raised]:
    house, use_class = wheel.house.load, wheel.use.whole("class")
    if use_class is None:
        return
    rough = ROUGH_FROM_CLASS <= use_class <= 5
    push_n = house.side_load_rough_n if rough else house.side_load_n
    if figures.slack_side_load_n >= push_n:
        return
    yield wheel.found(
        "load.side-load",
        "caution",
        "",
        f"{figures.slack_side_load_n:.0f} N from the side slacken a spoke of the {wheel.position} "
        f"wheel; the wheel test for this use pushes with {push_n:.0f} N. Consider more spokes.",
        have={"slack_side_load_n": round(figures.slack_side_load_n, 1)},
        need={"slack_side_load_n": {"at_least": push_n}},
        also=("/use/class",),
        ways=("holes", "rim", "hub"),
    )


CHECKS = (carries,)

"""What the wheel carries as a structure; these checks cost more and are run last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from buildsheet.errors import CannotCompute
from buildsheet.findings import Value
from buildsheet.orders.checks.load import lowest_release
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
    load = _slack_load(wheel, figures)
    mass_kg = wheel.order.system_kg
    knock_n = None if mass_kg is None else mass_kg * load.knock_n_per_kg
    if mass_kg is None or knock_n is None or load.least_n >= knock_n:
        yield from _rider_limit(wheel, load)
        return
    standing_n = knock_n / wheel.house.load.dynamic_factor
    standing = load.least_n < standing_n
    what, makes_n = ("the rider at rest", standing_n) if standing else ("a knock", knock_n)
    way_out = "Have it released, or take" if standing else "Consider"
    yield wheel.found(
        "load.slack-margin",
        "approval" if standing else "caution",
        "",
        f"{load.least_n:.0f} N take the last tension from a spoke of the {wheel.position} wheel with "
        f"the tyre at pressure; {what} of {mass_kg:g} kg makes {makes_n:.0f} N. Knocks counted, every "
        f"spoke stays tight to {load.carries_kg} kg. {way_out} more spokes or an asymmetric rim.",
        have={"slack_load_n": round(load.least_n, 1), "load_n": round(makes_n, 1)},
        need={"slack_load_n": {"at_least": round(makes_n, 1)}, "system_kg": load.carries_kg},
        also=("/use/rider_kg",),
        ways=("rim", "holes", "spoke", "hub"),
    )


@dataclass(frozen=True, slots=True)
class _SlackLoad:
    """The load that may slacken the first spoke, and what a knock makes of each kilogram."""

    least_n: float
    knock_n_per_kg: float

    @property
    def carries_kg(self) -> int:
        """The heaviest system mass whose knock leaves every spoke tight, in whole kilograms."""
        return floor(self.least_n / self.knock_n_per_kg)


def _slack_load(wheel: PostedWheel, figures: StructurePlan) -> _SlackLoad:
    """The planned wheel's slack load falls with its tension: the tyre at pressure takes its share, and a
    spoke may stand at the low end of the house's band."""
    tension, load = wheel.house.tension, wheel.house.load
    left = (1.0 - max(tension.tyre_drop_percent) / 100.0) * (1.0 - tension.band_percent / 100.0)
    share = load.front_share if wheel.position == "front" else load.rear_share
    return _SlackLoad(figures.slack_load_n * left, share * load.dynamic_factor * NEWTON_PER_KGF)


def _rider_limit(wheel: PostedWheel, load: _SlackLoad) -> Iterator[Raised]:
    """The parts are released to more than the structure carries: that limit is the wheel's."""
    lowest = lowest_release(wheel)
    if lowest is None or lowest.limit_kg <= load.carries_kg:
        return
    yield wheel.found(
        "load.rider-limit",
        "note",
        "",
        f"The parts of the {wheel.position} wheel are released to {lowest.limit_kg:g} kg, by "
        f"{lowest.named}; its structure keeps every spoke tight under knocks to {load.carries_kg} kg "
        "with the tyre at pressure, and that is the limit.",
        have={"system_kg": lowest.limit_kg, "by": lowest.named},
        need={"system_kg": {"at_most": load.carries_kg}, "by": "slack load of the structure"},
        also=("rim", "holes"),
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

"""Tension: floors, the balance of the two sides, whose limit decides, which way round the rim goes."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.orders.posted import Posted, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.plan.assembly import feature
from buildsheet.plan.build import Computed, orientation
from buildsheet.plan.tension import limits
from buildsheet.wheel.spec import Side


def floors(wheel: PostedWheel) -> Iterator[Raised]:
    """Every side is tight enough to be a wheel at all, and the slack side for this house."""
    computed, tension, load = wheel.computed, wheel.house.tension, wheel.house.load
    if computed is None:
        return
    side, slack_n, tight_n = _slack(computed)
    lowest_spoke_n = slack_n * (1.0 - tension.band_percent / 100.0)
    too_slack = (
        tight_n < load.mean_tension_floor_n
        or slack_n < load.slack_mean_floor_n
        or lowest_spoke_n <= load.spoke_floor_n
    )
    named = f"{side} side ({feature(wheel.position, computed.assembly.rim.brake, side)})"
    if too_slack:
        yield wheel.found(
            "tension.floor",
            "block",
            "hub",
            f"The sides would carry {tight_n:.0f} and {slack_n:.0f} N; a wheel needs "
            f"{load.mean_tension_floor_n:.0f} and {load.slack_mean_floor_n:.0f} N, and no spoke at "
            f"{load.spoke_floor_n:.0f} N or less. Take a hub with flanges further apart, or an "
            "asymmetric rim.",
            have={"tight_n": round(tight_n, 1), "slack_n": round(slack_n, 1)},
            need={
                "tight_n": {"at_least": load.mean_tension_floor_n},
                "slack_n": {"at_least": load.slack_mean_floor_n},
                "every_spoke_n": {"more_than": load.spoke_floor_n},
            },
            also=("rim",),
            ways=("hub", "rim"),
        )
    elif slack_n < tension.slack_side_n:
        yield wheel.found(
            "tension.slack-side",
            "approval",
            "hub",
            f"The {named} would sit at {slack_n:.0f} N, {tension.slack_side_n:.0f} N wanted. Take an "
            "asymmetric rim or another hub, or have it released.",
            have={"slack_n": round(slack_n, 1), "side": side},
            need={"slack_n": {"at_least": tension.slack_side_n}},
            also=("rim",),
            ways=("rim", "hub"),
        )


def ratio(wheel: PostedWheel) -> Iterator[Raised]:
    """How much less the slack side carries."""
    computed, house = wheel.computed, wheel.house.tension
    if computed is None or computed.tension.ratio >= house.ratio_caution:
        return
    side, _, _ = _slack(computed)
    low = computed.tension.ratio < house.ratio_floor
    way_out = (
        "Take an asymmetric rim or another hub, or have it released."
        if low
        else "Check its tension after the first rides."
    )
    yield wheel.found(
        "tension.ratio",
        "approval" if low else "caution",
        "hub",
        f"The {side} side carries {computed.tension.ratio:.2f} of the other. {way_out}",
        have={"ratio": round(computed.tension.ratio, 4)},
        need={"ratio": {"at_least": house.ratio_floor if low else house.ratio_caution}},
        also=("rim",),
        ways=("rim", "hub"),
    )


def whose_limit(wheel: PostedWheel) -> Iterator[Raised]:
    """Where hub or spoke carry less than the rim, they set the tension."""
    computed = wheel.computed
    if computed is None or wheel.rim is None or wheel.rim.spoke_limit_n is None:
        return
    lowest = limits(computed.assembly)[0]
    if lowest.kind == "rim" or lowest.limit_n >= wheel.rim.spoke_limit_n:
        return
    yield wheel.found(
        "tension.hub-limit",
        "note",
        "hub" if lowest.kind == "hub" else "spoke",
        f"{lowest.kind.capitalize()} {lowest.part} carries {lowest.limit_n:.0f} N a spoke, rim "
        f"{wheel.rim.code} {wheel.rim.spoke_limit_n:.0f} N: the {lowest.kind} sets target and stop.",
        have={"limit_n": lowest.limit_n, "rim_n": wheel.rim.spoke_limit_n},
        also=("rim",),
    )


def bed_orientation(wheel: PostedWheel) -> Iterator[Raised]:
    """An asymmetric rim goes in one way round."""
    computed = wheel.computed
    if computed is None or wheel.rim is None or not wheel.rim.bed_offset_mm:
        return
    yield wheel.found(
        "tension.bed-orientation",
        "note",
        "rim",
        f"Rim {wheel.rim.code} is asymmetric: mount it with the {orientation(computed.assembly)}.",
        have={"bed_offset_mm": wheel.rim.bed_offset_mm},
    )


def tyre_drop(order: Posted) -> Iterator[Raised]:
    """Nobody makes up for what the tyre takes away."""
    if not any(wheel.assembly for wheel in order.wheels):
        return
    low, high = order.house.tension.tyre_drop_percent
    yield order.found(
        "tension.tyre-drop",
        "note",
        "/use/tyre_system",
        f"Expect {low:g} to {high:g} % less tension with the tyre at pressure. Do not add it: stop "
        "values hold without a tyre.",
        need={"percent": [low, high]},
    )


def _slack(computed: Computed) -> tuple[Side, float, float]:
    """Slack side, its mean tension, the tight side's."""
    plan = computed.tension
    if plan.tight_side == "left":
        return "right", plan.right_n, plan.left_n
    return "left", plan.left_n, plan.right_n


COMPUTED_CHECKS = (floors, ratio, whose_limit, bed_orientation)
ORDER_CHECKS = (tyre_drop,)

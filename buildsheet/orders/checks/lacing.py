"""Lacing: crossings that fit, that are released, that carry torque; the rim's drilled angles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from buildsheet.catalog.house import LacingHouse
from buildsheet.errors import CannotLace
from buildsheet.orders.part_states import closed_in_words
from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.plan.assembly import feature
from buildsheet.plan.build import Computed
from buildsheet.plan.programs import made_for
from buildsheet.wheel.spec import SIDES, Side, Sides
from buildsheet.wheel.wrap import crossings_of

HEAD_PLAY_MM = 0.1
"""Between a spoke and the head that it passes [proposal; the house's own figure holds the same]."""


def pattern_named(wheel: PostedWheel) -> Iterator[Raised]:
    """A flange hub needs its pattern named, a straight-pull hub dictates it."""
    hub = wheel.hub
    if hub is None:
        return
    asked = wheel.members.has("crossings")
    if wheel.straight_pull and asked:
        yield wheel.found(
            "lacing.fixed-pattern",
            "block",
            "crossings",
            f"Hub {hub.code} dictates its own pattern. Take the crossings out of the order.",
            have={"crossings": "named"},
            need={"crossings": None},
            also=("hub",),
            ways=("crossings", "hub"),
        )
    elif not wheel.straight_pull and not asked and not _told(wheel):
        yield wheel.found(
            "lacing.pattern-missing",
            "block",
            "crossings",
            f"Hub {hub.code} leaves the pattern open. Name the crossings of both sides.",
            have={"crossings": None},
            need={"crossings": [*hub.crossings, *([0] if hub.radial_holes else [])]},
            also=("hub",),
            ways=("crossings",),
        )


def _told(wheel: PostedWheel) -> bool:
    at = wheel.place("crossings")
    return any(wheel.order.is_told(each) for each in (at, at + "/left", at + "/right"))


def groups_of_four(wheel: PostedWheel) -> Iterator[Raised]:
    """A crossed side has an even count: one to one, the holes divide by four."""
    counts, crossings, holes = wheel.counts, _asked(wheel), wheel.holes
    if counts is None or holes is None:
        return
    crossed = [side for side in SIDES if crossings is not None and crossings[side]]
    if wheel.straight_pull:
        crossed = list(SIDES)
    odd = [side for side in crossed if counts[side] % 2]
    if odd or counts.left < 1 or counts.right < 1:
        step = 4 if wheel.rim and wheel.rim.split == "1:1" else 6
        yield wheel.found(
            "lacing.groups-of-four",
            "block",
            "holes",
            f"{holes} holes give {counts.left} left and {counts.right} right spokes, which do not "
            f"halve into pulling and pushing ones. Take a count that divides by {step}, or radial.",
            have={"holes": holes, "left": counts.left, "right": counts.right},
            need={"holes": {"divides_by": step}},
            also=("crossings",),
            ways=("holes", "crossings"),
        )


def _asked(wheel: PostedWheel) -> Sides[int] | None:
    """The crossings asked of a flange hub."""
    return None if wheel.straight_pull else wheel.crossings


def _crossing_places(wheel: PostedWheel) -> Iterator[tuple[str, int, tuple[Side, ...]]]:
    """Each crossing count asked for, with its place and sides: once where both sides are alike."""
    asked = _asked(wheel)
    if asked is None:
        return
    if asked.left == asked.right:
        yield "crossings", asked.left, SIDES
    else:
        yield "crossings/left", asked.left, ("left",)
        yield "crossings/right", asked.right, ("right",)


def wrap_angle(wheel: PostedWheel) -> Iterator[Raised]:
    """Spokes leave the hub before they pass a right angle, or the tangent to their flange."""
    counts, limit_deg = wheel.counts, wheel.house.lacing.wrap_limit_deg
    if counts is None:
        return
    outcome = wheel.outcome
    past = outcome if isinstance(outcome, CannotLace) and outcome.slug == "past-tangent" else None
    for at, crossings, sides in _crossing_places(wheel):
        tightest = max(sides, key=lambda side: _wrap_deg(crossings, counts[side]))
        wrap_deg = _wrap_deg(crossings, counts[tightest])
        too_far = wrap_deg >= limit_deg - SAME
        tangent = past is not None and past.have.get("side", tightest) in sides and crossings > 0
        if not too_far and not tangent:
            continue
        most = _most_crossings(counts[tightest], limit_deg)
        fits = past.need.get("most_crossings") if past is not None else None
        if isinstance(fits, int) and not isinstance(fits, bool):
            most = min(most, fits)
        yield wheel.found(
            "lacing.wrap-angle",
            "block",
            at,
            f"{crossings} crossings of {counts[tightest]} spokes a side wrap {wrap_deg:.0f} degrees "
            f"round the hub: spokes would run over their neighbours' heads. At most {most}.",
            have={"crossings": crossings, "wrap_deg": round(wrap_deg, 2)},
            need={"crossings": {"at_most": most}, "wrap_deg": {"below": limit_deg}},
            also=("holes",),
            ways=(at, "crossings", "holes"),
        )


def _wrap_deg(crossings: int, count: int) -> float:
    """The wrap as the pattern gives it.

    >>> _wrap_deg(3, 12)
    90.0
    """
    return 360.0 * crossings / count if count else 0.0


def _most_crossings(count: int, limit_deg: float) -> int:
    """The largest crossing count below the limit.

    >>> _most_crossings(12, 90.0)
    2
    """
    return max(0, ceil(limit_deg * count / 360.0 - SAME) - 1)


def head_clearance(wheel: PostedWheel) -> Iterator[Raised]:
    """Enough room between a spoke and the head of its neighbour on the flange."""
    computed, house, counts = wheel.computed, wheel.house.lacing, wheel.counts
    if computed is None or counts is None:
        return
    for at, crossings, sides in _crossing_places(wheel):
        measured = [each for side in sides if (each := _next_head(computed, house, side))]
        if not measured:
            continue
        inside, _, clearance_mm, wanted_mm, side = max(measured, key=lambda each: each[:2])
        wrap_deg = _wrap_deg(crossings, counts[side])
        if wrap_deg >= house.wrap_limit_deg - SAME or clearance_mm >= wanted_mm - SAME:
            continue
        hopeless = inside or (
            clearance_mm < house.head_clearance_block_mm
            and wrap_deg >= house.head_clearance_block_wrap_deg
        )
        way_out = "" if hopeless else ", or have it released"
        yield wheel.found(
            "lacing.head-clearance",
            "block" if hopeless else "approval",
            at,
            f"A spoke passes {clearance_mm:.1f} mm from the next head on the {side} flange of hub "
            f"{computed.assembly.hub.code}, {wanted_mm:.3g} mm wanted ({crossings} crossings of "
            f"{counts[side]}). Take fewer crossings{way_out}.",
            have={"clearance_mm": round(clearance_mm, 3), "side": side},
            need={"clearance_mm": {"at_least": round(wanted_mm, 3)}},
            also=("hub", "holes"),
            ways=("crossings", "hub", "holes"),
        )


def _next_head(
    computed: Computed, house: LacingHouse, side: Side
) -> tuple[bool, float, float, float, Side] | None:
    """Whether the spoke's line lies inside the next head, what is lacking, the clearance and what is
    wanted: the house's figure, or half a head, half a wire and the play between where that is more."""
    clearance_mm, spokes = (
        computed.mechanics.sides[side].head_clearance_mm,
        computed.spec.spokes[side],
    )
    if clearance_mm is None:
        return None
    own_mm = (spokes.head_mm + spokes.width_mm) / 2.0 + HEAD_PLAY_MM
    wanted_mm = max(house.head_clearance_mm, own_mm)
    inside = clearance_mm < spokes.head_mm / 2.0
    return inside, wanted_mm - clearance_mm, clearance_mm, wanted_mm, side


def released(wheel: PostedWheel) -> Iterator[Raised]:
    """The hub's maker releases this pattern."""
    hub, holes = wheel.hub, wheel.holes
    if hub is None:
        return
    for at, crossings, _ in _crossing_places(wheel):
        if crossings == 0 and holes is not None and holes not in hub.radial_holes:
            where = " or ".join(str(each) for each in hub.radial_holes)
            only = (
                f"released for radial spokes only with {where} holes"
                if where
                else ("not released for radial spokes")
            )
            limit_deg = wheel.edition.house.lacing.wrap_limit_deg
            fitting = [each for each in hub.crossings if 720.0 * each / holes < limit_deg]
            times = " or ".join(str(each) for each in fitting)
            yield wheel.found(
                "lacing.radial-not-released",
                "block",
                at,
                f"Hub {hub.code} is {only}. "
                f"{f'Cross them {times} times.' if times else 'Take another hub.'}",
                have={"crossings": 0, "holes": holes},
                need={"radial_holes": list(hub.radial_holes), "crossings": list(fitting)},
                also=("hub", "holes"),
                ways=("crossings", "holes", "hub"),
            )
        elif crossings > 0 and crossings not in hub.crossings:
            yield wheel.found(
                "lacing.pattern-not-released",
                "block",
                at,
                f"Hub {hub.code} is released for {' or '.join(str(each) for each in hub.crossings)} "
                f"crossings, not for {crossings}.",
                have={"crossings": crossings},
                need={"crossings": list(hub.crossings)},
                also=("hub",),
                ways=("crossings", "hub"),
            )


def torque(wheel: PostedWheel) -> Iterator[Raised]:
    """Sides that carry drive or disc torque are crossed."""
    yield from _torque(wheel, _crossing_places(wheel))


def torque_dictated(wheel: PostedWheel) -> Iterator[Raised]:
    """The same of a straight-pull hub, whose seats dictate the crossings."""
    computed = wheel.computed
    if computed is None or not wheel.straight_pull:
        return
    crossed = {side: crossings_of(computed.spec, side) for side in SIDES}
    fewest = min(crossed.values())
    sides = tuple(side for side in SIDES if crossed[side] == fewest)
    yield from _torque(wheel, [("hub", fewest, sides)])


def _torque(
    wheel: PostedWheel, places: Iterable[tuple[str, int, tuple[Side, ...]]]
) -> Iterator[Raised]:
    hub, least = wheel.hub, wheel.house.lacing.torque_crossings
    brake = hub.brake if hub is not None else wheel.use.word("brake")
    disc = brake == "disc"
    if wheel.position == "front" and not disc:
        return
    what = "Disc torque" if wheel.position == "front" else "Drive torque"
    for at, crossings, sides in places:
        if crossings < least:
            named = " and ".join(feature(wheel.position, brake or "", side) for side in sides)
            yield wheel.found(
                "lacing.torque",
                "block",
                at,
                f"{what} turns the hub inside the rim: at least {least} crossings on both sides, "
                f"{crossings} {'dictated' if wheel.straight_pull else 'asked'} on the {named}.",
                have={"crossings": crossings, "sides": list(sides)},
                need={"crossings": {"at_least": least}},
                also=() if wheel.straight_pull else ("hub",),
                ways=("hub",) if wheel.straight_pull else ("crossings", "hub"),
            )


def drilling(wheel: PostedWheel) -> Iterator[Raised]:
    """A program drills this rim for this wheel, and its holes look where the spokes go."""
    computed, house = wheel.computed, wheel.house.lacing
    if computed is None:
        return
    plan, rim = computed.drilling, computed.assembly.rim
    if plan.program is None or plan.largest_misalignment_deg is None:
        closed = closed_in_words(made_for(computed.assembly, wheel.edition.programs.values()))
        yield wheel.found(
            "lacing.drilling-program",
            "block",
            "rim",
            f"There is no program to drill rim {rim.code} with {wheel.holes} {plan.drilling} holes "
            f"as a {wheel.position} wheel.{closed} Take another drilling, or have one proved.",
            have={"rim": rim.code, "holes": wheel.holes, "drilling": plan.drilling},
            need={"program": "for this rim, count and position"},
            also=("holes", "nipple"),
            ways=("holes", "rim", "nipple"),
        )
        return
    off_deg = plan.largest_misalignment_deg
    if off_deg <= house.hole_axis_deg:
        return
    beyond = off_deg > house.hole_axis_approval_deg
    yield wheel.found(
        "lacing.hole-axis",
        "block" if beyond else "approval",
        "crossings" if wheel.crossings is not None else "hub",
        f"The spoke of rim hole {plan.worst_hole} leaves its hole's axis by {off_deg:.1f} degrees with "
        f"program {plan.program}; {house.hole_axis_deg:g} is the limit. Take another pattern or hub.",
        have={"degrees": round(off_deg, 2), "program": plan.program, "hole": plan.worst_hole},
        need={"degrees": {"at_most": house.hole_axis_deg}},
        also=("rim", "hub"),
        ways=("crossings", "hub", "rim"),
    )


def valve_gap(wheel: PostedWheel) -> Iterator[Raised]:
    """The lacing map's own proof: nothing crosses over the valve."""
    computed = wheel.computed
    if computed is not None and computed.mechanics.lacing.valve_gap == "crossing":
        yield wheel.found(
            "lacing.valve-gap",
            "block",
            "crossings",
            "The map puts crossing spokes over the valve. Take another pattern.",
            also=("holes", "hub"),
            ways=("crossings", "hub"),
        )


CHECKS = (pattern_named, groups_of_four, released, torque)
COMPUTED_CHECKS = (wrap_angle, head_clearance, torque_dictated, drilling, valve_gap)

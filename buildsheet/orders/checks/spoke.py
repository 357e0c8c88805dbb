"""Spokes: their head in the hub, their thread, their stiffness for the rim."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.catalog.parts import Hub, Spoke
from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.wheel.spec import Side


def spoke_head(wheel: PostedWheel) -> Iterator[Raised]:
    """Bent heads for flanges, straight ones for sockets."""
    hub = wheel.hub
    if hub is None:
        return
    wanted = "straight-pull" if wheel.straight_pull else "j-bend"
    for at, spoke, sides in wheel.spoke_types():
        if spoke.head != wanted:
            yield wheel.found(
                "fit.spoke-head",
                "block",
                at,
                f"Spoke {spoke.code} has a {spoke.head} head, hub {hub.code} seats {wanted} spokes. "
                f"Take a {wanted} spoke or another hub.",
                have={"spoke": spoke.head, "sides": list(sides)},
                need={"spoke": wanted},
                also=("hub",),
                ways=(at, "hub"),
            )


def elbow_hole(wheel: PostedWheel) -> Iterator[Raised]:
    """The flange hole leaves the elbow enough play, and not too much."""
    hub, house = wheel.hub, wheel.house.fit
    if hub is None or wheel.straight_pull:
        return
    for at, spoke, _ in _hooked(wheel):
        if hub.hole_mm is None:
            yield wheel.unknown("hub", hub, "hole_mm", "the play of the spoke's elbow")
            return
        play_mm = hub.hole_mm - spoke.end_mm
        tight = play_mm < house.elbow_play_min_mm - SAME
        loose = play_mm > house.elbow_play_max_mm + SAME
        if not tight and not loose and play_mm <= house.elbow_play_good_mm + SAME:
            continue
        what = (
            "the elbow does not go in"
            if tight
            else "the elbow has nothing to rest on"
            if loose
            else "the elbow can move; lay washers under the heads or take thicker ends"
        )
        yield wheel.found(
            "fit.elbow-hole",
            "block" if tight or loose else "caution",
            at,
            f"Hub {hub.code} has {hub.hole_mm:g} mm holes, spoke {spoke.code} {spoke.end_mm:g} mm "
            f"ends: {play_mm:.2f} mm of play, {what}.",
            have={"hole_mm": hub.hole_mm, "end_mm": spoke.end_mm, "play_mm": round(play_mm, 3)},
            need={
                "play_mm": [house.elbow_play_min_mm, house.elbow_play_good_mm],
                "never_above_mm": house.elbow_play_max_mm,
            },
            also=("hub",),
            ways=(at, "hub"),
        )


def blade(wheel: PostedWheel) -> Iterator[Raised]:
    """A blade passes the round hole, or the hub has slots for it."""
    hub, play_mm = wheel.hub, wheel.house.fit.slot_play_mm
    if hub is None or wheel.straight_pull or hub.hole_mm is None:
        return
    for at, spoke, _ in _hooked(wheel):
        slotted = hub.slot_mm >= spoke.blade_mm + play_mm - SAME
        if spoke.blade_mm <= hub.hole_mm + SAME or slotted:
            continue
        slots = f"its slots are {hub.slot_mm:g} mm" if hub.slot_mm else "it has no slots"
        yield wheel.found(
            "fit.blade",
            "block",
            at,
            f"The {spoke.blade_mm:g} mm blade of {spoke.code} does not pass the {hub.hole_mm:g} mm "
            f"holes of hub {hub.code}, and {slots}. Take a narrower spoke.",
            have={"blade_mm": spoke.blade_mm, "hole_mm": hub.hole_mm, "slot_mm": hub.slot_mm},
            need={
                "blade_mm": {"at_most": hub.hole_mm},
                "slot_mm": {"at_least": round(spoke.blade_mm + play_mm, 3)},
            },
            also=("hub",),
            ways=(at, "hub"),
        )


def flange_thickness(wheel: PostedWheel) -> Iterator[Raised]:
    """The flange lies in the range that the spoke's elbow is bent for."""
    hub = wheel.hub
    if hub is None or wheel.straight_pull:
        return
    for at, spoke, sides in _hooked(wheel):
        if spoke.flange_min_mm is None or spoke.flange_max_mm is None:
            yield wheel.unknown(at, spoke, "flange range", "whether its elbow lies on the flange")
            continue
        off = [side for side in sides if _flange_is_off(hub, side, spoke)]
        unknown = any(_thickness_mm(hub, side) is None for side in sides)
        if unknown:
            yield wheel.unknown("hub", hub, "flange thickness", "whether the elbow lies on it")
            return
        if off:
            thickness_mm = _thickness_mm(hub, off[0])
            yield wheel.found(
                "fit.flange-thickness",
                "caution",
                at,
                f"The {' and '.join(off)} flange of {hub.code} is {thickness_mm:g} mm thick, the elbow "
                f"of {spoke.code} is bent for {spoke.flange_min_mm:g} to {spoke.flange_max_mm:g} mm. "
                "Lay head washers under a thin flange.",
                have={"flange_mm": thickness_mm, "sides": list(off)},
                need={"flange_mm": [spoke.flange_min_mm, spoke.flange_max_mm]},
                also=("hub",),
                ways=(at,),
            )


def _thickness_mm(hub: Hub, side: Side) -> float | None:
    flange = hub.left_flange if side == "left" else hub.right_flange
    return flange.thickness_mm if flange else None


def _flange_is_off(hub: Hub, side: Side, spoke: Spoke) -> bool:
    thickness_mm = _thickness_mm(hub, side)
    if thickness_mm is None or spoke.flange_min_mm is None or spoke.flange_max_mm is None:
        return False
    return not spoke.flange_min_mm - SAME <= thickness_mm <= spoke.flange_max_mm + SAME


def straight_pull_twist(wheel: PostedWheel) -> Iterator[Raised]:
    """Round straight-pull spokes are held while truing."""
    if not wheel.straight_pull:
        return
    for at, spoke, _ in wheel.spoke_types():
        if spoke.head == "straight-pull" and spoke.blade_mm == 0.0:
            yield wheel.found(
                "fit.straight-pull-twist",
                "caution",
                at,
                f"Spoke {spoke.code} is round and turns in its seat. Hold every spoke while its nipple "
                "is turned, or take a bladed one.",
                have={"blade_mm": 0.0},
                ways=(at,),
            )


def thread(wheel: PostedWheel) -> Iterator[Raised]:
    """Spoke and nipple have the same thread."""
    nipple = wheel.nipple
    if nipple is None:
        return
    for at, spoke, _ in wheel.spoke_types():
        if spoke.thread != nipple.thread:
            yield wheel.found(
                "fit.thread",
                "block",
                at,
                f"Spoke {spoke.code} has thread {spoke.thread}, nipple {nipple.code} {nipple.thread}. "
                "Take a pair with one thread.",
                have={"spoke": spoke.thread, "nipple": nipple.thread},
                need={"nipple": spoke.thread},
                also=("nipple",),
                ways=("nipple", at),
            )


def stiffness(wheel: PostedWheel) -> Iterator[Raised]:
    """The rim takes a spoke of this cross-section."""
    rim = wheel.rim
    if rim is None:
        return
    if rim.max_spoke_section_mm2 is None:
        yield wheel.unknown("rim", rim, "max_spoke_section_mm2", "how thick a spoke it takes")
        return
    for at, spoke, _ in wheel.spoke_types():
        if spoke.section_mm2 > rim.max_spoke_section_mm2 + SAME:
            yield wheel.found(
                "fit.spoke-stiffness",
                "block",
                at,
                f"Spoke {spoke.code} has {spoke.section_mm2:g} mm2, rim {rim.code} takes at most "
                f"{rim.max_spoke_section_mm2:g} mm2: too stiff for its spoke bed. Take a thinner spoke.",
                have={"section_mm2": spoke.section_mm2},
                need={"section_mm2": {"at_most": rim.max_spoke_section_mm2}},
                also=("rim",),
                ways=(at, "rim"),
            )


def mixed_spokes(wheel: PostedWheel) -> Iterator[Raised]:
    """One spoke type per wheel, unless somebody releases two."""
    left, right = wheel.spokes.left, wheel.spokes.right
    if left is not None and right is not None and left.code != right.code:
        yield wheel.found(
            "fit.mixed-spokes",
            "approval",
            "spoke",
            f"Left spokes are {left.code}, right ones {right.code}: two gauge tables, two bags. "
            "Take one type, or have it released with the reason.",
            have={"left": left.code, "right": right.code},
            need={"left": "as right"},
            also=("spoke/left", "spoke/right"),
            ways=("spoke",),
        )


def _hooked(wheel: PostedWheel) -> Iterator[tuple[str, Spoke, tuple[Side, ...]]]:
    """Spokes whose bent head can hook in at all; the others have a finding of their own."""
    return (each for each in wheel.spoke_types() if each[1].head == "j-bend")


CHECKS = (
    spoke_head,
    elbow_hole,
    blade,
    flange_thickness,
    straight_pull_twist,
    thread,
    stiffness,
    mixed_spokes,
)

"""Nipples: hole, seat, bed, washer, colour, and how they get in."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.catalog.parts import Nipple, Rim
from buildsheet.findings import Value
from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised


def drilling(wheel: PostedWheel) -> Iterator[Raised]:
    """The rim is made with holes for this kind of nipple, and they fit its body."""
    rim, nipple, house = wheel.rim, wheel.nipple, wheel.house.fit
    if rim is None or nipple is None:
        return
    if nipple.kind not in rim.drillings:
        made: list[Value] = list(rim.drillings)
        yield wheel.found(
            "fit.nipple-hidden",
            "block",
            "nipple",
            f"Nipple {nipple.code} is {nipple.kind}, rim {rim.code} is drilled for "
            f"{' or '.join(rim.drillings)} nipples. Take a nipple of that kind.",
            have={"nipple": nipple.kind},
            need={"nipple": made},
            also=("rim",),
            ways=("nipple", "rim"),
        )
        return
    hole_mm = rim.external_hole_mm if nipple.kind == "external" else rim.hidden_hole_mm
    if hole_mm is None:
        yield wheel.unknown(
            "rim", rim, f"{nipple.kind}_hole_mm", f"the room for nipple {nipple.code}"
        )
        return
    play_mm = hole_mm - nipple.body_mm
    if not house.nipple_play_min_mm - SAME <= play_mm <= house.nipple_play_max_mm + SAME:
        yield wheel.found(
            "fit.nipple-hole",
            "block",
            "nipple",
            f"Rim {rim.code} has {hole_mm:g} mm holes, nipple {nipple.code} a {nipple.body_mm:g} mm "
            f"body: {play_mm:.2f} mm of room. Take a nipple with another body.",
            have={"hole_mm": hole_mm, "body_mm": nipple.body_mm, "play_mm": round(play_mm, 3)},
            need={"play_mm": [house.nipple_play_min_mm, house.nipple_play_max_mm]},
            also=("rim",),
            ways=("nipple", "rim"),
        )


def seat(wheel: PostedWheel) -> Iterator[Raised]:
    """Ball on ball, cone on cone; a flat seat by way of a washer."""
    rim, nipple, washer = wheel.rim, wheel.nipple, wheel.washer
    if rim is None or nipple is None:
        return
    if rim.seat_shape == "flat":
        if washer is None and not wheel.members.has("washer"):
            yield wheel.found(
                "fit.nipple-seat",
                "block",
                "nipple",
                f"Rim {rim.code} has flat seats, nipple {nipple.code} a {nipple.head_shape} head. "
                "Put a washer under it.",
                have={"seat": rim.seat_shape, "head": nipple.head_shape},
                need={"washer": "for a flat seat"},
                also=("rim", "washer"),
                ways=("washer", "rim"),
            )
    elif nipple.head_shape != rim.seat_shape:
        yield wheel.found(
            "fit.nipple-seat",
            "block",
            "nipple",
            f"Rim {rim.code} has {rim.seat_shape} seats, nipple {nipple.code} a {nipple.head_shape} "
            "head. Take a nipple with the seat's shape.",
            have={"seat": rim.seat_shape, "head": nipple.head_shape},
            need={"head": rim.seat_shape},
            also=("rim",),
            ways=("nipple", "rim"),
        )


def washer_fits(wheel: PostedWheel) -> Iterator[Raised]:
    """A washer where rim or nipple ask for one, and one that fits the seat."""
    rim, nipple, washer = wheel.rim, wheel.nipple, wheel.washer
    asks = [
        each.code for each in (rim, nipple) if isinstance(each, Rim | Nipple) and each.needs_washer
    ]
    if asks and not wheel.members.has("washer"):
        yield wheel.found(
            "fit.washer",
            "block",
            "washer",
            f"{' and '.join(asks)} must be built with nipple washers. Add one; lengths follow.",
            have={"washer": None},
            need={"washer": "one that fits the seat"},
            also=("rim", "nipple"),
            ways=("washer",),
        )
    if washer is not None and rim is not None and rim.seat_shape not in washer.seat_shapes:
        fits: list[Value] = list(washer.seat_shapes)
        yield wheel.found(
            "fit.washer",
            "block",
            "washer",
            f"Washer {washer.code} fits {' or '.join(washer.seat_shapes)} seats, rim {rim.code} has "
            f"{rim.seat_shape} ones. Take another washer or none.",
            have={"seat": rim.seat_shape},
            need={"seat": fits},
            also=("rim",),
            ways=("washer", "rim"),
        )


def bed(wheel: PostedWheel) -> Iterator[Raised]:
    """Enough of the nipple stands out of the bed, and the rim does not exclude it."""
    rim, nipple = wheel.rim, wheel.nipple
    if rim is None or nipple is None:
        return
    if nipple.bed_max_mm is None:
        yield wheel.unknown("nipple", nipple, "bed_max_mm", "whether enough of it stands out")
    elif rim.bed_mm > nipple.bed_max_mm + SAME:
        yield wheel.found(
            "fit.nipple-length",
            "block",
            "nipple",
            f"The bed of rim {rim.code} is {rim.bed_mm:g} mm thick, nipple {nipple.code} "
            f"({nipple.length_mm:g} mm) is made for beds to {nipple.bed_max_mm:g} mm. "
            "Take a longer nipple.",
            have={"bed_mm": rim.bed_mm},
            need={"bed_mm": {"at_most": nipple.bed_max_mm}},
            also=("rim",),
            ways=("nipple", "rim"),
        )
    if rim.code in nipple.excluded_rims:
        yield wheel.found(
            "fit.nipple-excluded",
            "block",
            "nipple",
            f"Nipple {nipple.code} is not released for rim {rim.code}. Take another nipple.",
            have={"rim": rim.code},
            need={"not": list(nipple.excluded_rims)},
            also=("rim",),
            ways=("nipple", "rim"),
        )


def colour(wheel: PostedWheel) -> Iterator[Raised]:
    """The nipple is made in the ordered colour."""
    nipple, wanted = wheel.nipple, wheel.members.word("nipple_colour")
    if nipple is not None and wanted is not None and wanted not in nipple.colours:
        yield wheel.found(
            "fit.nipple-colour",
            "block",
            "nipple_colour",
            f"Nipple {nipple.code} is made in {' or '.join(nipple.colours)}, not in {wanted}.",
            have={"colour": wanted},
            need={"colour": list(nipple.colours)},
            also=("nipple",),
            ways=("nipple_colour", "nipple"),
        )


def climate(wheel: PostedWheel) -> Iterator[Raised]:
    """Brass rather than aluminium where there is salt."""
    nipple = wheel.nipple
    if nipple is not None and wheel.use.flag("salt") and nipple.material == "alloy":
        yield wheel.found(
            "fit.nipple-climate",
            "caution",
            "nipple",
            f"Nipple {nipple.code} is aluminium and the wheel meets salt: brass is advised.",
            have={"material": nipple.material},
            need={"material": "brass"},
            also=("/use/salt",),
            ways=("nipple",),
        )


def way_in(wheel: PostedWheel) -> Iterator[Raised]:
    """How nipples get to their holes: through the tyre bed, or led in without holes there."""
    rim, nipple = wheel.rim, wheel.nipple
    if rim is None or nipple is None:
        return
    hole_mm = rim.tyre_bed_hole_mm
    if hole_mm is None:
        yield wheel.unknown("rim", rim, "tyre_bed_hole_mm", "how the nipples get in")
    elif hole_mm == 0.0:
        yield wheel.found(
            "fit.tyre-bed",
            "note",
            "rim",
            f"Rim {rim.code} has a closed tyre bed: lead the nipples in by magnet, and allow more time.",
            have={"tyre_bed_hole_mm": 0.0},
        )
    elif hole_mm < nipple.body_mm + SAME:
        yield wheel.found(
            "fit.tyre-bed",
            "block",
            "rim",
            f"The {hole_mm:g} mm tyre-bed holes of rim {rim.code} do not pass the "
            f"{nipple.body_mm:g} mm body of nipple {nipple.code}. Take a thinner nipple.",
            have={"tyre_bed_hole_mm": hole_mm, "body_mm": nipple.body_mm},
            need={"tyre_bed_hole_mm": {"more_than": nipple.body_mm}},
            also=("nipple",),
            ways=("nipple", "rim"),
        )
    if nipple.kind == "hidden":
        if nipple.key_mm is None:
            yield wheel.unknown("nipple", nipple, "key_mm", "which key turns it")
        else:
            yield wheel.found(
                "fit.nipple-key",
                "note",
                "nipple",
                f"Nipple {nipple.code} is turned from the tyre side: lay a {nipple.key_mm:g} mm key "
                "at the stand.",
                have={"key_mm": nipple.key_mm},
            )


CHECKS = (drilling, seat, washer_fits, bed, colour, climate, way_in)

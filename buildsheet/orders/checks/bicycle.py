"""The bicycle that the wheels go on: brake, rotor, wheel ends, cassette, motor."""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.findings import Value
from buildsheet.orders.part_states import closed_in_words
from buildsheet.orders.posted import SAME, PostedWheel
from buildsheet.orders.raised import Raised


def brake(wheel: PostedWheel) -> Iterator[Raised]:
    """Rim, hub and bicycle brake in one way."""
    wanted = wheel.use.word("brake")
    words = {"disc": "a disc brake", "rim": "rim brakes"}
    lacks = {"disc": "has no brake track", "rim": "has no seat for a rotor"}
    if wheel.rim is not None and wanted is not None and wheel.rim.brake != wanted:
        missing = f" and {lacks['disc']}" if wheel.rim.brake == "disc" else ""
        yield wheel.found(
            "fit.brake",
            "block",
            "rim",
            f"Rim {wheel.rim.code} is made for {words[wheel.rim.brake]}{missing}; the bicycle has "
            f"{words[wanted]}. Take a rim for it.",
            have={"rim": wheel.rim.brake, "bicycle": wanted},
            need={"rim": wanted},
            also=("/use/brake",),
            ways=("rim", "/use/brake"),
        )
    against = wanted or (wheel.rim.brake if wheel.rim else None)
    if wheel.hub is not None and against is not None and wheel.hub.brake != against:
        missing = f" and {lacks['rim']}" if wheel.hub.brake == "rim" else ""
        yield wheel.found(
            "fit.brake",
            "block",
            "hub",
            f"Hub {wheel.hub.code} is made for {words[wheel.hub.brake]}{missing}; the "
            f"{'bicycle' if wanted else 'rim'} has {words[against]}. Take a hub for it.",
            have={"hub": wheel.hub.brake, "wanted": against},
            need={"hub": against},
            also=("/use/brake", "rim"),
            ways=("hub", "/use/brake"),
        )


def rotor(wheel: PostedWheel) -> Iterator[Raised]:
    """The rotor's mount, and its size, suit the hub."""
    hub, mount = wheel.hub, wheel.use.word("rotor_mount")
    if hub is None or hub.brake != "disc" or wheel.use.word("brake") == "rim":
        return
    if mount is not None and mount != hub.rotor_mount:
        yield wheel.found(
            "fit.rotor-mount",
            "block",
            "hub",
            f"Hub {hub.code} takes {hub.rotor_mount} rotors, the bicycle's are {mount}. "
            "Take another hub or other rotors.",
            have={"hub": hub.rotor_mount, "rotor": mount},
            need={"hub": mount},
            also=("/use/rotor_mount",),
            ways=("hub", "/use/rotor_mount"),
        )
    place = f"/use/{wheel.position}_rotor_mm"
    rotor_mm = wheel.use.whole(f"{wheel.position}_rotor_mm")
    if rotor_mm is None:
        return
    if hub.rotor_max_mm is None:
        yield wheel.unknown("hub", hub, "rotor_max_mm", "how large a rotor it takes")
    elif rotor_mm > hub.rotor_max_mm:
        yield wheel.found(
            "fit.rotor-size",
            "caution",
            place,
            f"The {wheel.position} rotor has {rotor_mm} mm, hub {hub.code} is released to "
            f"{hub.rotor_max_mm} mm. Take a smaller rotor or another hub.",
            have={"rotor_mm": rotor_mm},
            need={"rotor_mm": {"at_most": hub.rotor_max_mm}},
            also=("hub",),
            ways=("hub",),
        )


def ends_stated(wheel: PostedWheel) -> Iterator[Raised]:
    """Wheel ends and cassette are stated for the wheel that needs them."""
    use = wheel.use
    wanted: list[str] = [f"{wheel.position}_axle"]
    if wheel.position == "rear":
        wanted.append("cassette")
    for name in wanted:
        if not use.has(name) and not wheel.order.is_told(f"/use/{name}"):
            yield wheel.found(
                "order.missing-member",
                "block",
                f"/use/{name}",
                f"Member {name} is missing; the {wheel.position} wheel cannot be judged without it.",
                have={name: None},
                ways=(f"/use/{name}",),
            )


def axle(wheel: PostedWheel) -> Iterator[Raised]:
    """The hub fits the wheel ends, with end caps that are in the catalog."""
    hub, wanted = wheel.hub, wheel.axle
    if hub is None or wanted is None:
        return
    place = f"/use/{wheel.position}_axle"
    if wanted not in hub.axles:
        fits: list[Value] = list(hub.axles)
        yield wheel.found(
            "fit.axle",
            "block",
            "hub",
            f"The bicycle wants {wanted} at the {wheel.position}, hub {hub.code} fits "
            f"{' or '.join(hub.axles)}. Take another hub.",
            have={"axle": wanted},
            need={"axle": fits},
            also=(place,),
            ways=("hub", place),
        )
        return
    made = [
        each
        for each in wheel.edition.end_caps.values()
        if each.axle == wanted and hub.code in each.hubs
    ]
    caps = [each for each in made if each.state == "active"]
    if not caps:
        yield wheel.found(
            "fit.end-caps",
            "block",
            "hub",
            f"The catalog has no end caps that bring hub {hub.code} to {wanted}."
            f"{closed_in_words(made)} Take another hub.",
            have={"axle": wanted},
            need={"end_caps": "for this hub and axle"},
            also=(place,),
            ways=("hub", place),
        )
    elif wanted != hub.axles[0]:
        yield wheel.found(
            "fit.end-caps",
            "note",
            "hub",
            f"Hub {hub.code} leaves with {wanted} end caps ({caps[0].code}) instead of its "
            f"{hub.axles[0]} ones: fit them before dish is measured.",
            have={"axle": wanted},
            also=(place,),
        )


def driver(wheel: PostedWheel) -> Iterator[Raised]:
    """Hub takes the driver body, driver body takes the cassette."""
    if wheel.position != "rear":
        return
    hub, body, at = wheel.hub, wheel.driver, "driver"
    if not wheel.members.has("driver"):
        if not wheel.order.is_told(wheel.place("driver")):
            yield wheel.found(
                "order.missing-member",
                "block",
                at,
                "A rear wheel needs its driver body named.",
                have={"driver": None},
                ways=(at,),
            )
        return
    if body is None:
        return
    cassette = wheel.use.inner("cassette")
    spline, smallest = cassette.word("spline"), cassette.whole("smallest_sprocket")
    faults: list[str] = []
    have: dict[str, Value] = {"driver": body.code}
    need: dict[str, Value] = {}
    if hub is not None and body.code not in hub.drivers:
        takes = " or ".join(hub.drivers) or "none"
        faults.append(f"hub {hub.code} takes driver body {takes}")
        need["driver"] = list(hub.drivers)
    if spline is not None and spline != body.spline:
        faults.append(f"the cassette has spline {spline}, the body spline {body.spline}")
        have["spline"], need["spline"] = body.spline, spline
    if smallest is not None and smallest < body.smallest_sprocket:
        faults.append(
            f"the cassette begins at {smallest} teeth, the body carries {body.smallest_sprocket} "
            "and more"
        )
        have["smallest_sprocket"] = body.smallest_sprocket
        need["smallest_sprocket"] = {"at_most": smallest}
    if faults:
        yield wheel.found(
            "fit.driver",
            "block",
            at,
            f"Driver body {body.code} does not go: {'; '.join(faults)}. Take another body.",
            have=have,
            need=need,
            also=("hub", "/use/cassette"),
            ways=(at, "hub"),
        )


def track_width(wheel: PostedWheel) -> Iterator[Raised]:
    """A rim that rim brakes can open over."""
    rim, opening_mm = wheel.rim, wheel.house.fit.brake_opening_mm
    if rim is None or rim.brake != "rim":
        return
    if rim.track_mm is None:
        yield wheel.unknown("rim", rim, "track_mm", "whether pads have a track to act on")
    if rim.outer_width_mm > opening_mm + SAME:
        yield wheel.found(
            "fit.track-width",
            "caution",
            "rim",
            f"Rim {rim.code} is {rim.outer_width_mm:g} mm wide at its track, usual brakes open to "
            f"{opening_mm:g} mm. Ask how wide this brake opens, or take a narrower rim.",
            have={"outer_width_mm": rim.outer_width_mm},
            need={"outer_width_mm": {"at_most": opening_mm}},
            ways=("rim",),
        )


def motor(wheel: PostedWheel) -> Iterator[Raised]:
    """Hubs say whether they are released for a motor; rims cannot say it, so a person must."""
    hub = wheel.hub
    if hub is None or wheel.use.word("bike") != "e-bike":
        return
    if not hub.e_drive:
        yield wheel.found(
            "fit.e-drive",
            "block",
            "hub",
            f"The bicycle has a motor, hub {hub.code} is not released for one. Take a hub that is.",
            have={"e_drive": False},
            need={"e_drive": True},
            also=("/use/bike",),
            ways=("hub",),
        )
    elif wheel.rim is not None:
        yield wheel.found(
            "fit.e-drive",
            "approval",
            "rim",
            f"Hub {hub.code} is released for a motor; of rim {wheel.rim.code} the catalog does not "
            "say so. Have it released, with the reason.",
            have={"rim": wheel.rim.code},
            need={"release": "for a motor"},
            also=("/use/bike",),
        )


CHECKS = (brake, rotor, ends_stated, axle, driver, track_width, motor)

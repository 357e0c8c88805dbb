"""Which members of an order each check looks at, in groups that can be asked apart.

Asked of an order that holds the members of one group only, a check blocks exactly what it would block
because of them; what it blocks in the whole order is what it blocks in one group or another. A check
that only cautions or remarks has no groups. ``beside`` are members that a check looks at without their
deciding whether it blocks: they choose words, or ride along into the plan. The tests trace every check
to prove that it looks at nothing else.

Members are named as in a wheel; those that begin with a slash stand elsewhere in the order. ``{at}``
is the wheel's position.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.orders.checks import Question

Group = tuple[str, ...]

MASSES: Final[Group] = ("/use/rider_kg", "/use/bike_kg", "/use/luggage_kg")
SPOKES: Final[Group] = ("spoke/left", "spoke/right")
BUILD: Final[Group] = ("rim", "holes", "hub", "crossings", *SPOKES, "nipple", "washer")
"""What a wheel is made of: everything that decides its geometry, lengths and tension."""

RIDES_ALONG: Final[Group] = ("nipple_colour", "driver", "/use/{at}_axle")
"""Members that an assembled wheel carries on: they choose parts to pick, and no figure of the wheel."""


@dataclass(frozen=True, slots=True)
class Reads:
    """What one check reads. ``groups`` decide whether it blocks, each by itself."""

    groups: tuple[Group, ...]
    beside: Group = ()


def _each(*members: str, beside: Group = ()) -> Reads:
    """Every member by itself."""
    return Reads(tuple((each,) for each in members), beside)


def _spokes_with(*members: str) -> Reads:
    """The members with the spokes of either side, each side by itself."""
    return Reads(tuple((*members, side) for side in SPOKES))


def _remarks(*members: str) -> Reads:
    """A check that never blocks."""
    return Reads((), members)


def _computed(*pruning: Group, beside: Group = ()) -> Reads:
    """A check of the computed wheel; ``pruning`` are smaller groups that already decide some."""
    return Reads((*pruning, BUILD), (*RIDES_ALONG, *beside))


_RIM_NIPPLE: Final = Reads((("rim", "nipple"),))
_DECALS: Final = ("/finish/decal_size", "/finish/decal_colour", "/finish/rear_decal_colour")
_BOTH_RIMS: Final = ("/front/rim", "/rear/rim")
_CASSETTE: Final = ("/use/cassette/spline", "/use/cassette/smallest_sprocket")

OF_WHEEL: Final[Mapping[str, Reads]] = {
    "data.parts_known": _each("rim", "hub", "nipple", "washer", "driver", *SPOKES),
    "rim_hub.hub_position": _each("hub"),
    "rim_hub.hole_count": Reads((("rim", "holes"), ("hub", "holes"))),
    "rim_hub.side_split": Reads((("rim", "hub", "holes"),)),
    "rim_hub.hole_spacing": Reads((("rim", "hub"),)),
    "spoke.spoke_head": _spokes_with("hub"),
    "spoke.elbow_hole": _spokes_with("hub"),
    "spoke.blade": _spokes_with("hub"),
    "spoke.flange_thickness": _spokes_with("hub"),
    "spoke.straight_pull_twist": _remarks("hub", *SPOKES),
    "spoke.thread": _spokes_with("nipple"),
    "spoke.stiffness": _spokes_with("rim"),
    "spoke.mixed_spokes": _remarks(*SPOKES),
    "nipple.drilling": _RIM_NIPPLE,
    "nipple.seat": Reads((("rim", "nipple", "washer"),)),
    "nipple.washer_fits": Reads((("rim", "washer"), ("nipple", "washer"))),
    "nipple.bed": _RIM_NIPPLE,
    "nipple.colour": Reads((("nipple", "nipple_colour"),)),
    "nipple.climate": _remarks("nipple", "/use/salt"),
    "nipple.way_in": _RIM_NIPPLE,
    # rim and hub of two kinds cannot both suit the bicycle: they can be refused without it
    "bicycle.brake": Reads((("rim", "hub"), ("rim", "/use/brake"), ("hub", "/use/brake"))),
    "bicycle.rotor": Reads(
        (("hub", "/use/brake", "/use/rotor_mount"), ("hub", "/use/brake", "/use/{at}_rotor_mm"))
    ),
    "bicycle.axle": Reads((("hub", "/use/{at}_axle"),)),
    "bicycle.track_width": _each("rim"),
    "bicycle.motor": Reads((("hub", "/use/bike"),), beside=("rim",)),
    "lacing.pattern_named": Reads((("hub", "crossings"),)),
    "lacing.groups_of_four": Reads((("rim", "holes", "hub", "crossings"),)),
    "lacing.released": Reads((("hub", "holes", "crossings"),)),
    "lacing.torque": Reads((("hub", "crossings"),), beside=("/use/brake",)),
    "load.system_mass": Reads(
        (
            ("rim", "holes", *MASSES),
            *((part, *MASSES) for part in ("hub", *SPOKES, "nipple")),
        )
    ),
    "load.use_class": Reads(
        tuple((part, "/use/class") for part in ("rim", "hub", "nipple", *SPOKES))
    ),
    "load.heat": _remarks("rim", *MASSES),
    "load.cross_wind": _remarks("rim", "/use/rider_kg"),
    "tyre.bead_seat": Reads((("rim", "/use/tyre_bead_seat_mm"),)),
    "tyre.width": Reads((("rim", "/use/tyre_width_mm"),)),
    "tyre.system": Reads((("rim", "/use/tyre_system"),)),
    "tyre.pressure": Reads((("rim", "/use/tyre_width_mm"),), beside=("/use/tyre_system",)),
    "tyre.small_parts": _remarks("rim", "/use/tyre_system"),
    "finish.track_gap": _remarks("rim"),
    "data.computable": _computed(("rim", "hub")),
    "lacing.wrap_angle": _computed(("rim", "holes", "hub", "crossings")),
    "lacing.head_clearance": _computed(),
    "lacing.torque_dictated": _computed(beside=("/use/brake",)),
    "lacing.drilling": _computed(),
    "lacing.valve_gap": _computed(),
    "length.stock_length": _computed(),
    "length.look_alikes": _remarks(*BUILD, *RIDES_ALONG),
    "length.stretch_difference": _remarks(*BUILD, *RIDES_ALONG),
    "tension.floors": _computed(),
    "tension.ratio": _remarks(*BUILD, *RIDES_ALONG),
    "tension.whose_limit": _remarks(*BUILD, *RIDES_ALONG),
    "tension.bed_orientation": _remarks(*BUILD, *RIDES_ALONG),
    "structure.carries": _computed(beside=(*MASSES, "/use/class")),
}
"""Checks of one wheel, either position."""

OF_FRONT: Final[Mapping[str, Reads]] = {
    "bicycle.ends_stated": _each("/use/front_axle"),
    "bicycle.driver": Reads(()),
}
OF_REAR: Final[Mapping[str, Reads]] = {
    "bicycle.ends_stated": Reads((("/use/rear_axle",), _CASSETTE)),
    "bicycle.driver": Reads(
        (("driver",), ("hub", "driver"), *(("driver", at) for at in _CASSETTE))
    ),
}
"""Checks that look elsewhere in front and behind."""

OF_ORDER: Final[Mapping[str, Reads]] = {
    "order.market": _each("/market"),
    "order.edition_seen": _remarks("/edition_seen"),
    "order.rotors": Reads((("/use/brake", "/use/rotor_mount"),)),
    "order.note": _remarks("/note"),
    "load.scope": _each("/use/bike"),
    "load.race": _remarks("/use/class"),
    "finish.sizes": Reads(tuple((rim, "/finish/decal_size") for rim in _BOTH_RIMS)),
    "finish.colours": Reads(
        (
            ("/front/rim", "/finish/decal_size", "/finish/decal_colour"),
            ("/rear/rim", *_DECALS),
        )
    ),
    "finish.reflectors": _remarks(*_BOTH_RIMS, *_DECALS, "/market"),
    "finish.set_colour": _remarks(*_DECALS),
    "pair.alike": Reads((_BOTH_RIMS,), beside=("/front/hub", "/rear/hub")),
    "pair.axle_family": _remarks("/use/front_axle", "/use/rear_axle"),
    "pair.depth": _remarks(*_BOTH_RIMS),
    "pair.rim_mass": _remarks(*_BOTH_RIMS),
    "pair.spares": _remarks(),
    "pair.box": _remarks(*_BOTH_RIMS, "/front/driver", "/rear/driver", "/use/tyre_system"),
    "tension.tyre_drop": _remarks(
        *(
            at if at.startswith("/") else f"/{position}/{at}"
            for position in ("front", "rear")
            for at in (*BUILD, *(each.format(at=position) for each in RIDES_ALONG))
        )
    ),
}
"""Checks of the order as a whole; members stand as places of the order."""

RULES_FAMILY: Final = "rules."
"""Checks whose reads an edition decides: they ask its own rules."""


def reads_of(question: Question) -> Reads:
    """What a question reads, as places of the order. Raises KeyError for a check without an entry."""
    position = question.position
    if position is None:
        return OF_ORDER[question.check]
    own = OF_FRONT if position == "front" else OF_REAR
    reads = own.get(question.check) or OF_WHEEL[question.check]
    groups = tuple(_placed(group, position) for group in reads.groups)
    return Reads(groups, _placed(reads.beside, position))


def _placed(members: tuple[str, ...], position: str) -> tuple[str, ...]:
    return tuple(
        at.format(at=position) if at.startswith("/") else f"/{position}/{at}" for at in members
    )

"""Invented editions and orders for laws: the demo's parts, cut down and altered at random."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from tests.orders.workshop import demo

Document = dict[str, Any]

ALTERATIONS: Mapping[str, tuple[tuple[str, tuple[object, ...]], ...]] = {
    "rims": (
        ("state", ("draft", "ended")),
        ("spoke_limit_n", (None, 700.0, 1300.0)),
        ("max_spoke_section_mm2", (None, 2.2)),
        ("use_classes", (None, (1,), (2, 3), ())),
        ("system_limits", (None,)),
        ("pressure_limits", (None,)),
        ("tyre_min_mm", (None, 24.0, 33.0)),
        ("tyre_max_mm", (None, 34.0)),
        ("decal_size", (None, "S", "L")),
        ("section", (None,)),
        ("tubeless", (False,)),
        ("bead", ("hookless", "tubular")),
        ("seat_shape", ("flat", "cone")),
        ("needs_washer", (True,)),
        ("bed_offset_mm", (0.0, 4.0)),
        ("tyre_bed_hole_mm", (None, 0.0, 4.0)),
        ("external_hole_mm", (None, 5.2)),
        ("split", ("2:1",)),
        ("spacing", ("paired",)),
    ),
    "hubs": (
        ("state", ("no-new-orders",)),
        ("spoke_limit_n", (None, 600.0)),
        ("radial_spoke_limit_n", (None, 800.0)),
        ("use_classes", (None, (3,), (1, 2))),
        ("system_limit_kg", (None, 22.0, 24.0)),
        ("hole_mm", (None, 2.3, 3.2)),
        ("slot_mm", (3.4,)),
        ("crossings", ((2,), (3,), (2, 3))),
        ("radial_holes", ((), (20, 24, 28))),
        ("drivers", ((), ("A",), ("B", "C"))),
        ("e_drive", (True,)),
        ("split", ("2:1",)),
        ("spacing", ("paired",)),
    ),
    "spokes": (
        ("state", ("service-only",)),
        ("spoke_limit_n", (None, 900.0)),
        ("system_limit_kg", (None, 23.5)),
        ("use_classes", (None, (1, 2))),
        ("longest_mm", (262,)),
        ("step_mm", (4,)),
        ("flange_min_mm", (None,)),
        ("thread", ("other",)),
    ),
    "nipples": (
        ("state", ("ended",)),
        ("bed_max_mm", (None, 2.6)),
        ("head_top_mm", (None, 0.2)),
        ("key_mm", (None,)),
        ("system_limit_kg", (None, 23.0)),
        ("use_classes", (None, (1,))),
        ("colours", (("black",), ("black", "silver", "red"))),
        ("head_shape", ("cone",)),
        ("needs_washer", (True,)),
    ),
    "washers": (("state", ("ended",)), ("seat_shapes", (("ball",), ("flat",)))),
    "drivers": (("state", ("ended",)), ("smallest_sprocket", (9, 14)), ("spline", ("B",))),
    "decals": (("state", ("ended",)), ("size", ("S", "L"))),
    "programs": (
        ("state", ("ended",)),
        ("in_plane_deg", (0.0, 6.0)),
        ("right_lateral_deg", (14.0,)),
    ),
}
"""What may be altered, attribute by attribute; each value changes some check's mind."""


@st.composite
def editions(draw: st.DrawFn, most_alterations: int = 4) -> Edition:
    """The demo's edition with a few attributes altered."""
    edition = demo()
    for _ in range(draw(st.integers(0, most_alterations))):
        kind = draw(st.sampled_from(sorted(ALTERATIONS)))
        parts: dict[str, Any] = dict(getattr(edition, kind))
        code = draw(st.sampled_from(sorted(parts)))
        attribute, values = draw(st.sampled_from(ALTERATIONS[kind]))
        value = draw(st.sampled_from(values))
        edition = with_part(edition, kind, code, attribute, value)
    return edition


def with_part(edition: Edition, kind: str, code: str, attribute: str, value: object) -> Edition:
    """The edition with one attribute of one part altered, and a digest of its own."""
    parts: dict[str, Any] = dict(getattr(edition, kind))
    parts[code] = parts[code].model_copy(update={attribute: value})
    altered: dict[str, Any] = {
        kind: parts,
        "digest": f"{edition.digest}+{code}.{attribute}={value}",
    }
    return replace(edition, **altered)


@st.composite
def wheels(draw: st.DrawFn, edition: Edition, position: str) -> Document:
    """One wheel of codes that the edition knows, mostly of parts that suit one another."""

    def one_of(*values: object) -> Any:
        return draw(st.sampled_from(values))

    hubs = sorted(code for code, hub in edition.hubs.items() if hub.position == position)
    hub = edition.hubs[one_of(*hubs)] if one_of(*range(20)) else edition.hubs[one_of(*edition.hubs)]
    rims = sorted(code for code, rim in edition.rims.items() if rim.brake == hub.brake)
    rim = edition.rims[one_of(*rims, *edition.rims)]
    seats = "straight-pull" if hub.left_seats else "j-bend"
    spokes = [code for code, spoke in sorted(edition.spokes.items()) if spoke.head == seats] * 4
    left = one_of(*spokes, *sorted(edition.spokes))
    patterns: list[Any] = [{"left": x, "right": y} for x in (2, 3, 0, 1, 4) for y in (x, 2, 3, 0)]
    holes = sorted({*rim.holes, *hub.holes}) + sorted({*rim.holes} & {*hub.holes}) * 4
    nipple = edition.nipples[one_of(*sorted(edition.nipples))]
    wheel: Document = {
        "rim": rim.code,
        "holes": one_of(*holes),
        "hub": hub.code,
        "crossings": one_of(*([None] * 20 if hub.left_seats else [None]), *patterns),
        "spoke": {"left": left, "right": one_of(left, left, left, *sorted(edition.spokes))},
        "nipple": nipple.code,
        "nipple_colour": one_of(*nipple.colours, *nipple.colours, "red", "silver"),
        "washer": one_of(None, None, *sorted(edition.washers)),
    }
    if position == "rear":
        wheel["driver"] = one_of(None, *hub.drivers * 6, *sorted(edition.drivers))
    return {name: value for name, value in wheel.items() if value is not None}


@st.composite
def orders(draw: st.DrawFn, edition: Edition) -> Document:
    """A whole order of codes that the edition knows, good or bad."""

    def one_of(*values: object) -> Any:
        return draw(st.sampled_from(values))

    kind = one_of("front", "rear", "set")
    use: Document = {
        "class": one_of(1, 1, 2, 3, 6),
        "rider_kg": one_of(20, 62, 75.5, 130),
        "bike_kg": one_of(3, 8),
        "luggage_kg": one_of(0, 0, 12),
        "brake": one_of("disc", "disc", "rim"),
        "rotor_mount": one_of(None, "none", "splined", "splined", "six-bolt"),
        "front_axle": one_of(None, "12x100", "12x100", "9x100"),
        "rear_axle": one_of(None, "12x142", "12x142", "10x130", "12x148"),
        "cassette": one_of(
            None,
            {"spline": "B", "smallest_sprocket": 11},
            {"spline": "A", "smallest_sprocket": 9},
        ),
        "tyre_width_mm": one_of(25, 28, 30, 35.5, 50),
        "tyre_system": one_of("tubeless", "clincher", "tubular"),
        "tyre_bead_seat_mm": one_of(None, None, 622, 584),
        "front_rotor_mm": one_of(None, 160),
        "rear_rotor_mm": one_of(None, 160, 203),
        "bike": one_of(None, None, "bicycle", "e-bike", "cargo"),
        "salt": one_of(None, True),
    }
    finish = {
        "decal_colour": one_of(*sorted({each.colour for each in edition.decals.values()})),
        "decal_size": one_of(None, None, "S", "M", "L"),
        "rear_decal_colour": one_of(None, None, "PLUM", "LAGOON"),
    }
    order: Document = {
        "source": "space",
        "number": "N-1",
        "revision": 1,
        "kind": kind,
        "market": one_of("DE", "DE", "US", "ZZ"),
        "use": {name: value for name, value in use.items() if value is not None},
        "finish": {name: value for name, value in finish.items() if value is not None},
    }
    for position in ("front", "rear"):
        if kind in (position, "set"):
            order[position] = draw(wheels(edition, position))
    return order

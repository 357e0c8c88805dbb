"""Invented editions and orders for laws: the demo's, altered at random."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from tests.orders.workshop import demo, example

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


GOOD = ("D-1001", "D-1002", "D-1003", "D-1004", "D-1005", "D-1006", "D-1007")
"""Examples that are accepted: what is drawn begins with one of these."""

CHANGES: Mapping[str, tuple[object, ...]] = {
    "kind": ("front", "rear"),
    "market": ("US", "ZZ"),
    "edition_seen": (3,),
    "note": ("by Friday",),
    "use/class": (2, 3, 6),
    "use/rider_kg": (20, 75.5, 130),
    "use/brake": ("disc", "rim"),
    "use/rotor_mount": (None, "none", "splined", "six-bolt"),
    "use/front_axle": (None, "12x100", "9x100"),
    "use/rear_axle": (None, "12x142", "10x130", "12x148"),
    "use/cassette": (None, {"spline": "A", "smallest_sprocket": 9}),
    "use/tyre_width_mm": (23, 25, 28, 30, 35.5, 50),
    "use/tyre_system": ("tubeless", "clincher", "tubular"),
    "use/tyre_bead_seat_mm": (622, 584),
    "use/front_rotor_mm": (160,),
    "use/rear_rotor_mm": (160, 203),
    "use/bike": ("bicycle", "e-bike", "cargo"),
    "use/salt": (True,),
    "finish/decal_colour": ("PLUM", "LAGOON", "EMBER"),
    "finish/decal_size": ("S", "M", "L"),
    "finish/rear_decal_colour": ("PLUM", "LAGOON"),
    "holes": (20, 24, 28, 32),
    "crossings": (None, *({"left": x, "right": y} for x, y in ((0, 0), (2, 2), (3, 3), (2, 3)))),
    "nipple_colour": ("black", "silver", "red"),
    "washer": (None, "W05"),
    "driver": (None, "A", "B", "C"),
}
"""Places of the order, or members of either wheel, and what may be put there."""

PARTS = ("rim", "hub", "nipple", "spoke/left", "spoke/right")
TABLES = {"rim": "rims", "hub": "hubs", "nipple": "nipples", "spoke": "spokes", "driver": "drivers"}


@st.composite
def posed(draw: st.DrawFn) -> tuple[Edition, Document]:
    """An order of codes that the edition knows, and the demo's edition, each altered a little."""
    document = deepcopy(example(draw(st.sampled_from(GOOD))))
    for _ in range(draw(st.integers(0, 3))):
        at = draw(st.sampled_from((*CHANGES, *PARTS, "spoke")))
        _change(draw, document, at)
    edition = demo()
    for _ in range(draw(st.integers(0, 2))):
        edition = _altered(draw, edition, document)
    return edition, document


def _change(draw: st.DrawFn, document: Document, at: str) -> None:
    wheels = [document[each] for each in ("front", "rear") if each in document]
    if at == "kind":
        _put(document, at, draw(st.sampled_from(CHANGES["kind"])))
        document.pop("rear" if document["kind"] == "front" else "front", None)
        if not {"front", "rear"} & document.keys():
            document.update(deepcopy(example("D-1001")))
    elif at == "spoke":
        code = draw(st.sampled_from(sorted(demo().spokes)))
        draw(st.sampled_from(wheels))["spoke"] = {"left": code, "right": code}
    elif at in PARTS:
        codes = sorted(getattr(demo(), TABLES[at.split("/", maxsplit=1)[0]]))
        _put(draw(st.sampled_from(wheels)), at, draw(st.sampled_from(codes)))
    else:
        of_order = "/" in at or at in ("market", "edition_seen", "note")
        value = draw(st.sampled_from(CHANGES[at]))
        _put(document if of_order else draw(st.sampled_from(wheels)), at, value)
        if at == "driver" and "front" in document:
            document["front"].pop("driver", None)


def _put(into: Document, at: str, value: object) -> None:
    *outer, name = at.split("/")
    for each in outer:
        into = into[each]
    if value is None:
        into.pop(name, None)
    else:
        into[name] = value


def _altered(draw: st.DrawFn, edition: Edition, document: Document) -> Edition:
    """With a part altered: one that the order names, most of the time."""
    named: list[tuple[str, str]] = []
    for wheel in (document[each] for each in ("front", "rear") if each in document):
        parts = ((at, wheel.get(at)) for at in ("rim", "hub", "nipple", "driver"))
        named += [(TABLES[at], code) for at, code in parts if code]
        named += [("spokes", code) for code in wheel["spoke"].values()]
    others = [(kind, code) for kind in ALTERATIONS for code in sorted(getattr(edition, kind))]
    if draw(st.integers(0, 4)):
        kind, code = draw(st.sampled_from(named))
    else:
        kind, code = draw(st.sampled_from(others))
    attribute, values = draw(st.sampled_from(ALTERATIONS[kind]))
    return altered(edition, kind, code, attribute, draw(st.sampled_from(values)))


def altered(edition: Edition, kind: str, code: str, attribute: str, value: object) -> Edition:
    """The edition with one attribute of one part altered, and a digest of its own."""
    parts: dict[str, Any] = dict(getattr(edition, kind))
    parts[code] = parts[code].model_copy(update={attribute: value})
    tables: dict[str, Any] = {
        kind: parts,
        "digest": f"{edition.digest}+{code}.{attribute}={value}",
    }
    return replace(edition, **tables)

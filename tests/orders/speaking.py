"""For every code one order, and where needed one altered edition, that makes it speak."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from buildsheet.catalog.edition import Edition
from tests.orders.workshop import (
    ABSENT,
    Document,
    demo,
    disc_set,
    edition_17,
    example,
    front_only,
    gravel_set,
    put,
    rim_brake_set,
    sides,
    straight_pull_set,
    with_house,
    with_part,
)


@dataclass(frozen=True)
class Speaking:
    """An order that makes a code speak with one severity at one place."""

    severity: str
    at: str
    order: Callable[[], Document | bytes]
    edition: Callable[[], Edition] = demo


def _with(order: Callable[[], Document], changes: dict[str, object]) -> Callable[[], Document]:
    return lambda: put(order(), changes)


def _part(kind: str, code: str, **figures: object) -> Callable[[], Edition]:
    return lambda: with_part(demo(), kind, code, **figures)


def _house(table: str, **figures: object) -> Callable[[], Edition]:
    return lambda: with_house(demo(), table, **figures)


def _text(old: str, new: str) -> Callable[[], bytes]:
    return lambda: json.dumps(disc_set()).replace(old, new).encode()


def _bytes(raw: bytes) -> Callable[[], bytes]:
    return lambda: raw


def _flange(thickness_mm: float) -> Callable[[], Edition]:
    def altered() -> Edition:
        flange = demo().hubs["KF2"].left_flange
        assert flange is not None
        thin = flange.model_copy(update={"thickness_mm": thickness_mm})
        return with_part(demo(), "hubs", "KF2", left_flange=thin)

    return altered


def _close_right_flange(from_centre_mm: float) -> Callable[[], Edition]:
    def altered() -> Edition:
        flange = demo().hubs["KR2"].right_flange
        assert flange is not None
        close = flange.model_copy(update={"from_centre_mm": from_centre_mm})
        return with_part(demo(), "hubs", "KR2", right_flange=close)

    return altered


def _soft_rim(share: float) -> Callable[[], Edition]:
    """OR33D with its section's stiffness multiplied."""

    def altered() -> Edition:
        section = demo().rims["OR33D"].section
        assert section is not None
        soft = section.model_copy(
            update={
                "lateral_bending_nm2": section.lateral_bending_nm2 * share,
                "radial_bending_nm2": section.radial_bending_nm2 * share,
                "torsion_nm2": section.torsion_nm2 * share,
            }
        )
        return with_part(demo(), "rims", "OR33D", section=soft)

    return altered


_S = Speaking
_disc = partial(_with, disc_set)
_front = partial(_with, front_only)
_rim_brakes = partial(_with, rim_brake_set)
_gravel = partial(_with, gravel_set)

DOCUMENT = {
    "order.too-large": _S("block", "", _bytes(b" " * 65_537)),
    "order.not-utf8": _S("block", "", _bytes(b'{"source": "\xff"}')),
    "order.not-json": _S("block", "", _bytes(b'{"source": ')),
    "order.too-deep": _S("block", "", _bytes(b'{"a":' * 13 + b"1" + b"}" * 13)),
    "order.duplicate-member": _S(
        "block", "/revision", _text('"revision": 1', '"revision": 1, "revision": 2')
    ),
    "order.not-a-number": _S("block", "/use/rider_kg", _text('"rider_kg": 78', '"rider_kg": NaN')),
    "order.text": _S("block", "/note", _disc({"/note": "ring \u0007 twice"})),
    "order.unknown-member": _S("block", "/front/colour", _disc({"/front/colour": "red"})),
    "order.price-member": _S("block", "/front/unit_price", _disc({"/front/unit_price": 1})),
    "order.missing-member": _S("block", "/front/nipple", _disc({"/front/nipple": ABSENT})),
    "order.wrong-type": _S("block", "/front/holes", _disc({"/front/holes": "24"})),
    "order.out-of-range": _S("block", "/use/rider_kg", _disc({"/use/rider_kg": 7800})),
    "order.not-a-choice": _S("block", "/use/brake", _disc({"/use/brake": "coaster"})),
    "order.date": _S("block", "/wanted_by", _disc({"/wanted_by": "2031-02-30"})),
    "order.unused-member": _S(
        "caution", "/use/rotor_mount", _rim_brakes({"/use/rotor_mount": "splined"})
    ),
    "order.edition-seen": _S("caution", "/edition_seen", _disc({"/edition_seen": 15})),
    "order.market": _S("block", "/market", _disc({"/market": "XX"})),
    "order.papers": _S("note", "/market", disc_set),
    "order.note": _S("note", "/note", _disc({"/note": "Ring before delivery."})),
    "data.unknown-part": _S("block", "/front/rim", _disc({"/front/rim": "OR34D"})),
    "data.part-state": _S("block", "/front/hub", disc_set, _part("hubs", "KF2", state="ended")),
    "data.fact-missing": _S(
        "block", "/front/rim", disc_set, _part("rims", "OR33D", spoke_limit_n=None)
    ),
    "data.cannot-compute": _S(
        "block", "/rear/hub", gravel_set, _part("rims", "OR30G", bed_offset_mm=40.0)
    ),
}

FIT = {
    "fit.position": _S("block", "/front/hub", _disc({"/front/hub": "KR2"})),
    "fit.hole-count": _S("block", "/front/hub", lambda: example("refused/fit.hole-count")),
    "fit.side-split": _S("block", "/front/hub", disc_set, _part("hubs", "KF2", split="2:1")),
    "fit.hole-spacing": _S("block", "/front/hub", disc_set, _part("hubs", "KF2", spacing="paired")),
    "fit.spoke-head": _S("block", "/front/spoke", lambda: example("refused/fit.spoke-head")),
    "fit.elbow-hole": _S("block", "/front/spoke", disc_set, _part("hubs", "KF2", hole_mm=2.2)),
    "fit.blade": _S("block", "/rear/spoke", lambda: example("refused/fit.blade")),
    "fit.flange-thickness": _S("caution", "/front/spoke", disc_set, _flange(2.4)),
    "fit.straight-pull-twist": _S(
        "caution", "/front/spoke", straight_pull_set, _part("spokes", "SSB9", blade_mm=0.0)
    ),
    "fit.thread": _S("block", "/front/spoke", disc_set, _part("nipples", "NA12", thread="Fg 2")),
    "fit.spoke-stiffness": _S(
        "block", "/front/spoke", disc_set, _part("rims", "OR33D", max_spoke_section_mm2=1.6)
    ),
    "fit.mixed-spokes": _S("approval", "/front/spoke", _disc({"/front/spoke/right": "SJ15"})),
    "fit.nipple-hole": _S(
        "block", "/front/nipple", disc_set, _part("rims", "OR33D", external_hole_mm=5.0)
    ),
    "fit.nipple-hidden": _S("block", "/front/nipple", _disc({"/front/nipple": "NH16"})),
    "fit.nipple-seat": _S(
        "block", "/front/nipple", disc_set, _part("nipples", "NA12", head_shape="cone")
    ),
    "fit.nipple-length": _S("block", "/rear/nipple", lambda: example("refused/fit.nipple-length")),
    "fit.nipple-excluded": _S("block", "/front/nipple", _gravel({"/front/nipple": "NA12"})),
    "fit.washer": _S("block", "/front/washer", disc_set, _part("rims", "OR33D", needs_washer=True)),
    "fit.nipple-climate": _S("caution", "/front/nipple", _disc({"/use/salt": True})),
    "fit.tyre-bed": _S(
        "block", "/front/rim", disc_set, _part("rims", "OR33D", tyre_bed_hole_mm=3.5)
    ),
    "fit.nipple-key": _S("note", "/rear/nipple", lambda: example("D-1008")),
    "fit.nipple-colour": _S(
        "block", "/front/nipple_colour", _disc({"/front/nipple_colour": "blue"})
    ),
    "fit.brake": _S("block", "/front/hub", lambda: example("refused/fit.brake")),
    "fit.rotor-mount": _S("block", "/front/hub", _disc({"/use/rotor_mount": "six-bolt"})),
    "fit.rotor-size": _S("caution", "/use/front_rotor_mm", _disc({"/use/front_rotor_mm": 180})),
    "fit.axle": _S("block", "/front/hub", _disc({"/use/front_axle": "15x110"})),
    "fit.end-caps": _S(
        "block", "/front/hub", disc_set, _part("end_caps", "C12-100", state="ended")
    ),
    "fit.driver": _S("block", "/rear/driver", _disc({"/rear/driver": "A"})),
    "fit.track-width": _S(
        "caution", "/front/rim", rim_brake_set, _house("fit", brake_opening_mm=24.0)
    ),
    "fit.e-drive": _S("block", "/front/hub", _disc({"/use/bike": "e-bike"})),
}

WHEEL = {
    "lacing.groups-of-four": _S(
        "block",
        "/front/holes",
        _front({"/front/holes": 26}),
        _part("rims", "OR33D", holes=(24, 26)),
    ),
    "lacing.wrap-angle": _S(
        "block", "/rear/crossings", lambda: example("refused/lacing.wrap-angle")
    ),
    "lacing.head-clearance": _S(
        "approval", "/front/crossings", lambda: example("refused/lacing.head-clearance")
    ),
    "lacing.radial-not-released": _S(
        "block", "/front/crossings", lambda: example("refused/lacing.torque")
    ),
    "lacing.pattern-not-released": _S(
        "block", "/front/crossings", _disc({"/front/crossings": sides(1)})
    ),
    "lacing.torque": _S("block", "/front/crossings", lambda: example("refused/lacing.torque")),
    "lacing.fixed-pattern": _S(
        "block", "/front/crossings", _with(straight_pull_set, {"/front/crossings": sides(2)})
    ),
    "lacing.pattern-missing": _S("block", "/front/crossings", _disc({"/front/crossings": ABSENT})),
    "lacing.cannot-lace": _S(
        "block",
        "/front/hub",
        disc_set,
        _part("rims", "OR33D", seat_diameter_mm=40.0),
    ),
    "lacing.drilling-program": _S(
        "block", "/front/rim", disc_set, lambda: replace(demo(), programs={})
    ),
    "lacing.hole-axis": _S(
        "approval", "/front/crossings", disc_set, _house("lacing", hole_axis_deg=0.01)
    ),
    "length.no-stock-length": _S(
        "block", "/front/spoke/left", disc_set, _part("spokes", "SJB9", longest_mm=270)
    ),
    "length.thread-fill": _S(
        "block", "/front/spoke/left", disc_set, _part("nipples", "NA12", head_top_mm=0.1)
    ),
    "length.look-alike": _S("caution", "/front/spoke", disc_set, _house("length", look_alike_mm=3)),
    "length.stretch-difference": _S("note", "/rear/spoke", disc_set),
    "tension.slack-side": _S("approval", "/rear/hub", disc_set, _close_right_flange(14.0)),
    "tension.floor": _S("block", "/rear/hub", disc_set, _close_right_flange(8.0)),
    "tension.ratio": _S("approval", "/rear/hub", disc_set, _close_right_flange(14.0)),
    "tension.hub-limit": _S(
        "note", "/front/hub", disc_set, _part("hubs", "KF2", spoke_limit_n=1100.0)
    ),
    "tension.bed-orientation": _S("note", "/front/rim", gravel_set),
    "tension.tyre-drop": _S("note", "/use/tyre_system", disc_set),
    "tension.buckling": _S("approval", "/front/rim", disc_set, _soft_rim(0.4)),
}

USE = {
    "load.mass-missing": _S("block", "/use/rider_kg", lambda: example("D-1005")),
    "load.system-mass": _S("block", "/rear", lambda: example("D-1006")),
    "load.spoke-count": _S("block", "/rear/holes", _disc({"/rear/holes": 20})),
    "load.use-class": _S("block", "/rear/rim", lambda: example("D-1008")),
    "load.spoke-class": _S("block", "/front/spoke", lambda: example("refused/load.spoke-class")),
    "load.out-of-scope": _S("block", "/use/bike", _disc({"/use/bike": "tandem"})),
    "load.race-rules": _S("note", "/use/class", _disc({"/use/class": 6})),
    "load.slack-margin": _S("caution", "/rear", disc_set, _house("load", dynamic_factor=9.0)),
    "load.rider-limit": _S("note", "/rear", disc_set, _house("load", dynamic_factor=2.7)),
    "load.side-load": _S("caution", "/rear", disc_set, _house("load", side_load_n=900.0)),
    "load.heat": _S(
        "caution", "/front/rim", rim_brake_set, _house("load", rim_heat_system_kg=60.0)
    ),
    "load.cross-wind": _S(
        "caution",
        "/front/rim",
        _front({"/use/rider_kg": 52}),
        _house("load", cross_wind_depth_mm=30.0),
    ),
    "tyre.bead-seat": _S("block", "/front/rim", _disc({"/use/tyre_bead_seat_mm": 584})),
    "tyre.width": _S("block", "/front/rim", _disc({"/use/tyre_width_mm": 25})),
    "tyre.hookless": _S(
        "block", "/front/rim", gravel_set, _part("rims", "OR30G", inner_width_mm=41.0)
    ),
    "tyre.tube-on-hookless": _S(
        "approval", "/front/rim", _gravel({"/use/tyre_system": "clincher"})
    ),
    "tyre.system": _S("block", "/front/rim", disc_set, _part("rims", "OR33D", tubeless=False)),
    "tyre.tubular": _S("block", "/front/rim", _disc({"/use/tyre_system": "tubular"})),
    "tyre.pressure": _S("note", "/front/rim", disc_set),
    "tyre.valve-length": _S(
        "caution", "/front/rim", disc_set, _house("tyre", valve_lengths_mm=(44,))
    ),
    "tyre.tape-width": _S("caution", "/front/rim", disc_set, _house("tyre", tape_widths_mm=(19,))),
}

FINISH = {
    "finish.decal-size": _S("block", "/finish/decal_size", _disc({"/finish/decal_size": "L"})),
    "finish.colour": _S("block", "/finish/decal_colour", lambda: example("D-1005"), edition_17),
    "finish.hand": _S(
        "block", "/finish/decal_colour", disc_set, _part("decals", "LAGOON-S-L", state="ended")
    ),
    "finish.reflector": _S("caution", "/finish/decal_colour", disc_set),
    "finish.set-colour": _S(
        "caution", "/finish/rear_decal_colour", _disc({"/finish/rear_decal_colour": "EMBER"})
    ),
    "finish.track-gap": _S("note", "/front/rim", rim_brake_set),
    "pair.kind": _S("block", "/rear", _disc({"/rear": ABSENT})),
    "pair.brake": _S("block", "/front/rim", _disc({"/front/rim": "OR38R"})),
    "pair.rotor-mount": _S("caution", "/front/hub", _disc({"/front/hub": "KF3"})),
    "pair.axle": _S("caution", "/use/front_axle", _disc({"/use/front_axle": "9x100"})),
    "pair.bead-seat": _S(
        "caution",
        "/front/rim",
        _disc({"/front/rim": "OR45D"}),
        _part("rims", "OR45D", bead_seat_mm=584),
    ),
    "pair.depth": _S("caution", "/front/rim", _disc({"/front/rim": "OR58D"})),
    "pair.rim-mass": _S("note", "/rear/rim", disc_set),
    "pair.spares": _S("caution", "/kind", disc_set, _house("pair", spares_per_length=0)),
    "pair.accessories": _S("note", "/kind", disc_set),
}

SPEAKING = {**DOCUMENT, **FIT, **WHEEL, **USE, **FINISH}
"""By code."""

OTHER_SEVERITIES = {
    ("fit.elbow-hole", "caution"): _S(
        "caution", "/front/spoke", disc_set, _part("hubs", "KF2", hole_mm=2.8)
    ),
    ("fit.tyre-bed", "note"): _S(
        "note", "/front/rim", disc_set, _part("rims", "OR33D", tyre_bed_hole_mm=0.0)
    ),
    ("fit.end-caps", "note"): _S(
        "note",
        "/front/hub",
        lambda: put(example("refused/load.spoke-class"), {"/use/front_axle": "15x100"}),
    ),
    ("fit.e-drive", "approval"): _S(
        "approval",
        "/front/rim",
        _front({"/use/bike": "e-bike"}),
        _part("hubs", "KF2", e_drive=True),
    ),
    ("lacing.head-clearance", "block"): _S(
        "block",
        "/front/crossings",
        lambda: example("refused/lacing.head-clearance"),
        _house("lacing", head_clearance_block_mm=3.05, head_clearance_block_wrap_deg=70.0),
    ),
    ("lacing.hole-axis", "block"): _S(
        "block",
        "/front/crossings",
        disc_set,
        _house("lacing", hole_axis_deg=0.01, hole_axis_approval_deg=0.02),
    ),
    ("tension.ratio", "caution"): _S("caution", "/rear/hub", rim_brake_set),
    ("tension.buckling", "block"): _S("block", "/front/rim", disc_set, _soft_rim(0.1)),
    ("load.slack-margin", "approval"): _S(
        "approval", "/rear", _disc({"/use/rider_kg": 240}), _house("load", rear_share=1.0)
    ),
}
"""The further severities of codes that have several."""

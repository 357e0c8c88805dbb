"""What the form of each station asks, with what the sheet wants beside it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import groupby
from types import MappingProxyType
from typing import Final

from buildsheet.actions.bench.box import BoxList
from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.stations.rim_gate import DIAMETERS, TRACK_PLACES
from buildsheet.web.pages.bench.field import BY, Field, Row
from buildsheet.web.pages.words import moment

PHOTOS: Final = 2


def station_fields(view: BenchView, station: str, box: BoxList | None = None) -> tuple[Field, ...]:
    """The fields of one station; ``box`` is the packing list where it is asked for.

    Raises KeyError for a station that there is not.
    """
    if box is not None:
        return (*_box(box), BY)
    return (*_FORMS[station](view), BY)


def _rim_gate(view: BenchView) -> tuple[Field, ...]:
    rim, house = view.stand.rim, view.stand.house.stations
    seat, erd = rim.seat_diameter_mm, view.plan.erd_mm
    asked = (
        Field("rim_serial", "Serial of the rim", "line", needed=True),
        Field("batch", "Batch of the rim", "line", needed=True),
        Field(
            "mass_g",
            "Mass",
            "number",
            "g",
            f"{rim.mass_g:.0f}, give or take {rim.mass_tolerance_g:.0f}",
        ),
        Field(
            "lateral_mm",
            "Lateral run-out, full reading",
            "number",
            "mm",
            f"at most {house.bare_lateral_mm:.2f}",
        ),
        Field(
            "radial_mm",
            "Radial run-out, full reading",
            "number",
            "mm",
            f"at most {house.bare_radial_mm:.2f}",
        ),
        Field(
            "diameter_of",
            "The diameters are of",
            "choice",
            choices=(
                ("seat", f"the nipple seat ({seat:.1f})"),
                ("erd", f"the spoke ends, ERD ({erd:.1f})"),
            ),
        ),
        Field("diameters_mm", "Diameter, a quarter turn apart", "numbers", "mm", many=DIAMETERS),
    )
    if rim.brake != "rim":
        return asked
    widths = Field(
        "track_widths_mm", "Width of the brake track", "numbers", "mm", many=TRACK_PLACES
    )
    return (*asked, widths)


def _kit(view: BenchView) -> tuple[Field, ...]:
    rows = tuple(Row(each.part, each.name, each.count + each.spare) for each in view.plan.pick)
    return (
        Field("scanned", "In the box: how many, from which batch", "rows", rows=rows),
        Field("other", "Anything else that lies in the box", "line"),
        Field("bagged_apart", "Left and right spokes lie in marked bags of their own", "yes-no"),
    )


def _drill(view: BenchView) -> tuple[Field, ...]:
    return (
        Field("rim_serial", "Serial of the rim in the machine", "line", needed=True),
        Field(
            "program",
            "Program in the machine",
            "line",
            wanted=view.plan.drilling.program or "none",
            needed=True,
        ),
        Field("first_hole_good", "First hole: place, lean and edge are good", "yes-no"),
    )


def _first_spoke(view: BenchView) -> tuple[Field, ...]:
    left, right = view.plan.spokes.left.stock_mm, view.plan.spokes.right.stock_mm
    return (
        Field("left_mm", "One spoke out of the LEFT bag", "number", "mm", f"{left or 'none'}"),
        Field("right_mm", "One spoke out of the RIGHT bag", "number", "mm", f"{right or 'none'}"),
    )


def _half_way(view: BenchView) -> tuple[Field, ...]:
    asked = (
        Field("as_picture", "Four spokes at the valve stand as in the picture", "yes-no"),
        Field("label_at_valve", "The hub's label is readable through the valve hole", "yes-no"),
    )
    if not view.plan.orientation:
        return asked
    return (*asked, Field("bed_as_arrow", f"The rim lies so: {view.plan.orientation}", "yes-no"))


def _relief(view: BenchView) -> tuple[Field, ...]:
    tight = view.task.tight_side
    return (
        Field("round", "Round", "whole", needed=True),
        Field("before_n", f"Mean of the {tight.upper()} side before the round", "number", "N"),
        Field("after_n", f"Mean of the {tight.upper()} side after the round", "number", "N"),
        Field("lateral_before_mm", "Lateral run-out before, full reading", "number", "mm"),
        Field("lateral_after_mm", "Lateral run-out after, full reading", "number", "mm"),
    )


def _finishing(view: BenchView) -> tuple[Field, ...]:
    left, right = view.stand.decals if len(view.stand.decals) == 2 else ("", "")
    return (
        Field("left_decal", "Decal set on the LEFT", "line", wanted=left),
        Field("right_decal", "Decal set on the RIGHT", "line", wanted=right),
        Field("at_template", "They sit at the template, counted from the valve", "yes-no"),
        Field("limits_readable", "Serial, pressure and limits can be read", "yes-no"),
        Field("photos", "Photograph of each side", "lines", many=PHOTOS),
    )


def _pair(view: BenchView) -> tuple[Field, ...]:  # noqa: ARG001 - as every station
    return (
        Field("serial", "This wheel, scanned", "line", needed=True),
        Field("other_serial", "The other wheel of the set, scanned", "line"),
        Field("same_finish", "Side by side: colour and sheen agree", "yes-no"),
        Field("rim_mass_g", "Mass of this rim", "number", "g"),
        Field("other_rim_mass_g", "Mass of the other rim", "number", "g"),
    )


def _box(box: BoxList) -> tuple[Field, ...]:
    wanted = tuple((each.label, each.what) for each in box.to_tick)
    if not box.before:
        return (Field("packed", "In the box", "ticks", choices=wanted),)
    told = [
        Field(
            f"before-{serial}",
            f"In the box already, ticked by {by}, {moment(at)}, with {serial}",
            "told",
            choices=tuple((each.label, "") for each in ticked),
        )
        for (serial, by, at), ticked in groupby(
            box.before, lambda each: (each.serial, each.by, each.at)
        )
    ]
    return (Field("packed", "This wheel's own, into the same box", "ticks", choices=wanted), *told)


def _ship(view: BenchView) -> tuple[Field, ...]:  # noqa: ARG001 - as every station
    return (
        Field("carrier", "Carrier", "line", needed=True),
        Field("reference", "Reference of the parcel", "line", needed=True),
    )


_FORMS: Final[Mapping[str, Callable[[BenchView], tuple[Field, ...]]]] = MappingProxyType(
    {
        "rim-gate": _rim_gate,
        "kit": _kit,
        "drill": _drill,
        "first-spoke": _first_spoke,
        "half-way": _half_way,
        "relief": _relief,
        "finishing": _finishing,
        "pair": _pair,
        "ship": _ship,
    }
)

"""A rim's section: tyre side up, seen along the rim; hooks, walls, spoke bed, nipple seat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.parts import Rim
from buildsheet.catalog.plausible.rims import RIM_WALLS_MM
from buildsheet.sheet.fonts import Face
from buildsheet.sheet.layout.pen import BOLD, HAIR, READ, THIN, Pen
from buildsheet.sheet.layout.primitives import Outline, Page, Point, Strokes
from buildsheet.sheet.part_picture.dimension import CENTRE_DASH, across, dash, guide, upright
from buildsheet.sheet.part_picture.typed import Figure, Form

WIDE_MM: Final = 136.0
HIGH_MM: Final = 124.0

_MIDDLE_MM: Final = 66.0
_TOP_MM: Final = 26.0
_ROOM_WIDE_MM: Final = 56.0
_ROOM_HIGH_MM: Final = 74.0
_LARGEST_SCALE: Final = 2.2

WALL_MM: Final = 6.0
"""Height of a bead wall as drawn: half of what the outer diameter has over the bead seat."""

SKIN_MM: Final = 1.6
"""Thickness of walls as drawn; the form does not ask for it."""


@dataclass(frozen=True, slots=True)
class _Section:
    """The figures that are drawn, and where millimetres of the rim lie on the page."""

    depth: Figure
    outer: Figure
    inner: Figure
    bed: Figure
    offset: Figure
    seat: Figure
    bead_seat_mm: float
    per_mm: float

    def at(self, x_mm: float, y_mm: float) -> Point:
        """A point of the section, from the middle and from the outer edge down, on the page."""
        return (_MIDDLE_MM + x_mm * self.per_mm, _TOP_MM + y_mm * self.per_mm)

    @property
    def seat_down_mm(self) -> float:
        """How far below the outer edge the typed seat diameter puts the nipple seat."""
        return (self.bead_seat_mm + RIM_WALLS_MM - self.seat.drawn_mm) / 2.0


def rim_page(values: Mapping[str, object]) -> Page:
    """The section with its dimensions. The nipple seat is drawn where its diameter puts it: a slip
    shows as a seat that is not on the bed."""
    section = _section(Form(Rim, values))
    pen = Pen()
    _profile(pen, section)
    _widths(pen, section)
    _heights(pen, section)
    _bed_offset(pen, section)
    _seat(pen, section)
    said = ", ".join(
        f"{name} {figure.label}"
        for name, figure in (
            ("depth", section.depth),
            ("inner width", section.inner),
            ("outer width", section.outer),
            ("bed", section.bed),
            ("bed offset", section.offset),
            ("nipple seat diameter", section.seat),
        )
    )
    return Page(WIDE_MM, HIGH_MM, f"Rim section in mm: {said}", tuple(pen.ink))


def _section(form: Form) -> _Section:
    depth, bed = form.figure(40.0, "depth_mm"), form.figure(3.0, "bed_mm")
    outer = form.figure(28.0, "outer_width_mm")
    bead_seat_mm = form.figure(622.0, "bead_seat_mm").drawn_mm
    on_bed_mm = bead_seat_mm + RIM_WALLS_MM - 2.0 * depth.drawn_mm + 2.0 * bed.drawn_mm
    offset = form.figure(0.0, "bed_offset_mm")
    if form.at("bed_offset_mm") in (None, ""):
        offset = Figure(0.0, "0", typed=True)  # not stated is symmetric
    inner = form.figure(0.75 * outer.drawn_mm, "inner_width_mm")
    widest_mm = max(outer.drawn_mm, inner.drawn_mm)  # a slip makes the inside the wider one
    return _Section(
        depth=depth,
        outer=outer,
        inner=inner,
        bed=bed,
        offset=offset,
        seat=form.figure(on_bed_mm, "seat_diameter_mm"),
        bead_seat_mm=bead_seat_mm,
        per_mm=min(_LARGEST_SCALE, _ROOM_WIDE_MM / widest_mm, _ROOM_HIGH_MM / depth.drawn_mm),
    )


def _profile(pen: Pen, section: _Section) -> None:
    depth_mm, half_mm = section.depth.drawn_mm, section.outer.drawn_mm / 2.0
    well_mm = min(section.inner.drawn_mm / 2.0, half_mm - 0.3)
    floor_mm = min(WALL_MM, 0.4 * depth_mm)
    nose_mm, bed_mm = 0.3 * half_mm, section.bed.drawn_mm
    shift_mm = section.offset.drawn_mm
    outside = [
        (-well_mm, 0.0), (-half_mm, 0.0), (-half_mm, floor_mm + 2.0),
        (shift_mm - nose_mm, depth_mm - 1.0), (shift_mm - 0.7 * nose_mm, depth_mm),
        (shift_mm + 0.7 * nose_mm, depth_mm), (shift_mm + nose_mm, depth_mm - 1.0),
        (half_mm, floor_mm + 2.0), (half_mm, 0.0), (well_mm, 0.0), (well_mm, floor_mm),
        (-well_mm, floor_mm),
    ]  # fmt: skip
    width = BOLD if section.depth.typed and section.outer.typed else THIN
    pen.draw(
        Outline(tuple(section.at(*each) for each in outside), width, dash_mm=dash(section.depth))
    )
    hollow_mm = floor_mm + SKIN_MM
    if hollow_mm + 1.0 < depth_mm - bed_mm:
        inside = [
            (-half_mm + SKIN_MM, hollow_mm), (half_mm - SKIN_MM, hollow_mm),
            (shift_mm + 0.7 * nose_mm, depth_mm - bed_mm),
            (shift_mm - 0.7 * nose_mm, depth_mm - bed_mm),
        ]  # fmt: skip
        pen.draw(
            Outline(tuple(section.at(*each) for each in inside), THIN, dash_mm=dash(section.bed))
        )


def _widths(pen: Pen, section: _Section) -> None:
    for figure, y, words in (
        (section.outer, 7.0, "outer width"),
        (section.inner, 16.0, "inner width"),
    ):
        half_mm = figure.drawn_mm / 2.0
        left, right = section.at(-half_mm, 0.0), section.at(half_mm, 0.0)
        guide(pen, left[0], y - 1.0, left[0], left[1] - 1.0)
        guide(pen, right[0], y - 1.0, right[0], right[1] - 1.0)
        across(pen, y, (left[0], right[0]), figure, words)


def _heights(pen: Pen, section: _Section) -> None:
    half_mm, depth_mm = section.outer.drawn_mm / 2.0, section.depth.drawn_mm
    top, foot = section.at(-half_mm, 0.0), section.at(section.offset.drawn_mm, depth_mm)
    x = _MIDDLE_MM - _ROOM_WIDE_MM / 2 - 6.0
    guide(pen, x - 1.0, top[1], top[0] - 1.0, top[1])
    guide(pen, x - 1.0, foot[1], foot[0] - 1.0, foot[1])
    upright(pen, x, (top[1], foot[1]), section.depth, "depth", "right")
    bed = section.at(section.offset.drawn_mm, depth_mm - section.bed.drawn_mm)
    beside = _MIDDLE_MM + _ROOM_WIDE_MM / 2 + 2.0
    guide(pen, foot[0] + 1.0, foot[1], beside + 1.0, foot[1])
    upright(pen, beside, (bed[1], foot[1]), section.bed, "bed", "left")


def _bed_offset(pen: Pen, section: _Section) -> None:
    middle, foot = section.at(0.0, -2.0), section.at(0.0, section.depth.drawn_mm)
    low = foot[1] + 9.0
    pen.draw(Strokes(((*middle, middle[0], low),), HAIR, CENTRE_DASH))
    if section.offset.typed and not section.offset.drawn_mm:
        return
    bed = section.at(section.offset.drawn_mm, section.depth.drawn_mm)
    guide(pen, bed[0], bed[1] + 0.5, bed[0], low)
    pen.draw(Strokes(((middle[0], low - 1.5, bed[0], low - 1.5),), THIN))
    pen.say(bed[0] + 1.5, low, f"bed offset {section.offset.label}", READ)


def _seat(pen: Pen, section: _Section) -> None:
    """The seat's level across the page, with its diameter; off the drawing it says so."""
    depth_mm, down_mm = section.depth.drawn_mm, section.seat_down_mm
    words = f"nipple seat \N{LATIN CAPITAL LETTER O WITH STROKE} {section.seat.label}"
    if not 0.0 <= down_mm <= depth_mm + 4.0:
        where = "below" if down_mm > depth_mm else "above"
        pen.say(_MIDDLE_MM, HIGH_MM - 3.0, f"{words}: {where} the rim", READ, "bold", "middle")
        return
    y = section.at(0.0, down_mm)[1]
    reach = 0.4 * section.outer.drawn_mm * section.per_mm
    middle = section.at(section.offset.drawn_mm, 0.0)[0]
    pen.draw(Strokes(((middle - reach, y, middle + reach, y),), BOLD, dash(section.seat)))
    off_bed = abs(depth_mm - section.bed.drawn_mm - down_mm) > 1.5
    ending = ": not on the bed" if off_bed else ""
    face: Face = "bold" if off_bed else "plain"
    pen.say(_MIDDLE_MM, HIGH_MM - 3.0, words + ending, READ, face, "middle")

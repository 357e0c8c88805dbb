"""A hub seen from above, left on the left as the rider sees it: flanges or seats, distances, ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Final

from buildsheet.catalog.parts import Hub
from buildsheet.sheet.layout.pen import BOLD, HAIR, THIN, Align, Pen
from buildsheet.sheet.layout.primitives import Box, Page, Strokes
from buildsheet.sheet.part_picture.dimension import CENTRE_DASH, across, dash, guide, upright
from buildsheet.sheet.part_picture.typed import Figure, Form
from buildsheet.wheel.spec import Side

WIDE_MM: Final = 150.0
HIGH_MM: Final = 112.0

_MIDDLE_MM: Final = WIDE_MM / 2
_AXIS_MM: Final = 57.0
_ROOM_WIDE_MM: Final = 92.0
_ROOM_HIGH_MM: Final = 56.0

_EDGE_MM: Final = 3.0
"""Flange outside its hole circle, as drawn."""

_STAND_IN_MM: Final[Mapping[Side, float]] = {"left": 34.0, "right": 19.0}


@dataclass(frozen=True, slots=True)
class _Flange:
    """One side as drawn: where it stands, the circle of its holes or seats, how thick it is."""

    side: Side
    from_centre: Figure
    circle: Figure
    words: str
    thick_mm: float

    @property
    def sign(self) -> float:
        """-1 to the left of the middle, +1 to the right."""
        return -1.0 if self.side == "left" else 1.0

    @property
    def align(self) -> Align:
        """How this side's words stand: away from the middle."""
        return "right" if self.side == "left" else "left"


def hub_page(values: Mapping[str, object]) -> Page:
    """The hub with its dimensions; a side that is not typed yet stands where sides usually stand."""
    form = Form(Hub, values)
    over_locknut = form.figure(130.0, "over_locknut_mm")
    flanges = (_flange(form, "left"), _flange(form, "right"))
    widest_mm = max(over_locknut.drawn_mm, *(2.0 * each.from_centre.drawn_mm for each in flanges))
    highest_mm = max(each.circle.drawn_mm for each in flanges) + 2.0 * _EDGE_MM
    per_mm = min(_ROOM_WIDE_MM / widest_mm, _ROOM_HIGH_MM / highest_mm)
    pen = Pen()
    _body(pen, form, flanges, over_locknut, per_mm)
    for flange in flanges:
        _draw_flange(pen, flange, per_mm)
        _distance(pen, flange, per_mm)
    _over_locknut(pen, over_locknut, per_mm)
    said = [f"over locknut {over_locknut.label}"]
    for each in flanges:
        said += [f"{each.side} from centre {each.from_centre.label}", _circle_said(each)]
    return Page(WIDE_MM, HIGH_MM, f"Hub in mm: {', '.join(said)}", tuple(pen.ink))


def _circle_said(flange: _Flange) -> str:
    return f"{flange.side} {' '.join(flange.words.split())} {flange.circle.label}"


def _flange(form: Form, side: Side) -> _Flange:
    seats = f"{side}_seats"
    if isinstance(form.at(seats), Mapping) and not isinstance(form.at(f"{side}_flange"), Mapping):
        line = form.figure(20.0, seats, "line_from_axis_mm")
        ahead = form.figure(9.0, seats, "seat_ahead_mm")
        circle = Figure(
            2.0 * hypot(line.drawn_mm, ahead.drawn_mm),
            f"{line.label} / {ahead.label}",
            line.typed and ahead.typed,
        )
        at = form.figure(_STAND_IN_MM[side], seats, "from_centre_mm")
        return _Flange(side, at, circle, "line\nand seat", 5.0)
    key = f"{side}_flange"
    return _Flange(
        side,
        form.figure(_STAND_IN_MM[side], key, "from_centre_mm"),
        form.figure(45.0, key, "circle_mm"),
        "circle",
        form.figure(3.0, key, "thickness_mm").drawn_mm,
    )


def _body(
    pen: Pen, form: Form, flanges: tuple[_Flange, _Flange], ends: Figure, per_mm: float
) -> None:
    reach, tube, axle = ends.drawn_mm / 2.0 * per_mm, 9.0 * per_mm, 4.0 * per_mm
    pen.draw(
        Strokes(((_MIDDLE_MM, 16.0, _MIDDLE_MM, HIGH_MM - 16.0),), HAIR, CENTRE_DASH),
        Box(_MIDDLE_MM - reach, _AXIS_MM - axle, 2.0 * reach, 2.0 * axle, THIN, "white"),
    )
    left, right = (_MIDDLE_MM + each.sign * each.from_centre.drawn_mm * per_mm for each in flanges)
    pen.draw(Box(left, _AXIS_MM - tube, right - left, 2.0 * tube, THIN, "white"))
    inside = _MIDDLE_MM + reach - 4.0 * per_mm - right
    if form.word("position") == "rear" and inside > 2.0:
        splined = 17.0 * per_mm
        pen.draw(Box(right, _AXIS_MM - splined, inside, 2.0 * splined, THIN, "white"))
        lines = tuple(
            (right, _AXIS_MM + share * splined, right + inside, _AXIS_MM + share * splined)
            for share in (-0.6, -0.2, 0.2, 0.6)
        )
        pen.lines(lines, HAIR)
    if form.word("brake") == "disc" and left - (_MIDDLE_MM - reach) > 3.0:
        mount, wide = 15.0 * per_mm, 5.0 * per_mm
        pen.draw(Box(left - wide, _AXIS_MM - mount, wide, 2.0 * mount, THIN, "white"))


def _draw_flange(pen: Pen, flange: _Flange, per_mm: float) -> None:
    x = _MIDDLE_MM + flange.sign * flange.from_centre.drawn_mm * per_mm
    circle, thick = flange.circle.drawn_mm / 2.0 * per_mm, max(flange.thick_mm * per_mm, 1.2)
    edge = circle + _EDGE_MM * per_mm
    width = BOLD if flange.circle.typed and flange.from_centre.typed else THIN
    pen.draw(Box(x - thick / 2, _AXIS_MM - edge, thick, 2.0 * edge, width, "white", 0.6))
    across_hole = thick / 2 + 1.2
    outside = _MIDDLE_MM + flange.sign * (_ROOM_WIDE_MM / 2 + 4.0)
    for level in (_AXIS_MM - circle, _AXIS_MM + circle):
        pen.draw(
            Strokes(((x - across_hole, level, x + across_hole, level),), BOLD, dash(flange.circle))
        )
        guide(pen, x + flange.sign * across_hole, level, outside + flange.sign, level)
    ends = (_AXIS_MM - circle, _AXIS_MM + circle)
    upright(pen, outside, ends, flange.circle, flange.words, flange.align)


def _distance(pen: Pen, flange: _Flange, per_mm: float) -> None:
    """Left in the upper row, right in the lower: their words never meet."""
    y = 8.0 if flange.side == "left" else 18.0
    x = _MIDDLE_MM + flange.sign * flange.from_centre.drawn_mm * per_mm
    edge = (flange.circle.drawn_mm / 2.0 + _EDGE_MM) * per_mm
    guide(pen, x, y - 1.0, x, _AXIS_MM - edge - 0.5)
    guide(pen, _MIDDLE_MM, y - 1.0, _MIDDLE_MM, y + 4.0)
    across(
        pen,
        y,
        (x, _MIDDLE_MM),
        flange.from_centre,
        f"{flange.side.upper()} from centre",
        flange.align,
    )


def _over_locknut(pen: Pen, figure: Figure, per_mm: float) -> None:
    reach, y = figure.drawn_mm / 2.0 * per_mm, HIGH_MM - 5.0
    for x in (_MIDDLE_MM - reach, _MIDDLE_MM + reach):
        guide(pen, x, _AXIS_MM + 5.0, x, y + 1.0)
    across(pen, y, (_MIDDLE_MM - reach, _MIDDLE_MM + reach), figure, "over locknut")

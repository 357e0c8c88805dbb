"""The lacing picture: this wheel, seen from the right, every hole numbered, the first four spokes bold.

The rim is a ring of numbered beads, square for holes of the right side and round for the left. The
hub is drawn larger than life, as large as leaves every crossing where it is: a spoke near the tangent
of its flange must not cut through the drawn flange.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import Final

from buildsheet.sheet.content.says import LacingSays
from buildsheet.sheet.layout.fit import fit
from buildsheet.sheet.layout.marks import arc, arrow_head, hole_mark, station
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import HAIR, READ, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Disc, Outline, Point, Segment, Strokes
from buildsheet.wheel.spec import LacedSpoke

NEAR_MM: Final = 0.5
FAR_MM: Final = 0.28
FIRST_MM: Final = 1.25
FAR_DASH: Final = (2.0, 1.3)
FIRST_FAR_DASH: Final = (3.2, 1.5)
FIRST_SPOKES: Final = 4

_GAP_MM: Final = 1.0
"""White on either side of a spoke that passes over another."""

_LARGEST_HUB: Final = 0.34
_SHORT_OF_TANGENT: Final = 0.93


@dataclass(frozen=True, slots=True)
class Drawn:
    """One spoke on paper: from its rim bead to its hub hole."""

    spoke: LacedSpoke
    rim: Point
    hub: Point


@dataclass(frozen=True, slots=True)
class Ring:
    """Where the picture lies: its centre, the circle of beads, and the hub's two drawn circles."""

    x_mm: float
    y_mm: float
    beads_mm: float
    near_hub_mm: float
    far_hub_mm: float

    def at(self, radius_mm: float, angle_rad: float) -> Point:
        """A point at this radius, the angle clockwise from the valve."""
        return (
            self.x_mm + radius_mm * sin(angle_rad),
            self.y_mm - radius_mm * cos(angle_rad),
        )


def ring_for(spokes: tuple[LacedSpoke, ...], x_mm: float, y_mm: float, radius_mm: float) -> Ring:
    """A ring whose beads stay within ``radius_mm`` of the centre."""
    beads_mm = radius_mm - 0.85 * READ
    wrap_rad = max(abs(_wrap_rad(spoke)) for spoke in spokes)
    share = min(_LARGEST_HUB, _SHORT_OF_TANGENT * max(0.1, cos(wrap_rad)))
    return Ring(x_mm, y_mm, beads_mm, share * beads_mm, 0.74 * share * beads_mm)


def _wrap_rad(spoke: LacedSpoke) -> float:
    return (spoke.hub_angle_rad - spoke.rim_angle_rad + pi) % (2.0 * pi) - pi


def draw_picture(pen: Pen, lacing: LacingSays, x_mm: float, y_mm: float, radius_mm: float) -> None:
    """The picture with its middle here; the valve's mark stands 7 mm beyond ``radius_mm`` above."""
    ring = ring_for(lacing.spokes, x_mm, y_mm, radius_mm)
    drawn = [_drawn(spoke, ring) for spoke in lacing.spokes]
    _far_side(pen, drawn)
    _hub(pen, ring)
    _near_side(pen, drawn)
    _hub_holes(pen, drawn)
    _rim(pen, ring, drawn)
    _valve(pen, ring, radius_mm)
    _label_cue(pen, ring)


def _drawn(spoke: LacedSpoke, ring: Ring) -> Drawn:
    hub_mm = ring.near_hub_mm if spoke.side == "right" else ring.far_hub_mm
    return Drawn(
        spoke,
        ring.at(ring.beads_mm, spoke.rim_angle_rad),
        ring.at(hub_mm, spoke.hub_angle_rad),
    )


def is_first(spoke: LacedSpoke) -> bool:
    """True for the four spokes that are laced first: rim holes 1 to 4."""
    return spoke.hole <= FIRST_SPOKES


def _far_side(pen: Pen, drawn: list[Drawn]) -> None:
    far = [each for each in drawn if each.spoke.side == "left"]
    plain = tuple((*each.rim, *each.hub) for each in far if not is_first(each.spoke))
    first = tuple((*each.rim, *each.hub) for each in far if is_first(each.spoke))
    pen.draw(Strokes(plain, FAR_MM, FAR_DASH), Strokes(first, FIRST_MM, FIRST_FAR_DASH))


def _near_side(pen: Pen, drawn: list[Drawn]) -> None:
    near = [each for each in drawn if each.spoke.side == "right"]
    cuts = under_cuts(near)
    for width_mm, wanted in ((NEAR_MM, False), (FIRST_MM, True)):
        pieces: list[Segment] = []
        for each in near:
            if is_first(each.spoke) == wanted:
                pieces.extend(_pieces(each, cuts.get(each.spoke.hole, [])))
        pen.draw(Strokes(tuple(pieces), width_mm))


def under_cuts(near: list[Drawn]) -> dict[int, list[tuple[float, float]]]:
    """For each spoke that passes under another: where along it (share from the rim), and half the gap.

    A spoke with its head in runs down the flange's outer face, so it passes over; only at the last
    crossing before the rim is it as the lacing map says.
    """
    cuts: dict[int, list[tuple[float, float]]] = {}
    trailing = [each for each in near if each.spoke.run == "trailing"]
    leading = [each for each in near if each.spoke.run == "leading"]
    for one in trailing:
        met = [(found, other) for other in leading if (found := crossing(one, other))]
        met.sort(key=lambda each: each[0])
        for place, ((share, other_share), other) in enumerate(met):
            outer_face = one.spoke.head != "out"
            over_here = one.spoke.interlace != "under" if place == 0 else outer_face
            under, at, over = (other, other_share, one) if over_here else (one, share, other)
            width_mm = FIRST_MM if is_first(over.spoke) else NEAR_MM
            cuts.setdefault(under.spoke.hole, []).append((at, width_mm / 2.0 + _GAP_MM))
    return cuts


def crossing(one: Drawn, other: Drawn) -> tuple[float, float] | None:
    """Where two drawn spokes cross, as shares of both from the rim; None where they do not."""
    ax, ay = one.hub[0] - one.rim[0], one.hub[1] - one.rim[1]
    bx, by = other.hub[0] - other.rim[0], other.hub[1] - other.rim[1]
    across = ax * by - ay * bx
    if abs(across) < 1e-9:
        return None
    dx, dy = other.rim[0] - one.rim[0], other.rim[1] - one.rim[1]
    share, other_share = (dx * by - dy * bx) / across, (dx * ay - dy * ax) / across
    inside = 0.0 < share < 1.0 and 0.0 < other_share < 1.0
    return (share, other_share) if inside else None


def _pieces(drawn: Drawn, cuts: list[tuple[float, float]]) -> list[Segment]:
    """The spoke without its cuts."""
    (x1, y1), (x2, y2) = drawn.rim, drawn.hub
    long_mm = hypot(x2 - x1, y2 - y1)
    pieces: list[Segment] = []
    start = 0.0
    for share, half_mm in sorted(cuts):
        stop = share - half_mm / long_mm
        if stop > start:
            pieces.append(_part(drawn, start, stop))
        start = max(start, share + half_mm / long_mm)
    if start < 1.0:
        pieces.append(_part(drawn, start, 1.0))
    return pieces


def _part(drawn: Drawn, start: float, stop: float) -> Segment:
    (x1, y1), (x2, y2) = drawn.rim, drawn.hub
    return (
        x1 + (x2 - x1) * start,
        y1 + (y2 - y1) * start,
        x1 + (x2 - x1) * stop,
        y1 + (y2 - y1) * stop,
    )


def _hub(pen: Pen, ring: Ring) -> None:
    pen.draw(
        Disc(ring.x_mm, ring.y_mm, ring.far_hub_mm + 1.2, FAR_MM, dash_mm=FAR_DASH),
        Disc(ring.x_mm, ring.y_mm, ring.near_hub_mm + 1.5, NEAR_MM),
    )


def _hub_holes(pen: Pen, drawn: list[Drawn]) -> None:
    """On the near flange: a full dot is a head toward the viewer, a ring a head on the inner face."""
    for each in drawn:
        x, y = each.hub
        if each.spoke.side == "left":
            pen.draw(Disc(x, y, 0.45, HAIR, "white"))
        else:
            pen.draw(head_dot(x, y, out=each.spoke.head == "out"))


def _rim(pen: Pen, ring: Ring, drawn: list[Drawn]) -> None:
    size = _bead_size(ring, len(drawn))
    pen.draw(Disc(ring.x_mm, ring.y_mm, ring.beads_mm, NEAR_MM))
    for each in drawn:
        hole_mark(
            pen,
            *each.rim,
            str(each.spoke.hole),
            each.spoke.side,
            first=is_first(each.spoke),
            size=size,
        )


def _bead_size(ring: Ring, holes: int) -> float:
    """As large as reads well, smaller only where many holes leave less room."""
    pitch_mm = 2.0 * pi * ring.beads_mm / holes
    return min(READ, pitch_mm / 1.62)


def _valve(pen: Pen, ring: Ring, radius_mm: float) -> None:
    """A long wedge between the last bead and the first, thin where the beads are close."""
    top = ring.y_mm - radius_mm
    tip = ring.y_mm - ring.beads_mm + 1.0
    wedge = ((ring.x_mm - 1.9, top - 0.9), (ring.x_mm + 1.9, top - 0.9), (ring.x_mm, tip))
    pen.draw(Outline(wedge, 0.0, fill="black"))
    pen.say(ring.x_mm, top - 2.2, "VALVE", READ, "bold", "middle")


def _label_cue(pen: Pen, ring: Ring) -> None:
    """An arrow in the hub: its label is read toward the valve."""
    size = min(READ, ring.far_hub_mm / 2.2)
    pen.say(ring.x_mm, ring.y_mm + capital(size) * 1.3, "label", size, "bold", "middle")
    tip = ring.y_mm - ring.far_hub_mm * 0.72
    pen.draw(
        Strokes(((ring.x_mm, ring.y_mm - 0.2, ring.x_mm, tip + 1.0),), NEAR_MM),
        arrow_head(ring.x_mm, tip, 0.0, 2.2),
    )


def draw_view(pen: Pen, lacing: LacingSays, area: Area, radius_mm: float, number: str = "") -> None:
    """In the corners: whose side is toward the reader, the pattern, the heads, the way it rolls.

    ``number`` is the picture's place in the order of use, where it has one.
    """
    indent = 0.0
    if number:
        station(pen, area.x, area.y + 0.4, number)
        indent = 7.0
    pen.say(area.x + indent, pen.middle(area.y + 3.2), "seen from", READ)
    pen.say(area.x, area.y + 12.0, lacing.view, READ, "bold")
    pattern = fit(lacing.pattern, area.w / 2 - 9.5, READ, face="bold", floor_mm=3.0)
    base = pen.middle(area.y + 3.2, pattern.size_mm)
    pen.say(area.right, base, pattern.lines[0], pattern.size_mm, "bold", "right")
    if any(spoke.head != "none" for spoke in lacing.spokes):
        _heads(pen, area.x, area.bottom)
    _rolls(pen, area, radius_mm)


def _heads(pen: Pen, x: float, bottom: float) -> None:
    for base, full, words in ((bottom - 6.2, False, "in"), (bottom - 0.6, True, "head out")):
        pen.draw(head_dot(x + 1.4, base - capital(READ) / 2, out=full))
        pen.say(x + 3.8, base, words, READ)


def head_dot(x: float, y: float, *, out: bool) -> Disc:
    """A head toward the reader is a full dot; one on the inner face shows its elbow only: a ring."""
    return Disc(x, y, 0.95, fill="black") if out else Disc(x, y, 0.8, THIN, "white")


def _rolls(pen: Pen, area: Area, radius_mm: float) -> None:
    middle = area.x + area.w / 2, area.bottom - 0.8 - radius_mm
    points = arc(*middle, radius_mm + 2.4, 2.2, 2.46)
    pen.draw(Outline(points[:-3], NEAR_MM, closed=False))
    pen.draw(arrow_head(*points[-1], 2.44 + pi / 2))
    pen.say(area.right, area.bottom - 0.6, "rolls", READ, "plain", "right")

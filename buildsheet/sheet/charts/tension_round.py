"""Tension round the wheel: two circular lanes, as on a running track, one for each side.

The outer lane is the RIGHT side, the inner one the LEFT. A lane is as wide as the band round its side's
mean; a spoke's mark stands on the mean circle when its tension is the mean, outward when tighter, inward
when slacker. A mark outside its lane is a spoke outside the band: that is all there is to look for. The
scale is in shares of the mean, so that both sides look alike however different their tensions are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, isfinite, pi, sin
from statistics import fmean
from typing import Final

from buildsheet.sheet.charts.bars import LETTER, PHONE_MM
from buildsheet.sheet.fonts import Face
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.marks import arrow_head
from buildsheet.sheet.layout.pen import BOLD, HAIR, HEAVY, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Box, Disc, Outline, Page, Point, Strokes
from buildsheet.wheel.spec import SIDES, Side, Sides

SIZE_MM: Final = PHONE_MM
_LANES: Final = Sides(left=(0.30, 0.53), right=(0.58, 0.85))
"""Where each lane's room begins and ends, as shares of the picture's radius."""

_LABELS: Final = 0.93
_BANDS: Final = 2.0
"""The room beside the mean, in bands: what lies further out stands at the edge, with an arrow."""

_STOP_DASH: Final = (1.6, 0.8)
_TARGET_DASH: Final = (0.4, 0.8)


@dataclass(frozen=True, slots=True)
class TensionRound:
    """``sides`` and ``tension_n`` go by rim hole; None is a spoke that was not read."""

    sides: tuple[Side, ...]
    tension_n: tuple[float | None, ...]
    target_n: Sides[float]
    stop_n: float
    band_percent: float

    def mean_n(self, side: Side) -> float:
        """The mean of what was read of a side; its target where nothing was, or all of it hangs loose."""
        by_hole = zip(self.tension_n, self.sides, strict=True)
        read = [force_n for force_n, of in by_hole if of == side and force_n is not None]
        return fmean(read) if any(read) else self.target_n[side]

    def bands_off(self, hole: int) -> float | None:
        """How far a spoke lies from its side's mean, in bands: beyond 1 or -1 it is outside."""
        force_n = self.tension_n[hole - 1]
        mean_n = self.mean_n(self.sides[hole - 1])
        if force_n is None or mean_n <= 0.0:
            return None
        return 100.0 * (force_n / mean_n - 1.0) / self.band_percent

    def outside(self, hole: int) -> bool:
        """Whether a spoke lies outside the band, or above the stop value, or was not read."""
        off, force_n = self.bands_off(hole), self.tension_n[hole - 1]
        return off is None or abs(off) > 1.0 + 1e-9 or (force_n or 0.0) > self.stop_n


@dataclass(frozen=True, slots=True)
class _Ring:
    """Where the picture stands."""

    x_mm: float
    y_mm: float
    r_mm: float

    def at(self, radius_mm: float, turn_rad: float) -> Point:
        return self.x_mm + radius_mm * sin(turn_rad), self.y_mm - radius_mm * cos(turn_rad)

    def middle_mm(self, side: Side) -> float:
        return self.r_mm * sum(_LANES[side]) / 2.0

    def band_mm(self, side: Side) -> float:
        inner, outer = _LANES[side]
        return self.r_mm * (outer - inner) / 2.0 / _BANDS

    def radius_mm(self, side: Side, bands: float) -> float:
        """The radius that stands for so many bands off the mean, held inside the lane's room."""
        held = max(-_BANDS, min(_BANDS, bands)) if isfinite(bands) else 0.0
        return self.middle_mm(side) + held * self.band_mm(side)


def tension_round_svg(chart: TensionRound, css_class: str = "") -> str:
    """The picture with its legend as one ``svg`` element."""
    return svg_text(tension_round(chart), css_class)


def tension_round(chart: TensionRound) -> Page:
    """The picture with its legend below."""
    pen = Pen()
    draw_tension_round(pen, chart, SIZE_MM / 2.0, SIZE_MM / 2.0, SIZE_MM / 2.0 - 2.0)
    top = SIZE_MM + 3.0
    for line in legend(chart):
        top = pen.fitted(3.0, top, SIZE_MM - 6.0, line, LETTER, floor=LETTER, lines=3) + 2.2
    return Page(SIZE_MM, top + 2.0, title(chart), tuple(pen.ink))


def title(chart: TensionRound) -> str:
    """What the picture shows, for somebody who cannot see it."""
    outside = [hole for hole in range(1, len(chart.sides) + 1) if chart.outside(hole)]
    named = ", ".join(str(hole) for hole in outside)
    said = f"outside the band or not read: holes {named}" if outside else "every spoke in the band"
    means = ", ".join(f"{side} mean {chart.mean_n(side):.0f} N" for side in SIDES)
    return f"Tension round the wheel: {means}; {said}"


def legend(chart: TensionRound) -> tuple[str, ...]:
    """What the lanes and marks mean."""
    right_n, left_n = chart.mean_n("right"), chart.mean_n("left")
    return (
        f"outer lane RIGHT, squares: mean {right_n:.0f} N; inner lane LEFT, rings: mean {left_n:.0f} N",
        f"lane: ± {chart.band_percent:g} % of the side's mean; outward is tighter; black: outside",
        f"dots: planned mean; heavy dashes: STOP {chart.stop_n:.0f} N, where it lies this near",
    )


def draw_tension_round(
    pen: Pen, chart: TensionRound, x_mm: float, y_mm: float, r_mm: float
) -> None:
    """The picture with its middle here; everything stays within ``r_mm``."""
    ring = _Ring(x_mm, y_mm, r_mm)
    for side in SIDES:
        _lane(pen, ring, chart, side)
    for hole in range(1, len(chart.sides) + 1):
        _spoke(pen, ring, chart, hole)
    _valve(pen, ring)
    size = min(LETTER, 0.065 * r_mm)
    for line, text in enumerate(("seen from", "the RIGHT")):
        pen.say(x_mm, y_mm + (line - 0.1) * 1.3 * size, text, size, align="middle")


def _lane(pen: Pen, ring: _Ring, chart: TensionRound, side: Side) -> None:
    mean_n = chart.mean_n(side)
    if mean_n <= 0.0:
        return
    for bands, width_mm in ((1.0, THIN), (0.0, HAIR), (-1.0, THIN)):
        pen.draw(Disc(ring.x_mm, ring.y_mm, ring.radius_mm(side, bands), width_mm))
    share = chart.band_percent / 100.0
    target = (chart.target_n[side] / mean_n - 1.0) / share
    if abs(target) <= _BANDS:
        radius_mm = ring.radius_mm(side, target)
        pen.draw(Disc(ring.x_mm, ring.y_mm, radius_mm, BOLD, dash_mm=_TARGET_DASH))
    stop = (chart.stop_n / mean_n - 1.0) / share
    if abs(stop) <= _BANDS:
        pen.draw(Disc(ring.x_mm, ring.y_mm, ring.radius_mm(side, stop), HEAVY, dash_mm=_STOP_DASH))


def _spoke(pen: Pen, ring: _Ring, chart: TensionRound, hole: int) -> None:
    side, off, count = chart.sides[hole - 1], chart.bands_off(hole), len(chart.sides)
    turn_rad = (hole - 0.5) * 2.0 * pi / count
    outside = chart.outside(hole)
    size = min(2.4, 0.052 * ring.r_mm, 1.2 * 2.0 * pi * ring.middle_mm(side) / count)
    if off is None:
        _unread(pen, ring.at(ring.middle_mm(side), turn_rad), size)
    else:
        place = ring.at(ring.radius_mm(side, off), turn_rad)
        foot = ring.at(ring.middle_mm(side), turn_rad)
        pen.lines([(*foot, *place)], THIN)
        _mark(pen, place, size, side, full=outside)
        if abs(off) > _BANDS:
            outward = turn_rad if off > 0.0 else turn_rad + pi
            beyond_mm = ring.radius_mm(side, off) + (1.1 if off > 0.0 else -1.1) * size
            pen.draw(arrow_head(*ring.at(beyond_mm, turn_rad), outward, 0.8 * size))
    _label(pen, ring, chart, hole, turn_rad)


def _mark(pen: Pen, place: Point, size: float, side: Side, *, full: bool) -> None:
    x_mm, y_mm = place
    fill = "black" if full else "white"
    if side == "left":
        pen.draw(Disc(x_mm, y_mm, size / 2.0, THIN, fill))
    else:
        half = 0.46 * size
        pen.draw(Box(x_mm - half, y_mm - half, 2.0 * half, 2.0 * half, THIN, fill))


def _unread(pen: Pen, place: Point, size: float) -> None:
    x_mm, y_mm = place
    half = size / 2.0
    pen.lines(
        [
            (x_mm - half, y_mm - half, x_mm + half, y_mm + half),
            (x_mm - half, y_mm + half, x_mm + half, y_mm - half),
        ],
        BOLD,
    )


def _label(pen: Pen, ring: _Ring, chart: TensionRound, hole: int, turn_rad: float) -> None:
    """The hole's number outside both lanes, in its side's shape; white on black where it is outside."""
    side, outside = chart.sides[hole - 1], chart.outside(hole)
    radius_mm = _LABELS * ring.r_mm
    size = min(LETTER, 0.075 * ring.r_mm, 0.54 * 2.0 * pi * radius_mm / len(chart.sides))
    x_mm, y_mm = ring.at(radius_mm, turn_rad)
    if outside:
        _mark(pen, (x_mm, y_mm), 1.75 * size, side, full=True)
    face: Face = "bold" if outside else "plain"
    pen.say(x_mm, y_mm + capital(size) / 2.0, str(hole), size, face, "middle", white=outside)


def _valve(pen: Pen, ring: _Ring) -> None:
    """The valve's mark above, pointing at the gap between the last hole and the first."""
    tip = ring.at(0.88 * ring.r_mm, 0.0)
    wing = 0.025 * ring.r_mm
    top_mm = ring.y_mm - ring.r_mm
    pen.draw(
        Outline((tip, (tip[0] - wing, top_mm), (tip[0] + wing, top_mm)), 0.0, fill="black"),
        Strokes(tuple(_zero_line(ring)), HAIR),
    )


def _zero_line(ring: _Ring) -> Iterator[tuple[float, float, float, float]]:
    for side in SIDES:
        inner = ring.at(ring.radius_mm(side, -_BANDS), 0.0)
        outer = ring.at(ring.radius_mm(side, _BANDS), 0.0)
        yield (*inner, *outer)

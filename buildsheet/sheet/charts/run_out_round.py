"""Run-out round the wheel: the rim rolled out flat from valve to valve, sideways and up and down.

Each strip has the allowed full reading as a channel about the middle of what was read; the rim's line
has to stay inside. Where a run-out was read as one figure, the strip says so and draws nothing: nobody
knows where on the wheel it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from buildsheet.sheet.charts.bars import LETTER, PHONE_MM
from buildsheet.sheet.fonts import width_share
from buildsheet.sheet.ink.svg import svg_text
from buildsheet.sheet.layout.paper import Area
from buildsheet.sheet.layout.pen import BOLD, FINE, HAIR, THIN, Pen, capital
from buildsheet.sheet.layout.primitives import Disc, Outline, Page, Strokes

WIDTH_MM: Final = PHONE_MM
STRIP_MM: Final = 46.0
_CHANNEL: Final = 0.55
"""Height of the channel over the strip's, unless the line needs more room."""

_APART_MM: Final = 2.2
"""Closer than that, marks would hide the line."""


@dataclass(frozen=True, slots=True)
class _Letters:
    """How large a strip's words are, in how many lines, and the room that they take above and below."""

    words_mm: float
    floor_mm: float
    lines: int
    small_mm: float
    named_mm: float
    head_mm: float
    foot_mm: float


_PAPER: Final = _Letters(3.4, 2.2, 1, 0.8 * FINE, FINE, 6.0, 5.0)
_SCREEN: Final = _Letters(LETTER, LETTER, 2, LETTER, LETTER, 11.0, 6.0)


@dataclass(frozen=True, slots=True)
class RunOutStrip:
    """One run-out. ``by_hole_mm`` are readings at the holes (None: not read there), () where it was read
    as one figure or not at all; ``full_mm`` is the full reading, None where there is none."""

    name: str
    up: str
    down: str
    by_hole_mm: tuple[float | None, ...]
    full_mm: float | None
    allowed_mm: float

    @property
    def says(self) -> str:
        """The strip in words."""
        if self.full_mm is None:
            return f"{self.name}: not recorded"
        said = f"{self.name}: {self.full_mm:.2f} mm full reading, {self.allowed_mm:.2f} allowed"
        return said if self.by_hole_mm else f"{said}; read as one figure, where is not recorded"


def run_out_round_svg(strips: tuple[RunOutStrip, ...], css_class: str = "") -> str:
    """The strips as one ``svg`` element."""
    return svg_text(run_out_round(strips), css_class)


def run_out_round(strips: tuple[RunOutStrip, ...]) -> Page:
    """The strips below each other."""
    pen, y_mm = Pen(), 1.0
    for each in strips:
        high_mm = STRIP_MM if each.by_hole_mm else _SCREEN.head_mm
        _strip(pen, each, Area(2.0, y_mm, WIDTH_MM - 4.0, high_mm), _SCREEN)
        y_mm += high_mm + 3.0
    title = "Run-out round the wheel. " + ". ".join(each.says for each in strips)
    return Page(WIDTH_MM, y_mm, title, tuple(pen.ink))


def draw_strip(pen: Pen, strip: RunOutStrip, area: Area) -> None:
    """One strip on paper: its words above, the rim's line, hole numbers below."""
    _strip(pen, strip, area, _PAPER)


def _strip(pen: Pen, strip: RunOutStrip, area: Area, letters: _Letters) -> None:
    words_mm, floor_mm = letters.words_mm, letters.floor_mm
    pen.fitted(area.x, area.y, area.w, strip.says, words_mm, "bold", floor_mm, letters.lines)
    read = [each for each in strip.by_hole_mm if each is not None]
    if not read:
        return
    high_mm = area.h - letters.head_mm - letters.foot_mm
    frame = Area(area.x, area.y + letters.head_mm, area.w, high_mm)
    middle_mm = (max(read) + min(read)) / 2.0
    reach_mm = max(strip.allowed_mm / 2.0 / _CHANNEL, 1.08 * (max(read) - min(read)) / 2.0)
    line = _Line(frame, len(strip.by_hole_mm), middle_mm, reach_mm, letters)
    _channel(pen, strip, line)
    _rim(pen, strip, line)
    _ends(pen, strip, line)


@dataclass(frozen=True, slots=True)
class _Line:
    """From hole and reading to paper."""

    frame: Area
    holes: int
    middle_mm: float
    reach_mm: float
    letters: _Letters

    def x(self, hole: float) -> float:
        return self.frame.x + (hole - 0.5) / self.holes * self.frame.w

    def y(self, read_mm: float) -> float:
        half = self.frame.h / 2.0
        return self.frame.y + half * (1.0 - (read_mm - self.middle_mm) / self.reach_mm)


def _channel(pen: Pen, strip: RunOutStrip, line: _Line) -> None:
    frame, half_mm = line.frame, strip.allowed_mm / 2.0
    for off_mm, width_mm in ((half_mm, BOLD), (0.0, HAIR), (-half_mm, BOLD)):
        y = line.y(line.middle_mm + off_mm)
        pen.lines([(frame.x, y, frame.right, y)], width_mm)
    ends = (
        (frame.x, frame.y, frame.x, frame.bottom),
        (frame.right, frame.y, frame.right, frame.bottom),
    )
    pen.draw(Strokes(ends, THIN))
    small_mm = line.letters.small_mm
    pen.say(frame.x + 1.0, frame.y + capital(small_mm) + 0.6, strip.up, small_mm)
    pen.say(frame.x + 1.0, frame.bottom - 0.6, strip.down, small_mm)


def _rim(pen: Pen, strip: RunOutStrip, line: _Line) -> None:
    """The rim's line from hole to hole; a gap where a hole was not read."""
    here: list[tuple[float, float]] = []
    for hole, read_mm in enumerate((*strip.by_hole_mm, None), start=1):
        if read_mm is not None:
            here.append((line.x(hole), line.y(read_mm)))
            continue
        if len(here) > 1:
            pen.draw(Outline(tuple(here), BOLD, closed=False))
        here = []
    half_mm, crowded = strip.allowed_mm / 2.0, line.frame.w / line.holes < _APART_MM
    for hole, read_mm in enumerate(strip.by_hole_mm, start=1):
        if read_mm is not None:
            outside = abs(read_mm - line.middle_mm) > half_mm + 1e-9
            fill = "black" if outside else "white"
            if crowded and not outside:
                continue
            radius = 1.1 if outside else 0.7
            pen.draw(Disc(line.x(hole), line.y(read_mm), radius, THIN, fill))


def _ends(pen: Pen, strip: RunOutStrip, line: _Line) -> None:
    """Hole numbers, and the highest and the lowest place by number."""
    read = [(mm, hole) for hole, mm in enumerate(strip.by_hole_mm, start=1) if mm is not None]
    named = sorted({max(read)[1], min(read)[1]})
    size, named_mm = line.letters.small_mm, line.letters.named_mm
    widest_mm = size * width_share(str(line.holes), "plain") + 0.4
    step = max(1, ceil(line.holes * widest_mm / line.frame.w))
    y = line.frame.bottom + line.letters.foot_mm - 1.0
    taken: list[tuple[float, float]] = []
    for each in _groups(named, line):
        text = " ".join(str(hole) for hole in each)
        half = width_share(text, "bold") * named_mm / 2.0
        x = min(line.x(sum(each) / len(each)), line.frame.right - half)
        x = max(x, line.frame.x + half)
        pen.say(x, y, text, named_mm, "bold", "middle")
        taken.append((x - half, x + half))
    for hole in range(1, line.holes + 1, step):
        x, half = line.x(hole), width_share(str(hole), "plain") * size / 2.0 + 0.2
        if not any(x - half < right and x + half > left for left, right in taken):
            pen.say(x, y, str(hole), size, align="middle")


def _groups(named: list[int], line: _Line) -> list[list[int]]:
    """Both in one where their numbers would stand on each other."""
    first, last = named[0], named[-1]
    close = line.x(last) - line.x(first) < 1.36 * line.letters.named_mm
    return [named] if first == last or close else [[first], [last]]

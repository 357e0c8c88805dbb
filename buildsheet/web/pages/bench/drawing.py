"""The wheel as the stand draws it: every spoke, its hole, its reading, its place in the band.

Seen from the right side, valve on top, holes clockwise. Places are in the drawing's own units, origin in
the hub, y downward as in every picture of the web. Right-side readings stand outside the rim, left-side
readings inside (`labels_round`). A spoke's mark rides on it: farther out is tighter; its shape says where
it stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, sin
from typing import Final, Literal

from buildsheet.bench.figures import Forces
from buildsheet.bench.task import Task
from buildsheet.web.pages.bench.labels_round import RIM, number_boxes, reading_boxes
from buildsheet.wheel.spec import Side, Sides

Mark = Literal["unread", "low", "in", "high", "above"]

HUB: Final = 26.0
MIDDLE: Final = 78.0
SWING: Final = 30.0
"""How far a mark moves for `FULL_SHARE` off."""

FULL_SHARE: Final = 0.2

WORDS: Final[dict[Mark, str]] = {
    "unread": "not read",
    "low": "low",
    "in": "in the band",
    "high": "high",
    "above": "above stop",
}


@dataclass(frozen=True, slots=True)
class Place:
    """A point of the drawing."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class DrawnSpoke:
    """One spoke. ``shown`` is its reading in newtons, "" where there is none; ``off_percent`` how far it
    lies from the middle of the band."""

    hole: int
    side: Side
    angle_deg: float
    hub: Place
    rim: Place
    number: Place
    label: Place
    mark: Mark
    at: Place
    shown: str
    off_percent: float | None


@dataclass(frozen=True, slots=True)
class Drawing:
    """``band`` are the radii of the band's edges, ``rim`` those of the rim; ``of_mean`` whether the band's
    middle is each side's mean, and not the target."""

    spokes: tuple[DrawnSpoke, ...]
    middle: float
    band: tuple[float, float]
    of_mean: bool
    swing: float = SWING
    rim: tuple[float, float] = RIM

    @property
    def counts(self) -> dict[Mark, int]:
        """How many spokes carry each mark."""
        marks = [each.mark for each in self.spokes]
        return {mark: marks.count(mark) for mark in WORDS}


def draw(task: Task, forces: Forces | None, means_n: Sides[float] | None) -> Drawing:
    """The wheel with these forces by hole; None where nothing was read."""
    band = task.house.tension.band_percent / 100.0
    middle_n = means_n or task.target_n
    angles = [each.rim_angle_rad for each in task.lacing]
    numbers, readings = number_boxes(angles), reading_boxes(angles, task.sides)
    spokes = []
    for place, each in enumerate(task.lacing):
        force_n = forces[place] if forces else None
        share = None if force_n is None else force_n / middle_n[each.side] - 1.0
        angle, number, reading = angles[place], numbers[place], readings[place]
        spokes.append(
            DrawnSpoke(
                hole=each.hole,
                side=each.side,
                angle_deg=degrees(angle),
                hub=_at(angle, HUB),
                rim=_at(angle, RIM[0]),
                number=Place(number.x, number.y),
                label=Place(reading.x, reading.y),
                mark=mark_of(force_n, middle_n[each.side], band, task.stop_n),
                at=_at(angle, radius(share)),
                shown="" if force_n is None else f"{force_n:.0f}",
                off_percent=None if share is None else 100.0 * share,
            )
        )
    edges = radius(-band), radius(band)
    return Drawing(tuple(spokes), MIDDLE, edges, of_mean=means_n is not None)


def mark_of(force_n: float | None, middle_n: float, band_share: float, stop_n: float) -> Mark:
    """Where a spoke stands.

    >>> mark_of(1215.0, 1150.0, 0.08, 1210.0), mark_of(690.0, 766.0, 0.08, 1210.0)
    ('above', 'low')
    """
    if force_n is None:
        return "unread"
    if force_n > stop_n:
        return "above"
    share = force_n / middle_n - 1.0
    if abs(share) <= band_share + 1e-9:
        return "in"
    return "low" if share < 0.0 else "high"


def radius(share: float | None) -> float:
    """How far from the hub a mark stands; at the middle where nothing was read.

    >>> radius(None), radius(0.1), radius(-0.5)
    (78.0, 93.0, 48.0)
    """
    if share is None:
        return MIDDLE
    return MIDDLE + SWING * max(-1.0, min(1.0, share / FULL_SHARE))


def _at(angle_rad: float, radius_of: float) -> Place:
    return Place(round(radius_of * sin(angle_rad), 1), round(-radius_of * cos(angle_rad), 1))

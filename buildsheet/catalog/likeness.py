"""Sense between like parts: a straight-pull hub whose spokes would be of quite another length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot, sqrt
from statistics import median
from typing import Final

from buildsheet.catalog.faults import Place, fault
from buildsheet.catalog.parts import Hub, StraightPullSeats
from buildsheet.findings import Finding

ALIKE_MM: Final = 20.0
"""How far the spoke of one straight-pull hub may be from that of its like [trade figure, no source]."""

RIM_RADIUS_MM: Final = 288.0
"""Half an effective rim diameter to compare hubs on [own choice: a rim of some 33 mm depth]."""


def likeness_faults(hubs: Mapping[str, Hub]) -> Iterator[Finding]:
    """Every straight-pull side whose spoke is not within 20 mm of the middle one of the other hubs for
    the same place. Of two hubs that disagree both are named: which is wrong is not known."""
    for position in ("front", "rear"):
        like = [each for each in hubs.values() if each.left_seats and each.position == position]
        for hub in like:
            others = [each for each in like if each is not hub]
            for key in ("left_seats", "right_seats"):
                yield from _unlike(hub, key, others)


def _unlike(hub: Hub, key: str, others: list[Hub]) -> Iterator[Finding]:
    seats = getattr(hub, key)
    lengths_mm = [length_mm(getattr(each, key)) for each in others if getattr(each, key)]
    if seats is None or not lengths_mm:
        return
    own_mm, usual_mm = length_mm(seats), median(lengths_mm)
    if abs(own_mm - usual_mm) > ALIKE_MM:
        yield fault(
            "data.implausible",
            Place("parts/hubs.toml", (hub.code, key)),
            f"on a rim of {2.0 * RIM_RADIUS_MM:g} its spoke would have {own_mm:.0f} mm, that of the other "
            f"straight-pull {hub.position} hubs has {usual_mm:.0f}, within {ALIKE_MM:g}.",
            have={"length_mm": round(own_mm, 1)},
            need={"about_mm": round(usual_mm, 1), "within_mm": ALIKE_MM},
            also=[Place("parts/hubs.toml", (each.code, key)) for each in others],
        )


def length_mm(seats: StraightPullSeats) -> float:
    """The spoke from its seat to `RIM_RADIUS_MM`: own derivation, plane triangles."""
    along_mm = sqrt(RIM_RADIUS_MM**2 - seats.line_from_axis_mm**2) - seats.seat_ahead_mm
    return hypot(along_mm, seats.from_centre_mm)

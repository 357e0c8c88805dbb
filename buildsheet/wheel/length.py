"""Spoke lengths: the exact geometry, what tension stretches, how far the rim shrinks, the length to
make.

A J-bend is measured from the inside of its bend, a straight-pull from under its head, both to the
tip of the thread [encyclopedia article "Spoke", read; straight-pull: common practice].
"""

from __future__ import annotations

from math import cos, fsum, hypot, pi, sqrt

from buildsheet.errors import CannotCompute
from buildsheet.wheel.groups import SpokeGroup
from buildsheet.wheel.spec import Side, Sides, SpokeSection, SpokeSideSpec, WheelSpec
from buildsheet.wheel.wrap import rim_radius_mm, seat_correction_mm

_MPA_PER_GPA = 1000.0
_SHARES_ADD_TO_ONE = 1e-6


def j_bend_mm(
    from_centre_mm: float,
    hub_radius_mm: float,
    rim_radius_mm: float,
    wrap_rad: float,
    hole_mm: float = 0.0,
) -> float:
    """Exact length of a J-bend spoke [encyclopedia article "Spoke", read].

    >>> j_bend_mm(0.0, 20.0, 300.0, 0.0, hole_mm=2.0)
    279.0
    """
    # d axial, r1 hub, r2 rim: the law of cosines in the plane, Pythagoras along the axle
    d, r1, r2 = from_centre_mm, hub_radius_mm, rim_radius_mm
    return sqrt(d * d + r1 * r1 + r2 * r2 - 2.0 * r1 * r2 * cos(wrap_rad)) - hole_mm / 2.0


def straight_pull_mm(
    from_centre_mm: float, line_from_axis_mm: float, seat_ahead_mm: float, rim_radius_mm: float
) -> float:
    """Exact length of a straight-pull spoke (own derivation, plane geometry).

    The seat lies ``seat_ahead_mm`` toward the rim from the point where the spoke's line is nearest
    the axis; negative is behind it.

    >>> straight_pull_mm(0.0, 30.0, 10.0, 50.0)
    30.0
    """
    if not 0.0 <= line_from_axis_mm < rim_radius_mm:
        raise CannotCompute(
            f"a line {line_from_axis_mm:g} mm from the axis misses a rim of {rim_radius_mm:g} mm"
        )
    in_plane = sqrt(rim_radius_mm**2 - line_from_axis_mm**2) - seat_ahead_mm
    return hypot(in_plane, from_centre_mm)


def exact_lengths_mm(
    spec: WheelSpec, groups: tuple[SpokeGroup, ...], side: Side
) -> tuple[float, float, float]:
    """Mean, shortest and longest exact length on one side; all the same for the usual wheel."""
    correction = seat_correction_mm(spec.hub[side])
    own = [group for group in groups if group.side == side]
    lengths = [group.reach_mm - correction for group in own]
    if len(own) == 1 or lengths[0] == lengths[1]:
        return lengths[0], lengths[0], lengths[0]
    weighted = fsum(group.count * length for group, length in zip(own, lengths, strict=True))
    return weighted / spec.spokes[side].count, min(lengths), max(lengths)


def stretch_mm(tension_n: float, length_mm: float, spokes: SpokeSideSpec) -> float:
    """How much longer a spoke gets under tension: its sections are springs in series.

    Raises CannotCompute where a section or the modulus is not positive or the shares do not add to
    1.
    """
    return tension_n * length_mm * _give_per_n(spokes.sections, spokes.modulus_gpa)


def axial_stiffness_n(spokes: SpokeSideSpec) -> float:
    """EA of one uniform spoke that stretches as much as this one: force over strain."""
    return 1.0 / _give_per_n(spokes.sections, spokes.modulus_gpa)


def mean_area_mm2(sections: tuple[SpokeSection, ...]) -> float:
    """Cross-section averaged along the spoke's length: the one that gives its mass.

    >>> mean_area_mm2((SpokeSection(3.0, 0.25), SpokeSection(2.0, 0.75)))
    2.25
    """
    return sum(section.area_mm2 * section.share for section in sections)


def rim_shrink_mm(
    spec: WheelSpec, groups: tuple[SpokeGroup, ...], tension_n: Sides[float]
) -> float:
    """How far every rim hole moves toward the hub, along the radius, under all the spokes' tension.

    v = R^2 Tbar / EA with Tbar = sum(T c2) / (2 pi R) [M. Ford, thesis, 2018, read]. R is the
    section's radius, or half the effective rim diameter where that is not given. 0 where the rim's
    EA is absent.
    """
    stiffness = spec.rim.axial_stiffness_n
    if stiffness is None:
        return 0.0
    if not stiffness > 0.0:
        raise CannotCompute(f"a rim's axial stiffness must be positive, not {stiffness:g} N")
    given = spec.rim.section_radius_mm
    radius = rim_radius_mm(spec) if given is None else given
    inward_n = sum(g.count * g.inward_cosine * tension_n[g.side] for g in groups)
    return radius * inward_n / (2.0 * pi * stiffness)


def along_spoke(groups: tuple[SpokeGroup, ...], side: Side) -> float:
    """Mean share of an inward movement of the rim that one side's spokes see along themselves."""
    own = [group for group in groups if group.side == side]
    return sum(g.count * g.inward_cosine for g in own) / sum(g.count for g in own)


def _give_per_n(sections: tuple[SpokeSection, ...], modulus_gpa: float) -> float:
    """Strain per newton, averaged over the spoke's length."""
    shares = sum(section.share for section in sections)
    positive = all(section.area_mm2 > 0.0 and section.share >= 0.0 for section in sections)
    if not (positive and modulus_gpa > 0.0 and abs(shares - 1.0) <= _SHARES_ADD_TO_ONE):
        raise CannotCompute(
            "a spoke needs a positive modulus, positive areas and shares that add to 1; "
            f"got {modulus_gpa:g} GPa and {[(s.area_mm2, s.share) for s in sections]}"
        )
    per_modulus = sum(section.share / section.area_mm2 for section in sections)
    return per_modulus / (modulus_gpa * _MPA_PER_GPA)

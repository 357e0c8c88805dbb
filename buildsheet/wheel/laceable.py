"""Whether a hub and a rim can be joined by spokes at all, and if not, what would fit.

Only what is impossible is refused here. What is possible but unwise (a spoke close to the next
head, a radial hub that its maker does not release) is measured in `wrap` and judged elsewhere.
"""

from __future__ import annotations

from math import degrees, isfinite

from buildsheet.errors import CannotLace
from buildsheet.wheel.groups import SpokeGroup, is_radial
from buildsheet.wheel.spec import SIDES, FlangeSide, Side, StraightPullSide, WheelSpec
from buildsheet.wheel.wrap import (
    crossings_of,
    most_crossings,
    rim_radius_mm,
    seat_correction_mm,
    seat_radius_mm,
    tangent_deg,
    wrap_deg,
)

_ROUNDING_DEG = 1e-9


def require_laceable(spec: WheelSpec) -> None:
    """Raise CannotLace for the first thing that makes the wheel impossible; ``need`` is what would
    fit."""
    _require_counts(spec)
    _require_split(spec)
    _require_pairs(spec)
    for side in SIDES:
        _require_sizes(spec, side)
        _require_pattern(spec, side)
        _require_short_of_tangent(spec, side, wrap_deg(spec, side))


def require_short_of_tangent(spec: WheelSpec, groups: tuple[SpokeGroup, ...]) -> None:
    """Raise CannotLace where the turned hub brings a group past the tangent to its own flange."""
    for group in groups:
        _require_short_of_tangent(spec, group.side, degrees(abs(group.wrap_rad)))


def _require_counts(spec: WheelSpec) -> None:
    left, right = spec.spokes.left.count, spec.spokes.right.count
    if left < 1 or right < 1 or left + right != spec.rim.holes:
        raise CannotLace(
            "count",
            f"{left} left and {right} right spokes do not fill {spec.rim.holes} rim holes",
            have={"left": left, "right": right, "holes": spec.rim.holes},
            need={"holes": left + right},
        )


def _require_split(spec: WheelSpec) -> None:
    left, right = spec.spokes.left.count, spec.spokes.right.count
    if left in (right, 2 * right) or right == 2 * left:
        return
    raise CannotLace(
        "split",
        f"{left} left and {right} right spokes are neither one to one nor two to one",
        have={"left": left, "right": right},
        need={"left_to_right": ["1:1", "2:1", "1:2"]},
    )


def _require_pairs(spec: WheelSpec) -> None:
    shift = spec.rim.pair_shift_deg
    if shift == 0.0:
        return
    if spec.spokes.left.count != spec.spokes.right.count:
        raise CannotLace(
            "pairs-in-threes",
            "rim holes drilled two to one stand in groups of three and cannot be paired as well",
            have={"pair_shift_deg": shift},
            need={"pair_shift_deg": 0.0},
        )
    half_pitch = 180.0 / spec.rim.holes
    if not abs(shift) < half_pitch:
        raise CannotLace(
            "pairs-collide",
            f"moved by {shift:g} degrees toward each other, paired rim holes run into one another",
            have={"pair_shift_deg": shift},
            need={"below_deg": half_pitch},
        )


def _require_sizes(spec: WheelSpec, side: Side) -> None:
    hub_side, rim_radius = spec.hub[side], rim_radius_mm(spec)
    radius = seat_radius_mm(hub_side)
    line = hub_side.line_from_axis_mm if isinstance(hub_side, StraightPullSide) else 0.0
    # a line through the axis has its seat on the rim's side of it
    ahead = not isinstance(hub_side, StraightPullSide) or line > 0.0 or hub_side.seat_ahead_mm > 0.0
    sizes = (rim_radius, radius, line, hub_side.from_centre_mm, seat_correction_mm(hub_side))
    finite = all(isfinite(size) for size in sizes)
    seated = 0.0 < radius < rim_radius and 0.0 <= seat_correction_mm(hub_side) < radius
    if finite and ahead and seated and line >= 0.0:
        return
    raise CannotLace(
        "sizes",
        f"{side} seats {radius:g} mm from the axis do not suit a rim of {rim_radius:g} mm radius",
        have={"side": side, "seat_radius_mm": radius, "rim_radius_mm": rim_radius},
        need={"seat_radius_mm": "above 0 and below the rim radius"},
    )


def _require_pattern(spec: WheelSpec, side: Side) -> None:
    hub_side, spokes = spec.hub[side], spec.spokes[side]
    if isinstance(hub_side, FlangeSide) and (spokes.crossings is None or spokes.crossings < 0):
        raise CannotLace(
            "no-pattern",
            f"the {side} flange leaves the pattern open: a crossing count from 0 is needed",
            have={"side": side, "crossings": spokes.crossings},
            need={"most_crossings": most_crossings(spec, side, 0.0)},
        )
    if isinstance(hub_side, StraightPullSide):
        dictated = crossings_of(spec, side)
        if spokes.crossings not in (None, dictated):
            raise CannotLace(
                "fixed-pattern",
                f"the {side} straight-pull seats dictate {dictated} crossings",
                have={"side": side, "crossings": spokes.crossings},
                need={"crossings": dictated},
            )
    if spokes.count % 2 and not is_radial(spec, side):
        raise CannotLace(
            "odd-count",
            f"{spokes.count} spokes on the {side} do not halve into trailing and leading ones",
            have={"side": side, "count": spokes.count, "crossings": spokes.crossings},
            need={"most_crossings": 0, "counts": [spokes.count - 1, spokes.count + 1]},
        )


def _require_short_of_tangent(spec: WheelSpec, side: Side, degrees_wrapped: float) -> None:
    """A flange's limit only: a straight-pull seat has no hole that its own line could pass over."""
    if isinstance(spec.hub[side], StraightPullSide):
        return
    limit = tangent_deg(spec, side)
    if degrees_wrapped <= limit + _ROUNDING_DEG:
        return
    # a turned hub wraps further than the pattern alone: never offer what is being refused
    refused = spec.spokes[side].crossings or 0
    fits = max(0, min(most_crossings(spec, side, 0.0), refused - 1))
    raise CannotLace(
        "past-tangent",
        f"{spec.spokes[side].crossings} crossings of {spec.spokes[side].count} spokes wrap "
        f"{degrees_wrapped:.1f} degrees round the {side} flange, which is tangent at {limit:.1f}: "
        f"the spoke would run over its own hub hole; at most {fits}",
        have={
            "side": side,
            "crossings": spec.spokes[side].crossings,
            "wrap_deg": degrees_wrapped,
        },
        need={"most_crossings": fits, "tangent_deg": limit},
    )

"""The wheel as the structure sees it: plain arrays, one row a rim hole in clockwise order.

Nothing here knows of lacing rules or length formulas: whoever has rim angles, spoke directions,
lengths and stiffnesses (a planned wheel, a published one, a random one in a test) can be computed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.structure.arc import Floats, RimSection

TWO_PI = 2.0 * np.pi
_SAME = 1e-9
"""Relative difference below which two rows count as the same spoke turned on: rounding, no more."""


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """A laced, tensioned wheel on a rigid, fixed hub.

    ``rim_angle_rad`` (N,) ascending clockwise from the valve; ``direction`` (N, 3) unit vectors from
    the rim's hole to the hub in the frame of the hole (lateral, radial outward, tangential);
    ``length_mm`` (N,) between the attached ends; ``axial_n`` (N,) is EA of a spoke;
    ``mean_tension_n`` of all spokes, 0 for a wheel without prestress; ``pattern`` (N,) tension of each
    spoke over the mean of all, so that the wheel stays in balance. The spokes attach ``arm_mm`` inside
    the circle on which the section acts and ``side_arm_mm`` to the right of its plane, on rigid arms:
    with an offset bed the section is taken to lie in the wheel's middle plane, under the tyre.
    """

    section: RimSection
    arm_mm: float
    side_arm_mm: float
    rim_angle_rad: Floats
    direction: Floats
    length_mm: Floats
    axial_n: Floats
    pattern: Floats
    mean_tension_n: float

    def __post_init__(self) -> None:
        count = len(self.rim_angle_rad)
        if count < 3 or self.direction.shape != (count, 3):
            raise CannotCompute("a wheel needs at least three spokes, each with one direction")
        if np.any(self.arc_rad <= 0.0):
            raise CannotCompute("rim holes must be given once each, in clockwise order")

    @property
    def count(self) -> int:
        """How many spokes."""
        return len(self.rim_angle_rad)

    @property
    def tension_n(self) -> Floats:
        """Planned tension of every spoke, (N,)."""
        return self.mean_tension_n * self.pattern

    @property
    def stiffness_n_per_mm(self) -> Floats:
        """EA over length of every spoke, (N,)."""
        return self.axial_n / self.length_mm

    @property
    def arc_rad(self) -> Floats:
        """From each hole to the next one clockwise, (N,)."""
        angles = self.rim_angle_rad
        return np.diff(angles, append=angles[0] + TWO_PI)

    @property
    def compression_per_newton(self) -> float:
        """Hoop compression of the rim for one newton of mean spoke tension [Ford 2018 ch. tension
        buckling, crediting Sharp 1896; read]: the inward pull summed round the rim over 2 pi."""
        return float(-(self.pattern * self.direction[:, 1]).sum() / TWO_PI)

    @property
    def period(self) -> int:
        """The fewest holes after which the wheel repeats itself (N where it never does)."""
        lengths, stiffnesses = self.length_mm, self.axial_n
        rows = np.column_stack(
            [
                self.arc_rad,
                self.direction,
                lengths / lengths.max(),
                stiffnesses / stiffnesses.max(),
                self.pattern,
            ]
        )
        for period in range(1, self.count // 2 + 1):
            if self.count % period:
                continue
            if np.abs(rows[period:] - rows[:-period]).max() < _SAME:
                return period
        return self.count

    def tensioned(self, mean_tension_n: float) -> Layout:
        """The same wheel at another mean tension, sides in the same balance."""
        return replace(self, mean_tension_n=mean_tension_n)


def between_points(
    section: RimSection,
    *,
    attach_radius_mm: float,
    rim_angle_rad: Floats,
    bed_offset_mm: float = 0.0,
    hub_point_mm: Floats,
    axial_n: Floats,
    tension_n: Floats | None = None,
    pattern: Floats | None = None,
) -> Layout:
    """A layout from where the spokes end.

    ``hub_point_mm`` (N, 3) is in the axes of `buildsheet.wheel`. ``pattern``
    says how the tensions stand to one another where ``tension_n`` is absent; absent too: all alike.
    Raises CannotCompute for a spoke of no length.
    """
    sine, cosine = np.sin(rim_angle_rad), np.cos(rim_angle_rad)
    radial = hub_point_mm[:, 1] * cosine + hub_point_mm[:, 2] * sine - attach_radius_mm
    tangential = -hub_point_mm[:, 1] * sine + hub_point_mm[:, 2] * cosine
    span = np.column_stack([hub_point_mm[:, 0] - bed_offset_mm, radial, tangential])
    length = np.sqrt((span * span).sum(axis=1))
    if np.any(length <= 0.0):
        raise CannotCompute("a spoke's two ends lie on the same point")
    share = tension_n if tension_n is not None else pattern
    share = np.ones(len(rim_angle_rad)) if share is None else share
    mean = float(tension_n.mean()) if tension_n is not None else 0.0
    if share.mean() <= 0.0:
        share = np.ones(len(rim_angle_rad))
    return Layout(
        section=section,
        arm_mm=section.radius_mm - attach_radius_mm,
        side_arm_mm=bed_offset_mm,
        rim_angle_rad=rim_angle_rad,
        direction=span / length[:, None],
        length_mm=length,
        axial_n=axial_n,
        pattern=share / share.mean(),
        mean_tension_n=mean,
    )

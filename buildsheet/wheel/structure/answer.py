"""The whole structural answer for one wheel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.structure.assembly import Assembled, assembled
from buildsheet.wheel.structure.buckling import Buckling, buckling
from buildsheet.wheel.structure.layout import Layout
from buildsheet.wheel.structure.response import (
    LATERAL,
    RADIAL,
    TANGENTIAL,
    Compliance,
    Influence,
    Load,
    Response,
    SlackLoad,
    compliance,
    influence,
    radial_slack,
    side_slack,
    squeezed,
    under,
)


class BucklesFirst(CannotCompute):
    """The wheel cannot hold its planned tension: the rim leaves its plane below it."""

    def __init__(self, mean_tension_n: float, limit: Buckling) -> None:
        super().__init__(
            f"the rim leaves its plane in {limit.mode} waves at a mean tension of "
            f"{limit.tension_n:.0f} N; the planned mean is {mean_tension_n:.0f} N"
        )
        self.mean_tension_n = mean_tension_n
        self.limit = limit


@dataclass(frozen=True, slots=True)
class StructureFigures:
    """The figures that a plan carries.

    Stiffness is force on the rim's section over its movement under the force, at the softest of all
    holes, with the planned tension. ``buckling_tension_n`` is the mean spoke tension at which the rim
    leaves its plane, in ``buckling_mode`` whole waves. ``slack_load_n`` (inward) and
    ``slack_side_load_n`` (along the axle, either way) take the last tension from the first spoke, on
    the worst hole; 0 for a wheel without tension.
    """

    radial_stiffness_n_per_mm: float
    lateral_stiffness_n_per_mm: float
    torsional_stiffness_n_per_mm: float
    buckling_tension_n: float
    buckling_mode: int
    slack_load_n: float
    slack_side_load_n: float


@dataclass(frozen=True, slots=True, eq=False)
class StructureAnswer:
    """Everything that the structure says of one wheel; arrays are read-only.

    ``stiffness_by_hole_n_per_mm`` (N, 3): lateral, radial, tangential, at every hole.
    """

    layout: Layout
    figures: StructureFigures
    stiffness_by_hole_n_per_mm: Floats
    slack: SlackLoad
    side_slack: SlackLoad
    compliance: Compliance

    @property
    def tension_n(self) -> Floats:
        """Planned tension of every spoke, (N,)."""
        return self.layout.tension_n

    def under(self, loads: Sequence[Load]) -> Response:
        """Movements and spoke changes under loads that act at once."""
        return under(self.compliance, loads)

    def influence(self) -> Influence:
        """What one turn of each nipple does."""
        return influence(self.compliance)

    def left_at_inflation_n(self, squeeze_n_per_mm: float) -> Floats:
        """Tension of every spoke under a tyre's inward line load, (N,)."""
        return self.tension_n + squeezed(self.compliance, squeeze_n_per_mm).spoke_change_n

    def left_under_hoop_force_n(self, hoop_n: float) -> Floats:
        """Tension of every spoke where the tyre's squeeze is given as the compressive hoop force that
        it would put into a rim without spokes, (N,)."""
        return self.left_at_inflation_n(hoop_n / self.layout.section.radius_mm)


def standing(wheel: Assembled) -> Buckling:
    """The tension at which the rim gives way, of a wheel that holds its planned tension.

    Raises BucklesFirst, or CannotCompute for a rim that folds in its own plane first or that nothing
    braces.
    """
    limit, planned_n = buckling(wheel), wheel.layout.mean_tension_n
    if planned_n >= limit.tension_n:
        raise BucklesFirst(planned_n, limit)
    if planned_n >= limit.first_n:
        raise CannotCompute(
            f"the rim folds in its own plane at a mean tension of {limit.first_n:.0f} N; "
            f"the planned mean is {planned_n:.0f} N"
        )
    return limit


def solve_layout(layout: Layout) -> StructureAnswer:
    """The structural answer for plain arrays. Raises BucklesFirst, CannotCompute."""
    wheel = assembled(layout)
    limit = standing(wheel)
    moves = compliance(wheel, layout.mean_tension_n)
    by_hole = np.tile(1.0 / moves.own[:, [LATERAL, RADIAL, TANGENTIAL]], (len(moves.blocks), 1))
    by_hole[:, np.array(moves.freely) != 0.0] = 0.0
    softest = by_hole.min(axis=0)
    radial, side = radial_slack(moves, layout.tension_n), side_slack(moves, layout.tension_n)
    return StructureAnswer(
        layout=layout,
        figures=StructureFigures(
            radial_stiffness_n_per_mm=float(softest[RADIAL]),
            lateral_stiffness_n_per_mm=float(softest[LATERAL]),
            torsional_stiffness_n_per_mm=float(softest[TANGENTIAL]),
            buckling_tension_n=limit.tension_n,
            buckling_mode=limit.mode,
            slack_load_n=radial.load_n,
            slack_side_load_n=side.load_n,
        ),
        stiffness_by_hole_n_per_mm=by_hole,
        slack=radial,
        side_slack=side,
        compliance=moves,
    )

"""Whether a wheel holds its planned tension, for judging many wheels that differ in their spokes only.

The same answer as solving the whole structure, sooner: stiffness and slack loads are not computed, and
a wheel stands where the same wheel with softer spokes and more tension stands. Of two wheels laced
alike, spokes of more EA add stiffness along the same lines and take none away, and what tension takes
from the rim is the same matrix times less tension: ``elastic + tension x per_newton`` is then larger in
every direction [own derivation], so its lowest tension of giving way lies higher.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from buildsheet.errors import CannotCompute
from buildsheet.wheel.length import axial_stiffness_n
from buildsheet.wheel.spec import SIDES, Sides, SpokeSection, SpokeSideSpec, WheelSpec
from buildsheet.wheel.structure.answer import standing
from buildsheet.wheel.structure.assembly import assembled
from buildsheet.wheel.structure.planned import planned_layout

_MPA_PER_GPA = 1000.0


@dataclass(frozen=True, slots=True)
class Softer:
    """The softest spokes (EA in N, either side) and the most tension of the tight side that a family of
    wheels may have."""

    axial_n: float
    tight_side_n: float


def stands(spec: WheelSpec, softer: Softer | None = None) -> bool:
    """True where `solve` has an answer: the rim stays in its plane at the planned tension.

    ``softer``, where given, is asked first, once for all wheels that are laced alike; a wheel that is
    neither as soft nor as tight as it stands with it. Raises CannotLace, and CannotCompute for a wheel
    whose sides do not balance or whose rim has no section.
    """
    return (softer is not None and _stands(_softened(spec, softer))) or _stands(spec)


@lru_cache(maxsize=1024)
def _stands(spec: WheelSpec) -> bool:
    wheel = assembled(planned_layout(spec))
    try:
        standing(wheel)
    except CannotCompute:
        return False
    return True


def _softened(spec: WheelSpec, softer: Softer) -> WheelSpec:
    """The softest and tightest wheel that is laced as this one; what only clearances ask is left out."""
    for side in SIDES:
        if axial_stiffness_n(spec.spokes[side]) < softer.axial_n:
            return spec
    if (spec.tight_side_n or 0.0) > softer.tight_side_n:
        return spec
    sides = (_soft_side(spec.spokes[side], softer.axial_n) for side in SIDES)
    return replace(spec, spokes=Sides(*sides), tight_side_n=softer.tight_side_n)


def _soft_side(spokes: SpokeSideSpec, axial_n: float) -> SpokeSideSpec:
    return SpokeSideSpec(
        count=spokes.count,
        crossings=spokes.crossings,
        sections=(SpokeSection(axial_n / _MPA_PER_GPA),),
        modulus_gpa=1.0,
    )

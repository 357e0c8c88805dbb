"""What one wheel should be, as the readings are judged against."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.catalog.house import House
from buildsheet.plan.build import Computed
from buildsheet.plan.tension import limits
from buildsheet.wheel.spec import LacedSpoke, Side, Sides, WheelSpec


@dataclass(frozen=True, slots=True)
class Task:
    """One wheel under one sheet issue. ``lacing`` goes by hole; ``limit_n`` is the lowest maker's limit
    on a spoke; ``ratio`` is slack over tight as computed. ``bed_offset_mm`` is 0 for a symmetric rim.
    ``rim_serial`` is the rim that went through the gate for this wheel; "" where none did."""

    issue: str
    lacing: tuple[LacedSpoke, ...]
    spokes: Sides[str]
    target_n: Sides[float]
    stop_n: float
    limit_n: float
    tight_side: Side
    ratio: float
    mass_g: float
    bed_offset_mm: float
    spec: WheelSpec
    house: House
    rim_serial: str = ""

    @property
    def sides(self) -> tuple[Side, ...]:
        """The side of every spoke, by hole."""
        return tuple(each.side for each in self.lacing)

    def holes_of(self, side: Side) -> tuple[int, ...]:
        """The rim holes of one side, from the valve on."""
        return tuple(each.hole for each in self.lacing if each.side == side)


def task(computed: Computed, house: House, issue: str) -> Task:
    """The task that a sheet of this issue sets."""
    assembly, plan = computed.assembly, computed.tension
    return Task(
        issue=issue,
        lacing=tuple(sorted(computed.mechanics.lacing.spokes, key=lambda each: each.hole)),
        spokes=Sides(assembly.spokes.left.code, assembly.spokes.right.code),
        target_n=Sides(plan.left_n, plan.right_n),
        stop_n=plan.stop_n,
        limit_n=limits(assembly)[0].limit_n,
        tight_side=plan.tight_side,
        ratio=plan.ratio,
        mass_g=computed.mass_g,
        bed_offset_mm=assembly.bed_offset_mm,
        spec=computed.spec,
        house=house,
    )

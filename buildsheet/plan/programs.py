"""The rim's drilling program for one wheel, and how far the worst spoke leaves its hole's axis."""

from __future__ import annotations

from collections.abc import Iterable

from buildsheet.catalog.parts import DrillingProgram
from buildsheet.plan.assembly import Assembly
from buildsheet.plan.plan import DrillingPlan
from buildsheet.wheel.drilling import misalignment_deg
from buildsheet.wheel.spec import HoleAngle, LacedSpoke, Mechanics


def serving(assembly: Assembly, programs: Iterable[DrillingProgram]) -> tuple[DrillingProgram, ...]:
    """The active programs made for this rim, hole count, wheel position and kind of nipple hole."""
    return tuple(each for each in made_for(assembly, programs) if each.state == "active")


def made_for(
    assembly: Assembly, programs: Iterable[DrillingProgram]
) -> tuple[DrillingProgram, ...]:
    """The programs made for such a wheel, whatever their state."""
    wanted = (assembly.rim.code, assembly.holes, assembly.position, assembly.drilling)
    return tuple(
        each for each in programs if (each.rim, each.holes, each.position, each.drilling) == wanted
    )


def drilling_plan(
    drilling: str, mechanics: Mechanics, programs: tuple[DrillingProgram, ...]
) -> DrillingPlan:
    """Every spoke's direction at its hole, with the program that comes nearest (None where there is
    no program for such a wheel). ``drilling`` is the kind of nipple hole."""
    best: tuple[float, int, DrillingProgram] | None = None
    for program in programs:
        worst_deg, hole = worst_misalignment(program, mechanics)
        if best is None or worst_deg < best[0]:
            best = (worst_deg, hole, program)
    return DrillingPlan(
        program=best[2].code if best else None,
        drilling=drilling,
        holes=mechanics.drilling,
        largest_misalignment_deg=best[0] if best else None,
        worst_hole=best[1] if best else None,
    )


def worst_misalignment(program: DrillingProgram, mechanics: Mechanics) -> tuple[float, int]:
    """The largest angle in degrees between a spoke and its drilled hole, and that hole's number."""
    return max(
        (misalignment_deg(angle, hole_axis(program, spoke, angle)), angle.hole)
        for angle, spoke in zip(mechanics.drilling, mechanics.lacing.spokes, strict=True)
    )


def hole_axis(program: DrillingProgram, spoke: LacedSpoke, leaves: HoleAngle) -> HoleAngle:
    """The drilled axis of one hole: leaning toward its own flange, and along the rim toward its hub
    hole (ahead for a trailing spoke, behind for a leading one).

    A program that leans its holes along the rim leans all of them, whatever spoke comes to sit in them. A
    radial spoke does not say which way its hole was leaned: the way that is farther from how it ``leaves``
    the rim counts.
    """
    away = -1.0 if leaves.in_plane_deg * program.in_plane_deg > 0.0 else 1.0
    along = {"trailing": 1.0, "leading": -1.0, "radial": away}[spoke.run]
    lateral_deg = program.right_lateral_deg if spoke.side == "right" else -program.left_lateral_deg
    return HoleAngle(
        hole=spoke.hole,
        side=spoke.side,
        lateral_deg=lateral_deg,
        in_plane_deg=along * program.in_plane_deg,
    )

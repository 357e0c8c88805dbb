"""A whole wheel in an independent finite-element library, from the same bare dimensions.

PyNiteFEA (general-purpose, from the package registry) knows straight 3-D members and nothing of wheels. The
rim becomes short chords, every spoke a pin-ended member to a fixed point of the hub, the arm from the
section to the spoke's end a member that is stiff beyond notice. Linear, no prestress.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np

from buildsheet.wheel.structure import Layout, Load

CHORDS = 10
"""Straight members from hole to hole: their chords miss the arc by less than 0.01 mm."""

STIFF = 1e3
"""How much stiffer than the rim the arms are."""


@dataclass(frozen=True)
class Reference:
    """Movement (N, 3) lateral, radial outward, tangential, and spoke changes (N,), of the reference."""

    moved_mm: np.ndarray
    spoke_change_n: np.ndarray


@dataclass
class FrameModel:
    """A built model; ``solve`` puts loads on it."""

    layout: Layout
    frame: Any

    def solve(self, load: Load) -> Reference:
        """The wheel under one load."""
        frame, layout = self.frame, self.layout
        angle = layout.rim_angle_rad[load.at_hole - 1]
        node = f"R{(load.at_hole - 1) * CHORDS}"
        radial, tangential = -load.radial_n, load.tangential_n
        frame.add_node_load(node, "FX", load.lateral_n)
        frame.add_node_load(node, "FY", radial * cos(angle) - tangential * sin(angle))
        frame.add_node_load(node, "FZ", radial * sin(angle) + tangential * cos(angle))
        frame.analyze_linear(check_stability=False)
        frame.nodes[node].NodeLoads.clear()
        return Reference(*self._read())

    def _read(self) -> tuple[np.ndarray, np.ndarray]:
        moved, change = [], []
        for hole, angle in enumerate(self.layout.rim_angle_rad):
            node = self.frame.nodes[f"R{hole * CHORDS}"]
            x, y, z = (next(iter(d.values())) for d in (node.DX, node.DY, node.DZ))
            moved.append([x, y * cos(angle) + z * sin(angle), z * cos(angle) - y * sin(angle)])
            spoke = self.frame.members[f"S{hole}"]
            # the library counts compression positive
            change.append(-spoke.axial(spoke.L() / 2.0, "Combo 1"))
        return np.array(moved), np.array(change)


def frame_model(layout: Layout) -> FrameModel:
    """The wheel in the library's words."""
    from Pynite import FEModel3D

    frame = FEModel3D()
    section = layout.section
    # one material of modulus 1: section figures are then stiffnesses
    frame.add_material("unit", 1.0, 1.0, 0.0, 0.0)
    frame.add_section(
        "rim",
        section.axial_n,
        section.lateral_bending_nmm2,
        section.radial_bending_nmm2,
        section.torsion_nmm2,
    )
    stiff = STIFF * max(section.radial_bending_nmm2, section.lateral_bending_nmm2)
    frame.add_section("arm", STIFF * section.axial_n, stiff, stiff, stiff)
    _add_rim(frame, layout)
    for hole in range(layout.count):
        _add_spoke(frame, layout, hole)
    if not np.any(np.abs(layout.direction[:, 2]) > 1e-9):
        # radial spokes let the rim turn about the axle; loads without torque do not push this spring
        frame.def_support_spring("R0", "DZ", 1.0)
    return FrameModel(layout, frame)


def _add_rim(frame: Any, layout: Layout) -> None:
    """Chords round the rim. The library lays a member's local z level (normal to the vertical Y): for
    members in the wheel's plane that is along the axle, so bending in the plane is about local z."""
    radius, holes = layout.section.radius_mm, layout.rim_angle_rad
    after = np.append(holes[1:], holes[0] + 2.0 * np.pi)
    angles = np.concatenate(
        [np.linspace(a, b, CHORDS, endpoint=False) for a, b in zip(holes, after, strict=True)]
    )
    for place, angle in enumerate(angles):
        frame.add_node(f"R{place}", 0.0, radius * cos(angle), radius * sin(angle))
    for place in range(len(angles)):
        name, onward = f"C{place}", f"R{(place + 1) % len(angles)}"
        frame.add_member(name, f"R{place}", onward, "unit", "rim")


def _add_spoke(frame: Any, layout: Layout, hole: int) -> None:
    angle = layout.rim_angle_rad[hole]
    out = np.array([0.0, cos(angle), sin(angle)])
    along = np.array([0.0, -sin(angle), cos(angle)])
    across = np.array([1.0, 0.0, 0.0])
    end = out * (layout.section.radius_mm - layout.arm_mm) + across * layout.side_arm_mm
    line = np.array([across, out, along]).T @ layout.direction[hole]
    start = f"R{hole * CHORDS}"
    if layout.arm_mm or layout.side_arm_mm:
        frame.add_node(f"E{hole}", *map(float, end))
        frame.add_member(f"A{hole}", start, f"E{hole}", "unit", "arm")
        start = f"E{hole}"
    frame.add_node(f"H{hole}", *map(float, end + line * layout.length_mm[hole]))
    frame.def_support(f"H{hole}", True, True, True, True, True, True)
    if f"spoke {layout.axial_n[hole]}" not in frame.sections:
        frame.add_section(f"spoke {layout.axial_n[hole]}", layout.axial_n[hole], 1.0, 1.0, 1.0)
    frame.add_member(f"S{hole}", start, f"H{hole}", "unit", f"spoke {layout.axial_n[hole]}")
    frame.def_releases(f"S{hole}", Ryi=True, Rzi=True, Ryj=True, Rzj=True)

"""Exact stiffness of a circular arc of rim, in the frames that turn with the rim.

A point of the rim has six freedoms, always in this order and in the frame of its own angle:
``u`` lateral, ``v`` radial outward, ``w`` tangential clockwise, then the rotations about those three
axes ``about_x`` (the rim bends in its plane), ``about_r`` (the rim bends sideways), ``about_t`` (the
rim twists). Rotations are counted as if the three axes were right-handed in that order. In the
axes of `buildsheet.wheel` they are left-handed: this is the wheel in a mirror, with the same
movements and forces; only a rotation's sense is mirrored, and no result hands a rotation out.

The stiffness comes from the flexibility of a clamped arc [any text on curved bars; own derivation]:
plane sections, no shear deformation, section small against the radius. It is exact for any arc, so
one element from spoke hole to spoke hole is enough and the answer depends on no mesh.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FREEDOMS: Final = 6
U, V, W, ABOUT_X, ABOUT_R, ABOUT_T = range(FREEDOMS)

_GAUSS_ARC: Final = np.polynomial.legendre.leggauss(10)
_GAUSS_INSIDE: Final = np.polynomial.legendre.leggauss(4)


@dataclass(frozen=True, slots=True)
class RimSection:
    """A rim's section properties in N and mm; ``radius_mm`` is the circle on which they act."""

    radius_mm: float
    axial_n: float
    radial_bending_nmm2: float
    lateral_bending_nmm2: float
    torsion_nmm2: float

    @property
    def compliances(self) -> Floats:
        """1 / (EA, GJ, EI1, EI2), in the order of `_section_forces`."""
        return 1.0 / np.array(
            [
                self.axial_n,
                self.torsion_nmm2,
                self.radial_bending_nmm2,
                self.lateral_bending_nmm2,
            ]
        )


def arc_stiffness(section: RimSection, arcs_rad: Floats) -> Floats:
    """Stiffness (len(arcs), 12, 12) of arcs from their start (first six freedoms) to their end.

    Each end's freedoms are in the frame of that end. N/mm, N and N mm.
    """
    tip = np.linalg.inv(_clamped_flexibility(section, arcs_rad))
    carry = _force_transport(section.radius_mm, arcs_rad)
    turn = _turn(arcs_rad)
    ahead = turn.transpose(0, 2, 1)
    near = carry @ tip @ carry.transpose(0, 2, 1)
    across = -(carry @ tip) @ turn
    whole = np.empty((len(arcs_rad), 2 * FREEDOMS, 2 * FREEDOMS))
    whole[:, :6, :6] = near
    whole[:, :6, 6:] = across
    whole[:, 6:, :6] = across.transpose(0, 2, 1)
    whole[:, 6:, 6:] = ahead @ tip @ turn
    return whole


@dataclass(frozen=True, slots=True)
class Arcs:
    """Everything the assembly needs of each arc; arrays (len(arcs), ...), ends as in `arc_stiffness`.

    ``elastic``: stiffness. ``per_compression``: what one newton of hoop compression takes from it
    (already negative). ``squeeze``: end forces equal to one newton per mm of inward line load.
    """

    elastic: Floats
    per_compression: Floats
    squeeze: Floats


def arcs(section: RimSection, arcs_rad: Floats) -> Arcs:
    """Stiffness, geometric stiffness and consistent line load of arcs that stand for themselves.

    The hoop compression N takes N/2 times the integral of the squared slopes of the rim's line out of
    the strain energy, sideways and in its plane [Timoshenko and Gere, theory of elastic stability,
    from memory; with it a ring under fixed pressure buckles at q = 4 EI1/R3 in its plane and at
    9 mu/(1 + 4 mu) EI2/R3 sideways, as published]. The slopes are those of the exact unloaded arc.
    """
    count, points = len(arcs_rad), len(_GAUSS_INSIDE[0])
    share = (_GAUSS_INSIDE[0] + 1.0) / 2.0
    ahead = np.outer(arcs_rad, share)
    pieces = np.concatenate([arcs_rad, ahead.ravel(), (arcs_rad[:, None] - ahead).ravel()])
    stiffness = arc_stiffness(section, pieces)
    before = stiffness[count : count * (1 + points)]
    after = stiffness[count * (1 + points) :]
    both = np.concatenate([before[:, 6:, :6], after[:, :6, 6:]], axis=2)
    shape = -np.linalg.solve(before[:, 6:, 6:] + after[:, :6, :6], both)
    shape = shape.reshape(count, points, FREEDOMS, 2 * FREEDOMS)
    weight = np.outer(arcs_rad, _GAUSS_INSIDE[1] / 2.0) * section.radius_mm
    slopes = shape[:, :, [ABOUT_X, ABOUT_R], :]
    weighted = slopes * weight[:, :, None, None]
    lost = -np.einsum("aqki,aqkj->aij", weighted, slopes)
    squeeze = -np.einsum("aq,aqi->ai", weight, shape[:, :, V, :])
    return Arcs(stiffness[:count], lost, squeeze)


def _section_forces(radius_mm: float, arcs_rad: Floats, at_rad: Floats) -> Floats:
    """Axial force, torque and both bending moments at ``at_rad`` (arcs, points) along each arc, for
    each of the six unit forces at its end; shape (arcs, points, 4, 6). Frame of the arc's start."""
    sine, cosine = np.sin(at_rad), np.cos(at_rad)
    arm_r = radius_mm * (np.cos(arcs_rad)[:, None] - cosine)
    arm_t = radius_mm * (np.sin(arcs_rad)[:, None] - sine)
    forces = np.zeros((*at_rad.shape, 4, FREEDOMS))
    forces[..., 0, V] = -sine
    forces[..., 0, W] = cosine
    # moment about the section = end moment + arm x end force, arm = (0, arm_r, arm_t)
    forces[..., 1, U] = -sine * arm_t - cosine * arm_r
    forces[..., 1, ABOUT_R] = -sine
    forces[..., 1, ABOUT_T] = cosine
    forces[..., 2, V] = -arm_t
    forces[..., 2, W] = arm_r
    forces[..., 2, ABOUT_X] = 1.0
    forces[..., 3, U] = cosine * arm_t - sine * arm_r
    forces[..., 3, ABOUT_R] = cosine
    forces[..., 3, ABOUT_T] = sine
    return forces


def _clamped_flexibility(section: RimSection, arcs_rad: Floats) -> Floats:
    """Movement of the end of each arc, clamped at its start, per unit end force: (arcs, 6, 6)."""
    node, weight = _GAUSS_ARC
    at = np.outer(arcs_rad, (node + 1.0) / 2.0)
    forces = _section_forces(section.radius_mm, arcs_rad, at)
    length = np.outer(arcs_rad, weight / 2.0) * section.radius_mm
    scaled = forces * (length[:, :, None] * section.compliances)[..., None]
    flat = forces.reshape(len(arcs_rad), -1, FREEDOMS)
    return flat.transpose(0, 2, 1) @ scaled.reshape(flat.shape)


def _force_transport(radius_mm: float, arcs_rad: Floats) -> Floats:
    """Force and moment at the start that an end force amounts to; frame of the start, (arcs, 6, 6)."""
    arm_r = radius_mm * (np.cos(arcs_rad) - 1.0)
    arm_t = radius_mm * np.sin(arcs_rad)
    carry = np.tile(np.eye(FREEDOMS), (len(arcs_rad), 1, 1))
    carry[:, ABOUT_X, V] = -arm_t
    carry[:, ABOUT_X, W] = arm_r
    carry[:, ABOUT_R, U] = arm_t
    carry[:, ABOUT_T, U] = -arm_r
    return carry


def _turn(arcs_rad: Floats) -> Floats:
    """Freedoms in the start's frame from freedoms in the end's frame, (arcs, 6, 6)."""
    sine, cosine = np.sin(arcs_rad), np.cos(arcs_rad)
    turn = np.zeros((len(arcs_rad), FREEDOMS, FREEDOMS))
    for first in (0, 3):
        turn[:, first, first] = 1.0
        turn[:, first + 1, first + 1] = cosine
        turn[:, first + 1, first + 2] = -sine
        turn[:, first + 2, first + 1] = sine
        turn[:, first + 2, first + 2] = cosine
    return turn

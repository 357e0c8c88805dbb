"""Published closed forms for rings and wheels with smeared spokes: a second opinion, not the model.

The tests hold the structure against these, and these against the figures that their authors printed.
Symbols as in the sources, all in N and mm: ``radius`` of the section, ``k_uu``, ``k_vv``, ``k_ww`` spoke
stiffness per mm of rim (lateral, radial, tangential), ``tbar`` inward pull per mm of rim.

[Ford 2018] M. Ford, Reinventing the Wheel, thesis, Northwestern University; long passages read.
Others are named where they stand; where only Ford quotes them, it says "through Ford".
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, cosh, pi, sin, sinh, sqrt

import numpy as np

from buildsheet.wheel.structure.arc import Floats, RimSection, U, V, W
from buildsheet.wheel.structure.layout import Layout

_TERMS = 4000
"""Terms of the slowest series (1/n2): what is left out is below 1e-4 of the sum."""


@dataclass(frozen=True, slots=True)
class Foundation:
    """Spokes smeared round the rim: N/mm per mm. ``tension_*``: the share that comes from one N/mm of
    ``tbar`` [Ford 2018 ch. spoke stiffness; read]."""

    k_uu: float
    k_vv: float
    k_ww: float
    tension_uu: float
    tension_vv: float
    tension_ww: float


def smeared(layout: Layout) -> Foundation:
    """The foundation of a wheel's spokes: (1/2 pi R) sum of K n n + T/l (I - n n) [Ford 2018; read].

    Attaching radius and section radius are taken as one.
    """
    around = 2.0 * pi * layout.section.radius_mm
    square = layout.direction**2
    bars = (layout.stiffness_n_per_mm[:, None] * square).sum(axis=0) / around
    pull = -(layout.pattern * layout.direction[:, V]).sum() / around
    strings = ((layout.pattern / layout.length_mm)[:, None] * (1.0 - square)).sum(axis=0) / around
    strings = strings / pull
    return Foundation(
        *(float(bars[axis]) for axis in (U, V, W)), *(float(strings[axis]) for axis in (U, V, W))
    )


def tbar_n_per_mm(layout: Layout) -> float:
    """Inward pull per mm of rim."""
    pull = -(layout.tension_n * layout.direction[:, V]).sum()
    return float(pull) / (2.0 * pi * layout.section.radius_mm)


def radial_stiffness_smith(radius: float, ei1: float, k_vv: float) -> float:
    """Stiffness under one radial load, inextensible rim, in closed form.

    [Smith 1901; Pippard and Francis 1931, Phil. Mag.; through Ford 2018, whose print has the overall
    sign reversed.]
    """
    lam = k_vv * radius**4 / ei1
    eta = sqrt(lam + 1.0)
    a, b = sqrt((eta - 1.0) / 2.0), sqrt((eta + 1.0) / 2.0)
    top = b * sinh(a * pi) * cosh(a * pi) + a * sin(b * pi) * cos(b * pi)
    below = 4.0 * a * b * eta * (sinh(a * pi) ** 2 + sin(b * pi) ** 2)
    return ei1 / radius**3 / (top / below - 1.0 / (2.0 * pi * eta**2))


def radial_stiffness_series(
    radius: float, ei1: float, k_vv: float, *, ea: float = float("inf"), k_ww: float = 0.0
) -> float:
    """Stiffness under one radial load by waves in series, with or without rim extension."""
    n = np.arange(1, _TERMS + 1, dtype=np.float64)
    if ea == float("inf"):
        rigid = pi * ei1 * (n * n - 1.0) ** 2 / radius**3 + pi * radius * k_vv
        return float(1.0 / (1.0 / rigid).sum())
    axial, bending = pi * ea / radius, pi * ei1 / radius**3
    vv = axial + bending * n**4 + pi * radius * k_vv
    vw = axial * n + bending * n**3
    ww = axial * n * n + bending * n * n + pi * radius * k_ww
    give = ww / (vv * ww - vw * vw)
    uniform = 1.0 / (2.0 * pi * (ea / radius + radius * k_vv))
    return float(1.0 / (give.sum() + uniform))


def lateral_stiffness_series(
    radius: float, ei2: float, gj: float, pi_r_kuu: float, tbar: float = 0.0
) -> float:
    """Stiffness under one side load by waves in series [Ford 2018, eqs. Klat and Kn; read].

    ``pi_r_kuu``: pi R k_uu in N/mm, the tension's own share included.
    """
    n = np.arange(1, _TERMS + 1, dtype=np.float64)
    waves = pi_r_kuu + _ring_sideways(n, radius, ei2, gj) - pi * n * n * tbar
    return float(1.0 / (1.0 / (2.0 * pi_r_kuu) + (1.0 / waves).sum()))


def buckling_series(
    radius: float, ei2: float, gj: float, k_uu: float, tension_uu: float
) -> tuple[float, int]:
    """``tbar`` at which the rim leaves its plane, and in how many waves [Ford 2018 ch. tension
    buckling; read]. ``tension_uu`` per unit tbar; about 1 / R."""
    n = np.arange(2, 60, dtype=np.float64)
    resists = pi * radius * k_uu + _ring_sideways(n, radius, ei2, gj)
    tbar = resists / (pi * (n * n - radius * tension_uu))
    tbar = np.where(tbar > 0.0, tbar, np.inf)
    return float(tbar.min()), int(n[tbar.argmin()])


def buckling_without_torsion(radius: float, gj: float, k_uu: float) -> float:
    """``tbar`` of a rim that hardly resists twist: 1.89 (GJ/R)^(1/3) k_uu^(2/3) [Ford 2018; read]."""
    return float(
        (2.0 ** (-2.0 / 3.0) + 2.0 ** (1.0 / 3.0))
        * (gj / radius) ** (1.0 / 3.0)
        * k_uu ** (2.0 / 3.0)
    )


def buckling_on_stiff_spokes(radius: float, ei2: float, k_uu: float) -> float:
    """``tbar`` of a straight beam on an elastic foundation: N = 2 sqrt(k EI) [Hetenyi, through Ford]."""
    return 2.0 * sqrt(k_uu * ei2) / radius


def buckling_unbraced(radius: float, ei2: float, gj: float, *, aimed_at_centre: bool) -> float:
    """``tbar`` of a ring without bracing: 12 mu/(1+4 mu) EI2/R3 with loads aimed at the centre [Hencky;
    Timoshenko and Gere 1961, through Ford], 9 mu/(1+4 mu) with loads of fixed direction."""
    mu = gj / ei2
    return (12.0 if aimed_at_centre else 9.0) * mu / (1.0 + 4.0 * mu) * ei2 / radius**3


def rim_compression_n(tension_n: float, count: int, inward_cosine: float) -> float:
    """Mean hoop compression: n T c2 / (2 pi) [Ford 2018, crediting Sharp 1896; read]."""
    return count * tension_n * inward_cosine / (2.0 * pi)


def slack_load_n(
    wheel_n_per_mm: float, tension_n: float, spoke_n_per_mm: float, cosine: float
) -> float:
    """Load that takes a spoke's tension, P = K T / (K_s c): with lateral stiffness and cosine a side
    load, with the radial ones a radial load [Ford 2018 ch. external loads; read]."""
    return wheel_n_per_mm * tension_n / (spoke_n_per_mm * cosine)


def four_point_deflection_mm(radius: float, ei2: float, gj: float, load_n: float) -> float:
    """Sideways movement of a ring on supports at 3 and 9 o'clock, held at 12, loaded at 6 [Ford 2018
    app. four-point; read]."""
    return load_n * radius**3 * ((pi - 3.0) / gj + (pi - 2.0) / (2.0 * ei2))


def ring_pinch_mm(radius: float, ei: float, load_n: float) -> tuple[float, float]:
    """Shortening of the loaded diameter, lengthening of the other, for two opposite radial loads
    [Timoshenko, Strength of Materials I, 3rd ed. 1955, through a verification manual; read there]."""
    unit = load_n * radius**3 / ei
    return (pi / 4.0 - 2.0 / pi) * unit, (2.0 / pi - 0.5) * unit


def ring_frequency_in_plane_hz(n: int, radius: float, ei1: float, mass_g: float) -> float:
    """Free ring bending in its plane in ``n`` waves [Ford 2018, after Timoshenko 1955; read]."""
    shape = n * (n * n - 1.0) / sqrt(n * n + 1.0)
    return shape * sqrt(ei1 * 1e6 / (2.0 * pi * radius**3 * mass_g))


def ring_frequency_sideways_hz(
    n: int, radius: float, ei2: float, gj: float, mass_g: float
) -> float:
    """Free ring bending and twisting out of its plane in ``n`` waves [as above]."""
    shape = n * (n * n - 1.0) / sqrt(gj / ei2 * n * n + 1.0)
    return shape * sqrt(gj * 1e6 / (2.0 * pi * radius**3 * mass_g))


def section_of_rim(radius: float, ea: float, ei1: float, ei2: float, gj: float) -> RimSection:
    """A section from the sources' usual units: mm, N and N m2."""
    return RimSection(radius, ea, ei1 * 1e6, ei2 * 1e6, gj * 1e6)


def _ring_sideways(n: Floats, radius: float, ei2: float, gj: float) -> Floats:
    """Stiffness of the bare ring against ``n`` waves sideways: bending and twist in series."""
    bend = pi * ei2 * (n * n - 1.0) ** 2 / radius**3
    bend_over_twist = ei2 / (gj * n * n)
    return bend / (1.0 + bend_over_twist)

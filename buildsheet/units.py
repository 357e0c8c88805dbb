"""The only conversions: SI inside, other units only where a person reads them.

Every constant is exact by definition [BIPM SI brochure, standard gravity 9.80665 m/s2 (3rd CGPM,
1901); from memory, the value is universal], except where a comment says otherwise.
"""

from __future__ import annotations

from math import floor

NEWTON_PER_KGF = 9.80665
"""One kilogram-force in newtons, exactly."""

PSI_PER_BAR = 100_000.0 / 6894.757293168361
"""One bar in pounds-force per square inch (0.45359237 kg x 9.80665 m/s2 over 25.4 mm squared)."""

SPOKE_THREAD_PITCH_MM = 25.4 / 56.0
"""56 threads per inch: 0.4536 mm a turn [thread tables citing DIN 79012 print 0.454; second-hand]."""


def kgf(force_n: float) -> float:
    """Kilogram-force for a force in newtons.

    >>> round(kgf(1150.0))
    117
    """
    return force_n / NEWTON_PER_KGF


def psi(pressure_bar: float) -> float:
    """Pounds per square inch for a pressure in bar.

    >>> round(psi(4.5))
    65
    """
    return pressure_bar * PSI_PER_BAR


def down_to_step(value: float, step: float) -> float:
    """The largest whole multiple of ``step`` that is not above ``value``: a limit is never rounded up.

    >>> down_to_step(1212.5, 10.0)
    1210.0
    """
    return floor(value / step + 1e-9) * step

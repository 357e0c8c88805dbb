"""What was read on a wheel, what it should become, and how far a reading can be trusted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from buildsheet.errors import CannotCompute
from buildsheet.wheel.structure.arc import Floats

Reading = Sequence[float | None] | None
"""One value a spoke, in hole order; None for a spoke, or for all of them, that was not read."""


@dataclass(frozen=True, slots=True)
class Readings:
    """One pass at the stand; whatever was not read is None.

    ``lateral_mm`` (positive toward the right) and ``radial_mm`` (positive outward) are gauge readings
    at the spoke positions from any zero: their mean says nothing. ``dish_mm`` is how far the rim's
    middle stands to the right of where it should.
    """

    lateral_mm: Reading = None
    radial_mm: Reading = None
    dish_mm: float | None = None
    tension_n: Reading = None


@dataclass(frozen=True, slots=True)
class Goal:
    """Where the wheel is to go.

    ``target_n`` (N,) for every spoke; no spoke is ever planned above ``stop_n`` nor, while it can be
    helped, below ``floor_n``. Run-out is the full indicator reading over one turn. ``band_share`` is
    the share by which a spoke may differ from the mean of its side. ``most_eighths`` of a turn of one
    nipple in a pass.
    """

    target_n: tuple[float, ...]
    stop_n: float
    floor_n: float
    lateral_runout_mm: float = 0.2
    radial_runout_mm: float = 0.3
    dish_mm: float = 0.5
    band_share: float = 0.08
    most_eighths: int = 24


@dataclass(frozen=True, slots=True)
class ReadingNoise:
    """Standard error of one reading, zero left out [common practice, no source]."""

    lateral_mm: float = 0.03
    radial_mm: float = 0.04
    dish_mm: float = 0.1
    tension_share: float = 0.02


def column(reading: Reading, count: int, name: str) -> Floats:
    """A reading as an array (count,), not-a-number where nothing was read.

    Raises CannotCompute where it has another number of spokes or a value that is no number.
    """
    if reading is None:
        return np.full(count, np.nan)
    if len(reading) != count:
        raise CannotCompute(f"{name}: {len(reading)} readings for {count} spokes")
    values = np.array([np.nan if each is None else float(each) for each in reading])
    if np.isinf(values).any():
        raise CannotCompute(f"{name}: a reading is not a number")
    return values

"""What the readings see of a wheel, as rows of one linear system in turns of the nipples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from buildsheet.wheel.structure import Influence
from buildsheet.wheel.structure.arc import Floats
from buildsheet.wheel.truing.readings import Readings, column


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """A wheel as read, arrays (N,) with not-a-number where nothing was read.

    Lateral and radial come without their means: the zero of a gauge is arbitrary, so neither a shift of
    the whole rim nor its size is in a run-out reading.
    """

    lateral_mm: Floats
    radial_mm: Floats
    dish_mm: float | None
    tension_n: Floats
    turned: Influence

    @property
    def count(self) -> int:
        return len(self.tension_n)

    def lateral_after_mm(self, turns: Floats) -> Floats:
        """Lateral reading expected after these turns, mean left out."""
        return without_mean(self.lateral_mm + self.turned.lateral_mm @ turns)

    def radial_after_mm(self, turns: Floats) -> Floats:
        """Radial reading expected after these turns, mean left out."""
        return without_mean(self.radial_mm + self.turned.radial_mm @ turns)

    def tension_after_n(self, turns: Floats) -> Floats:
        """Tension expected after these turns."""
        return np.asarray(self.tension_n + self.turned.tension_n @ turns)

    def dish_after_mm(self, turns: Floats) -> float | None:
        """Dish expected after these turns."""
        if self.dish_mm is None:
            return None
        return float(self.dish_mm + (self.turned.lateral_mm @ turns).mean())


def seen(readings: Readings, turned: Influence) -> Seen:
    """The readings beside what turns do. Raises CannotCompute for readings of another wheel."""
    count = len(turned.tension_n)
    return Seen(
        lateral_mm=without_mean(column(readings.lateral_mm, count, "lateral")),
        radial_mm=without_mean(column(readings.radial_mm, count, "radial")),
        dish_mm=readings.dish_mm,
        tension_n=column(readings.tension_n, count, "tension"),
        turned=turned,
    )


def without_mean(values: Floats) -> Floats:
    """The values less the mean of those that were read."""
    read = ~np.isnan(values)
    return np.asarray(values - values[read].mean()) if read.any() else values


def runout_mm(values: Floats) -> float | None:
    """Full indicator reading over one turn; None where nothing was read."""
    read = values[~np.isnan(values)]
    return float(read.max() - read.min()) if len(read) else None


def shape_rows(wheel: Seen, lateral_mm: float, radial_mm: float) -> tuple[Floats, Floats]:
    """Rows and present values of lateral and radial shape, each over what counts as one unit of it."""
    rows, values = [], []
    pairs = (
        (wheel.lateral_mm, wheel.turned.lateral_mm, lateral_mm),
        (wheel.radial_mm, wheel.turned.radial_mm, radial_mm),
    )
    for reading, response, unit in pairs:
        read = ~np.isnan(reading)
        moved = response[read]
        rows.append((moved - moved.mean(axis=0)) / unit if read.any() else moved)
        values.append(reading[read] / unit)
    return np.vstack(rows), np.concatenate(values)

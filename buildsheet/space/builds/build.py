"""One sound wheel as codes, and the figures of many of them in columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.findings import Value

Floats = NDArray[np.float64]
Wholes = NDArray[np.int64]
Truths = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class WheelBuild:
    """One wheel by its parts; colours, driver body, decals and use are left open.

    ``crossings`` (left, right) is None where the hub dictates its pattern; ``spokes`` is left, right.
    """

    position: Position
    rim: str
    holes: int
    hub: str
    crossings: tuple[int, int] | None
    spokes: tuple[str, str]
    nipple: str
    washer: str | None

    def members(self) -> dict[str, Value]:
        """The wheel as it stands in an order, as far as it is decided.

        >>> build = WheelBuild("front", "R", 24, "H", (2, 2), ("S", "S"), "N", None)
        >>> build.members()["crossings"], "washer" in build.members()
        ({'left': 2, 'right': 2}, False)
        """
        members: dict[str, Value] = {
            "rim": self.rim,
            "holes": self.holes,
            "hub": self.hub,
            "spoke": {"left": self.spokes[0], "right": self.spokes[1]},
            "nipple": self.nipple,
        }
        if self.crossings is not None:
            members["crossings"] = {"left": self.crossings[0], "right": self.crossings[1]}
        if self.washer is not None:
            members["washer"] = self.washer
        return members


@dataclass(frozen=True, slots=True)
class FigureRow:
    """The figures of one build: lengths of each side in mm, tensions in N, mass in g, and what the
    rim's drill is asked for.

    Windows are round the target and the same for both sides. ``limit_n`` is the lowest maker's limit.
    ``*_lateral_deg`` is how far the mean hole of a side leans toward its flange, ``in_plane_deg`` the
    largest lean along the rim, ``off_axis_deg`` the worst spoke's angle to its drilled hole with
    ``program``.
    """

    left_exact_mm: float
    right_exact_mm: float
    left_target_mm: float
    right_target_mm: float
    left_stock_mm: int
    right_stock_mm: int
    window_low_mm: float
    window_high_mm: float
    left_n: float
    right_n: float
    stop_n: float
    limit_n: float
    ratio: float
    mass_g: float
    left_lateral_deg: float
    right_lateral_deg: float
    in_plane_deg: float
    off_axis_deg: float
    program: str


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """`FigureRow` in columns: one array (B,) a figure, in the order of the builds. ``program`` holds
    codes. Arrays are not to be written to."""

    left_exact_mm: Floats
    right_exact_mm: Floats
    left_target_mm: Floats
    right_target_mm: Floats
    left_stock_mm: Wholes
    right_stock_mm: Wholes
    window_low_mm: Floats
    window_high_mm: Floats
    left_n: Floats
    right_n: Floats
    stop_n: Floats
    limit_n: Floats
    ratio: Floats
    mass_g: Floats
    left_lateral_deg: Floats
    right_lateral_deg: Floats
    in_plane_deg: Floats
    off_axis_deg: Floats
    program: NDArray[np.str_]

    @classmethod
    def of(cls, rows: Sequence[FigureRow]) -> Figures:
        """The columns of these rows."""
        columns: dict[str, Any] = {}
        for each in fields(FigureRow):
            kind = _TYPES[str(each.type)]
            column: NDArray[Any] = np.array([getattr(row, each.name) for row in rows], dtype=kind)
            column.setflags(write=False)
            columns[each.name] = column
        return cls(**columns)

    def row(self, index: int) -> FigureRow:
        """The figures of one build."""
        figures = {each.name: getattr(self, each.name)[index].item() for each in _ROW}
        return FigureRow(**figures)


_ROW = fields(FigureRow)
_TYPES: dict[str, type] = {"float": np.float64, "int": np.int64, "str": np.str_}


@dataclass(frozen=True, slots=True, eq=False)
class Builds:
    """Every sound wheel of one position of an edition, in a stable order, with its figures.

    Sound is what no check blocks whatever the use, the colours and the driver body, rules apart.
    """

    edition: Edition
    position: Position
    builds: tuple[WheelBuild, ...]
    figures: Figures

    def __len__(self) -> int:
        return len(self.builds)

    def __iter__(self) -> Iterator[WheelBuild]:
        return iter(self.builds)

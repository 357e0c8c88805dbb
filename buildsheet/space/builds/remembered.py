"""All sound wheels of an edition, remembered by what they are made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from itertools import chain
from typing import Final

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.space.builds.build import Builds, Figures, WheelBuild
from buildsheet.space.builds.pairs import Pair, pairs
from buildsheet.space.builds.walk import sound_wheels

Progress = Callable[[int, int], None]
"""Told how many pairs of rim and hub are done, and of how many."""

POSITIONS: Final[tuple[Position, Position]] = ("front", "rear")
REMEMBERED_EDITIONS: Final = 16


def builds_of(edition: Edition, *, progress: Progress | None = None) -> Mapping[Position, Builds]:
    """Every sound wheel of the edition, front and rear.

    Remembered by the content of parts and house figures: another edition that changes rules only costs
    a look-up, one that changes a rim only that rim's wheels.
    """
    by_position = {position: tuple(pairs(edition, position)) for position in POSITIONS}
    _walk(tuple(chain(*by_position.values())), progress)
    return {
        position: Builds(edition, position, *_joined(joined))
        for position, joined in by_position.items()
    }


def _walk(every: tuple[Pair, ...], progress: Progress | None) -> None:
    if progress is None:
        return
    for done, pair in enumerate(every):
        progress(done, len(every))
        sound_wheels(pair)
    progress(len(every), len(every))


@lru_cache(maxsize=2 * REMEMBERED_EDITIONS)
def _joined(of: tuple[Pair, ...]) -> tuple[tuple[WheelBuild, ...], Figures]:
    rows = [row for pair in of for row in sound_wheels(pair)]
    return tuple(build for build, _ in rows), Figures.of([figures for _, figures in rows])

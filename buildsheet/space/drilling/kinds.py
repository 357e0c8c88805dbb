"""One kind of drilled rim: a rim, its holes, the wheel's position and the kind of nipple hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from buildsheet.catalog.parts import Position
from buildsheet.space.builds import Builds


@dataclass(frozen=True, slots=True, order=True)
class Drilling:
    """One kind of drilled rim: what a program is made for."""

    rim: str
    holes: int
    position: Position
    drilling: Literal["external", "hidden"]

    @property
    def name(self) -> str:
        """What people call it.

        >>> Drilling("OR58D", 24, "front", "hidden").name
        'OR58D 24 front, hidden'
        """
        return f"{self.rim} {self.holes} {self.position}, {self.drilling}"


def of_build(builds: Builds, row: int) -> Drilling:
    """How the rim of one build (by index) is drilled."""
    build = builds.builds[row]
    kind = builds.edition.nipples[build.nipple].kind
    return Drilling(build.rim, build.holes, build.position, kind)

"""Every sound wheel of an edition with its figures; colours, driver body, decals and use left open.

`pairs` says what decides the wheels of one rim with one hub, `walk` finds the sound ones, `remembered`
joins and keeps them, `build` is what comes out; `seen` tells builds apart by a few members only,
`planned` by their plans, `ruled` by what an edition's own rules say of them.
"""

from buildsheet.space.builds.build import Builds, FigureRow, Figures, WheelBuild
from buildsheet.space.builds.remembered import POSITIONS, Progress, builds_of
from buildsheet.space.builds.ruled import sound

__all__ = [
    "POSITIONS",
    "Builds",
    "FigureRow",
    "Figures",
    "Progress",
    "WheelBuild",
    "builds_of",
    "sound",
]

"""The stations of a wheel, before and after the readings: one file each, in the order of the day.

rim-gate ▶ kit ▶ (drill) ▶ first-spoke ▶ half-way ▶ relief ▶ readings ▶ finishing ▶ pair ▶ box ▶ ship

``rim_gate`` ``kit`` ``drill`` ``lacing`` (first spoke, half way) ``relief`` ``finishing`` ``packing``
(pair, box, ship); ``station`` what every one has, ``labels`` what everything is called
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from buildsheet.bench.stations import drill, finishing, kit, lacing, packing, relief, rim_gate
from buildsheet.bench.stations.station import STEP, Stand, Station, StepDocument

__all__ = ["BOX", "STATIONS", "STEP", "Stand", "Station", "StepDocument"]

BOX: Final = Station(
    name="box",
    says="Everything on the packing list, line by line.",
    document=packing.Box,
    judge=lambda _stand, _step: (),  # judged against the whole order: `packing.judge_box`
    needs=("finishing",),
    move="pack",
)

STATIONS: Final[Mapping[str, Station[Any]]] = MappingProxyType(
    {
        each.name: each
        for each in (
            rim_gate.STATION,
            kit.STATION,
            drill.STATION,
            lacing.FIRST_SPOKE,
            lacing.HALF_WAY,
            relief.STATION,
            finishing.STATION,
            packing.PAIR,
            BOX,
            packing.SHIP,
        )
    }
)
"""By name, in the order of the day."""


def still_missing(station: Station[Any], done: frozenset[str]) -> tuple[str, ...]:
    """The stations that must be passed before this one and are not."""
    return tuple(each for each in station.needs if each not in done)

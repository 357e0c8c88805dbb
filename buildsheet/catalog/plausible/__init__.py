"""Sense within one part: dimensions that contradict each other, each taken on its own in bounds.

``rims`` ``hubs`` ``spokes`` (and nipples), ``measured`` (figures beside their measurements and reports).
A ``doubt`` is a fault without its file and table; `buildsheet.catalog.reading` adds those.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildsheet.catalog.parts import Hub, Nipple, Part, Rim, Spoke
from buildsheet.catalog.plausible.doubt import Doubt
from buildsheet.catalog.plausible.hubs import hub_doubts
from buildsheet.catalog.plausible.measured import evidence_doubts, measurement_doubts
from buildsheet.catalog.plausible.rims import rim_doubts
from buildsheet.catalog.plausible.spokes import nipple_doubts, spoke_doubts

__all__ = ["Doubt", "doubts"]


def doubts(part: Part) -> Iterator[Doubt]:
    """Everything about one part that its own dimensions speak against; small parts have no such."""
    if isinstance(part, Rim):
        yield from rim_doubts(part)
    elif isinstance(part, Hub):
        yield from hub_doubts(part)
    elif isinstance(part, Spoke):
        yield from spoke_doubts(part)
    elif isinstance(part, Nipple):
        yield from nipple_doubts(part)
    yield from measurement_doubts(part)
    yield from evidence_doubts(part)

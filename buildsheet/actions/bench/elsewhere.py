"""A rim or hub that is on record for another wheel too."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.bench.codes import found
from buildsheet.findings import Finding
from buildsheet.storage import recall
from buildsheet.storage.database import Section

_KINDS: Final[Mapping[str, str]] = MappingProxyType(
    {"rim_serial": "rim-serial", "hub_serial": "hub-serial"}
)
"""Member that names a part -> what the record calls it."""


def elsewhere(section: Section, own: str, document: object) -> Iterator[Finding]:
    """One caution for each serial that ``document`` names and another wheel than ``own`` has on record:
    a part that was moved, or what was read or done for another wheel. Documents without serials say
    nothing."""
    for member, kind in _KINDS.items():
        name = getattr(document, member, None)
        others = [each for each in recall.with_batch(section, kind, name or "") if each != own]
        if name and others:
            yield found(
                "bench.serial-elsewhere",
                "caution",
                f"/{member}",
                f"The {kind.partition('-')[0]} {name} is on record for {others[0]} too. Look at both "
                "labels: these may be the readings of another wheel.",
                have={"serial": name, "wheels": [*others]},
            )

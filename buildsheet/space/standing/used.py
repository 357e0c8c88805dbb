"""Which items of the shelves some buildable wheel of an edition takes, colours and decals included."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Position
from buildsheet.space.builds import POSITIONS, Builds, builds_of
from buildsheet.space.finishes import DECALS, finish_space
from buildsheet.space.lengths.shelves import windows_by_type
from buildsheet.space.lengths.wanted import grids, wanted_in
from buildsheet.space.remembered import remembered
from buildsheet.space.wheels import passing


@dataclass(frozen=True, slots=True)
class Used:
    """Items as pick lists name them (``OR33D/24``, ``SJB9/277``, ``NA12/black``), and codes of parts, that
    some buildable wheel takes. A spoke's length counts where it lies in some wheel's window."""

    items: frozenset[str]
    codes: frozenset[str]

    def takes(self, code: str, variant: str = "") -> bool:
        """Whether some wheel takes this part in this variant; '' asks for the part in any.

        >>> Used(frozenset({"KR1/24"}), frozenset({"KR1"})).takes("KR1", "28")
        False
        """
        return code in self.codes if not variant else f"{code}/{variant}" in self.items


@remembered
def used(edition: Edition) -> Used:
    """Everything that the edition's buildable wheels take."""
    builds = builds_of(edition)
    passes = passing(builds)
    items: set[str] = set()
    for position in POSITIONS:
        for build, sound in zip(builds[position], passes[position], strict=True):
            if sound:
                items |= {f"{build.rim}/{build.holes}", f"{build.hub}/{build.holes}"}
                items |= {*build.spokes, build.nipple, *filter(None, (build.washer,))}
    windows = windows_by_type(wanted_in(edition), grids(edition))
    for spoke, each in windows.items():
        items |= {f"{spoke}/{length}" for window in each for length in window}
    for position in POSITIONS:
        items |= set(_finishes(edition, position, builds[position], items))
    items |= set(_end_caps(edition, items))
    codes = {each.partition("/")[0] for each in items}
    return Used(frozenset(items), frozenset(codes))


def _finishes(
    edition: Edition, position: Position, builds: Builds, items: set[str]
) -> Iterator[str]:
    """Drivers, nipples in their colours and decals in their sizes that go with some wheel."""
    if not len(builds):
        return
    space = finish_space(builds)
    if position == "rear":
        yield from space.possible("/rear/driver")
    for nipple in edition.nipples:
        if nipple in items:
            held = [at for at, build in enumerate(builds) if build.nipple == nipple]
            colours = space.possible(f"/{position}/nipple_colour", held)
            yield from (f"{nipple}/{colour}" for colour in colours)
    for size in ("S", "M", "L"):
        held = [at for at, build in enumerate(builds) if edition.rims[build.rim].decal_size == size]
        made = set(space.possible(DECALS, held))
        yield from (
            code
            for code, each in edition.decals.items()
            if each.size == size and each.colour in made and each.state == "active"
        )


def _end_caps(edition: Edition, items: set[str]) -> Iterator[str]:
    """End caps that make some used hub fit an axle that it is made for."""
    hubs: Mapping[str, tuple[str, ...]] = {
        code: hub.axles
        for code, hub in edition.hubs.items()
        if any(f"{code}/{holes}" in items for holes in hub.holes)
    }
    for code, caps in edition.end_caps.items():
        if caps.state == "active" and any(caps.axle in hubs.get(hub, ()) for hub in caps.hubs):
            yield code

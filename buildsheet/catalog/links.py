"""Sense between tables: codes that name each other across files, and figures of the house file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

from buildsheet.catalog.faults import Place, fault, listed, nearest, plain
from buildsheet.catalog.house import House
from buildsheet.catalog.likeness import likeness_faults
from buildsheet.catalog.parts import Decal, DrillingProgram, EndCaps, Hub, Nipple, Part, Rim
from buildsheet.findings import Change, Finding, Value

P = TypeVar("P", bound=Part)


def file_of(kind: str) -> str:
    """The file that holds a kind's tables.

    >>> file_of("rims")
    'parts/rims.toml'
    """
    return f"parts/{kind}.toml"


@dataclass(frozen=True, slots=True)
class Shelf:
    """What could be read: the sound parts by kind and code, and every code that a file names, sound
    or not. ``named[kind]`` is None where the file itself could not be read: nothing follows from it."""

    sound: Mapping[str, Mapping[str, Part]]
    named: Mapping[str, tuple[str, ...] | None]

    def of(self, kind: str, model: type[P]) -> dict[str, P]:
        """The sound parts of one kind, by code."""
        return {code: each for code, each in self.sound[kind].items() if isinstance(each, model)}


def link_faults(shelf: Shelf) -> Iterator[Finding]:
    """Every reference to nothing, and every code or set that stands twice."""
    yield from _codes_twice(shelf)
    for code, part in _parts(shelf):
        if isinstance(part, Hub):
            place = Place(file_of("hubs"), (code, "drivers"))
            yield from _unknown(shelf, "drivers", part.drivers, place)
            yield from _axles_without_caps(shelf, part)
        elif isinstance(part, EndCaps):
            place = Place(file_of("end_caps"), (code, "hubs"))
            yield from _unknown(shelf, "hubs", part.hubs, place)
            yield from _caps_that_fit_nothing(shelf, part)
        elif isinstance(part, Nipple):
            place = Place(file_of("nipples"), (code, "excluded_rims"))
            yield from _unknown(shelf, "rims", part.excluded_rims, place)
        elif isinstance(part, DrillingProgram):
            yield from _program(shelf, part)
    yield from _decals_twice(shelf)
    yield from likeness_faults(shelf.of("hubs", Hub))


def _parts(shelf: Shelf) -> Iterator[tuple[str, Part]]:
    for parts in shelf.sound.values():
        yield from parts.items()


def _codes_twice(shelf: Shelf) -> Iterator[Finding]:
    """One code, one part, whatever its kind: the desk and the shelves ask by code alone."""
    first: dict[str, str] = {}
    for kind, codes in shelf.named.items():
        for code in codes or ():
            if code in first:
                other = Place(file_of(first[code]), (code,))
                says = f"the code stands in {other.file} too."
                yield fault("data.duplicate", Place(file_of(kind), (code,)), says, also=(other,))
            first.setdefault(code, kind)


def _unknown(
    shelf: Shelf, kind: str, codes: tuple[str, ...], place: Place, *, in_list: bool = True
) -> Iterator[Finding]:
    known = shelf.named[kind]
    if known is None:
        return
    for row, code in enumerate(codes):
        if code in known:
            continue
        here = place.under(row) if in_list else place
        meant = nearest(code, known)
        hint = f" Try {meant}." if meant else ""
        yield fault(
            "data.unknown-reference",
            here,
            f"{file_of(kind)} has no {code}; it has {listed(known)}.{hint}",
            have={"found": code},
            need={"enum": [plain(each) for each in known]},
            try_=(Change(here.at, (meant,)),) if meant else (),
        )


def _axles_without_caps(shelf: Shelf, hub: Hub) -> Iterator[Finding]:
    named = shelf.named["end_caps"]
    if named is None or len(named) != len(shelf.sound["end_caps"]):
        return
    caps = shelf.of("end_caps", EndCaps).values()
    for row, axle in enumerate(hub.axles):
        made_for = sorted(each.code for each in caps if each.axle == axle)
        if not any(each.axle == axle and hub.code in each.hubs for each in caps):
            hint = (
                f" {made_for[0]} is made for that axle: name {hub.code} among its hubs, if it fits."
                if made_for
                else ""
            )
            yield fault(
                "data.unknown-reference",
                Place(file_of("hubs"), (hub.code, "axles", row)),
                f"no end caps of {file_of('end_caps')} fit {hub.code} to {axle}.{hint}",
                have={"found": axle},
                need={"enum": [*sorted({each.axle for each in caps if hub.code in each.hubs})]},
            )


def _caps_that_fit_nothing(shelf: Shelf, caps: EndCaps) -> Iterator[Finding]:
    for row, code in enumerate(caps.hubs):
        hub = shelf.of("hubs", Hub).get(code)
        if hub and caps.axle not in hub.axles:
            yield fault(
                "data.contradiction",
                Place(file_of("end_caps"), (caps.code, "hubs", row)),
                f"hub {code} fits {', '.join(hub.axles)}, not {caps.axle}.",
                have={"found": caps.axle},
                need={"enum": list(hub.axles)},
                also=(Place(file_of("hubs"), (code, "axles")),),
            )


def _program(shelf: Shelf, program: DrillingProgram) -> Iterator[Finding]:
    table = Place(file_of("programs"), (program.code,))
    yield from _unknown(shelf, "rims", (program.rim,), table.under("rim"), in_list=False)
    rim = shelf.of("rims", Rim).get(program.rim)
    if rim is None:
        return
    if program.holes not in rim.holes:
        yield fault(
            "data.unknown-reference",
            table.under("holes"),
            f"rim {rim.code} is drilled {', '.join(map(str, rim.holes))}, not {program.holes}.",
            have={"found": program.holes},
            need={"enum": list(rim.holes)},
        )
    if program.drilling not in rim.drillings:
        yield fault(
            "data.contradiction",
            table.under("drilling"),
            f"rim {rim.code} is drilled {', '.join(rim.drillings)}, not {program.drilling}.",
            have={"found": program.drilling},
            need={"enum": list(rim.drillings)},
        )


def _decals_twice(shelf: Shelf) -> Iterator[Finding]:
    first: dict[tuple[str, str, str], str] = {}
    for code, decal in shelf.of("decals", Decal).items():
        key = (decal.colour, decal.size, decal.hand)
        if key in first:
            other = Place(file_of("decals"), (first[key],))
            says = f"{first[key]} is {decal.colour} in size {decal.size} for the {decal.hand} side already."
            yield fault("data.duplicate", Place(file_of("decals"), (code,)), says, also=(other,))
        first.setdefault(key, code)


ASCENDING = (
    ("lacing", "head_clearance_block_mm", "head_clearance_mm"),
    ("lacing", "hole_axis_deg", "hole_axis_approval_deg"),
    ("fit", "elbow_play_min_mm", "elbow_play_good_mm"),
    ("fit", "elbow_play_good_mm", "elbow_play_max_mm"),
    ("fit", "nipple_play_min_mm", "nipple_play_max_mm"),
    ("tension", "goal_percent", "band_percent"),
    ("tension", "ratio_floor", "ratio_caution"),
    ("load", "spoke_floor_n", "slack_mean_floor_n"),
    ("load", "slack_mean_floor_n", "mean_tension_floor_n"),
    ("load", "side_load_n", "side_load_rough_n"),
)
"""Pairs of the house file where the first may not exceed the second."""

RANGES = (
    ("length", "brass_window_mm"),
    ("length", "alloy_window_mm"),
    ("tension", "tyre_drop_percent"),
    ("tyre", "tape_over_inner_mm"),
)
"""Pairs [low, high] of the house file."""

RISING = (("tyre", "valve_lengths_mm"), ("tyre", "tape_widths_mm"))
"""Lists of the house file that run from small to large."""


def house_faults(house: House) -> Iterator[Finding]:
    """Every pair of house figures that contradicts itself."""
    for table, low, high in ASCENDING:
        lower, upper = getattr(getattr(house, table), low), getattr(getattr(house, table), high)
        if lower > upper:
            here, there = Place("house.toml", (table, low)), Place("house.toml", (table, high))
            says = f"{lower:g} is above {high} {upper:g}."
            have = {low: lower, high: upper}
            yield fault("data.contradiction", here, says, have=have, also=(there,))
    for table, key in RANGES:
        yield from _range(Place("house.toml", (table, key)), *getattr(getattr(house, table), key))
    for table, key in RISING:
        yield from _rising(Place("house.toml", (table, key)), getattr(getattr(house, table), key))
    yield from _depths(house)


def size_faults(house: House, shelf: Shelf) -> Iterator[Finding]:
    """A rim whose decal size is none of its depth's."""
    for code, rim in shelf.of("rims", Rim).items():
        band = house.finish.size_depths_mm.get(rim.decal_size) if rim.decal_size else None
        if band and not band[0] <= rim.depth_mm <= band[1]:
            yield fault(
                "data.contradiction",
                Place(file_of("rims"), (code, "decal_size")),
                f"size {rim.decal_size} is for depths {band[0]:g} to {band[1]:g}, the rim is "
                f"{rim.depth_mm:g} deep.",
                have={"decal_size": rim.decal_size, "depth_mm": rim.depth_mm},
                also=(
                    Place(file_of("rims"), (code, "depth_mm")),
                    Place("house.toml", ("finish", "size_depths_mm", str(rim.decal_size))),
                ),
            )


def _range(place: Place, low: float, high: float) -> Iterator[Finding]:
    if low >= high:
        says = f"runs from {low:g} to {high:g}; the lower end comes first."
        change = Change(place.at, ([high, low],))
        have: dict[str, Value] = {"found": [low, high]}
        try_ = (change,) if low > high else ()
        yield fault("data.contradiction", place, says, have=have, try_=try_)


def _rising(place: Place, values: tuple[int, ...]) -> Iterator[Finding]:
    ordered = sorted(set(values))
    if list(values) != ordered:
        says = f"runs {', '.join(map(str, values))}; allowed is from small to large, each once."
        yield fault("data.contradiction", place, says, try_=(Change(place.at, ([*ordered],)),))


def _depths(house: House) -> Iterator[Finding]:
    """A rim depth belongs to one decal size at most."""
    place = Place("house.toml", ("finish", "size_depths_mm"))
    bands = sorted((band, size) for size, band in house.finish.size_depths_mm.items())
    for (low, high), size in bands:
        yield from _range(place.under(size), low, high)
    for (before, first), (after, second) in pairwise(bands):
        if after[0] <= before[1]:
            says = f"begins at {after[0]:g}, inside size {first} up to {before[1]:g}."
            also = (place.under(first),)
            yield fault("data.contradiction", place.under(second), says, also=also)

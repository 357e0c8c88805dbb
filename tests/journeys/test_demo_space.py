"""How many wheels the demo workshop can build, counted by judging them one by one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Hub, Nipple, Rim
from buildsheet.orders.check import check_document

COMMON_SPACE = 7_000
"""Common figure for a workshop of this kind; common practice, no source."""


def test_the_demo_space_exceeds_seven_thousand_buildable_wheels() -> None:
    edition, findings = read_directory(demo_directory())
    assert edition is not None, findings
    buildable = 0
    for document in colourless_wheels(edition):
        if check_document(document, edition).buildable:
            nipple = edition.nipples[document[document["kind"]]["nipple"]]
            buildable += len(nipple.colours) * decal_colours(edition, document)
        if buildable > COMMON_SPACE:
            return  # the rest would only make it more
    raise AssertionError(f"only {buildable} buildable wheels")


def decal_colours(edition: Edition, document: dict[str, Any]) -> int:
    """In how many colours both hands of this rim's decal size are made."""
    size = edition.rims[document[document["kind"]]["rim"]].decal_size
    hands = {(each.colour, each.hand) for each in edition.decals.values() if each.size == size}
    return sum((colour, "right") in hands for colour, hand in hands if hand == "left")


def colourless_wheels(edition: Edition) -> Iterator[dict[str, Any]]:
    """One order for every wheel of parts that meet at brake and hole count, for a light rider; one
    nipple colour and one decal colour each, since colours change no dimension."""
    for rim in edition.rims.values():
        for hub in edition.hubs.values():
            if hub.brake != rim.brake:
                continue
            for holes in sorted(set(rim.holes) & set(hub.holes)):
                for spoke, nipple, crossings in small_parts(edition, hub, rim, holes):
                    yield order_for(rim, hub, holes, spoke, nipple, crossings)


def small_parts(
    edition: Edition, hub: Hub, rim: Rim, holes: int
) -> Iterator[tuple[str, Nipple, int | None]]:
    head = "straight-pull" if hub.left_seats else "j-bend"
    patterns: list[int | None] = [None] if hub.left_seats else [*hub.crossings]
    if holes in hub.radial_holes:
        patterns.append(0)
    for spoke in edition.spokes.values():
        for nipple in edition.nipples.values():
            if spoke.head == head and nipple.kind in rim.drillings:
                yield from ((spoke.code, nipple, pattern) for pattern in patterns)


def order_for(
    rim: Rim, hub: Hub, holes: int, spoke: str, nipple: Nipple, crossings: int | None
) -> dict[str, Any]:
    wheel: dict[str, Any] = {
        "rim": rim.code,
        "holes": holes,
        "hub": hub.code,
        "spoke": {"left": spoke, "right": spoke},
        "nipple": nipple.code,
        "nipple_colour": nipple.colours[0],
    }
    if crossings is not None:
        wheel["crossings"] = {"left": crossings, "right": crossings}
    use: dict[str, Any] = {
        "class": 1,
        "rider_kg": 62,
        "bike_kg": 8,
        "luggage_kg": 0,
        "brake": rim.brake,
        "tyre_width_mm": max(30, rim.tyre_min_mm or 0),
        "tyre_system": "tubeless",
        f"{hub.position}_axle": hub.axles[0],
    }
    if hub.rotor_mount != "none":
        use["rotor_mount"] = hub.rotor_mount
    if hub.position == "rear":
        wheel["driver"] = "B"
        use["cassette"] = {"spline": "B", "smallest_sprocket": 11}
    return {
        "source": "count",
        "number": "N-1",
        "revision": 1,
        "kind": hub.position,
        "market": "DE",
        "use": use,
        hub.position: wheel,
        "finish": {"decal_colour": "LAGOON"},
    }

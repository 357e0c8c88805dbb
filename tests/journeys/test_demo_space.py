"""How many wheels the demo workshop can build: the count beside a walk that judges them one by one."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Hub, Rim
from buildsheet.orders.check import check_document
from buildsheet.orders.judging import Judgement
from buildsheet.orders.text import sift
from buildsheet.space.count import count
from tests.orders.workshop import demo

Document = dict[str, Any]

COMMON_SPACE = 7_000
"""Common figure for a workshop of this kind; common practice, no source."""


def test_the_demo_space_exceeds_seven_thousand_buildable_wheels() -> None:
    counted = count(demo())
    assert counted.buildable > COMMON_SPACE
    assert counted.combinations > counted.buildable
    assert counted.buildable == sum(counted.by_rim.values())
    assert all(counted.by_rim.values())


@pytest.mark.parametrize("code", ["OR38R", "OR58D"])
def test_a_rim_s_count_is_that_of_a_walk_through_all_its_wheels(code: str) -> None:
    """Every wheel of parts that meet at brake and hole count, under one use that suits it."""
    assert count(demo()).by_rim[code] == walked(demo(), demo().rims[code])


def test_the_walk_judges_as_check_does() -> None:
    rim, hub = demo().rims["OR58D"], demo().hubs["KR4"]
    for number, document in enumerate(wheels(demo(), rim, hub, 24)):
        if number % 8 == 0:
            judged = check_document(document, demo()).buildable
            assert judged == is_buildable(document, demo())


def walked(edition: Edition, rim: Rim) -> int:
    """Wheels of this rim in all their colours and with every driver body; colours and driver bodies
    change no dimension, so each is judged with the first of every kind and stands for all."""
    buildable = 0
    for hub in edition.hubs.values():
        for holes in sorted(set(rim.holes) & set(hub.holes)):
            for document in wheels(edition, rim, hub, holes):
                if is_buildable(document, edition):
                    nipple = edition.nipples[document[hub.position]["nipple"]]
                    bodies = len(hub.drivers) if hub.position == "rear" else 1
                    buildable += len(nipple.colours) * bodies * decal_colours(edition, rim)
    return buildable


def is_buildable(document: Document, edition: Edition) -> bool:
    judged = Judgement(sift(document), edition)
    return not any(raised.finding.blocks for raised, _ in judged.everything())


def decal_colours(edition: Edition, rim: Rim) -> int:
    """In how many colours both hands of this rim's decal size are made."""
    made = [each for each in edition.decals.values() if each.size == rim.decal_size]
    hands = {(each.colour, each.hand) for each in made if each.state == "active"}
    return sum((colour, "right") in hands for colour, hand in hands if hand == "left")


def wheels(edition: Edition, rim: Rim, hub: Hub, holes: int) -> Iterator[Document]:
    """One order for every wheel, each side's spokes and crossings by themselves."""
    head = "straight-pull" if hub.left_seats else "j-bend"
    spokes = [code for code, each in edition.spokes.items() if each.head == head]
    nipples = [code for code, each in edition.nipples.items() if each.kind in rim.drillings]
    released = [*hub.crossings, *((0,) if holes in hub.radial_holes else ())]
    patterns = [None] if hub.left_seats else [*product(released, repeat=2)]
    if hub.brake != rim.brake:
        return
    for left, right, nipple, washer, pattern in product(
        spokes, spokes, nipples, (None, *edition.washers), patterns
    ):
        wheel: Document = {
            "rim": rim.code,
            "holes": holes,
            "hub": hub.code,
            "spoke": {"left": left, "right": right},
            "nipple": nipple,
            "nipple_colour": edition.nipples[nipple].colours[0],
        }
        if washer:
            wheel["washer"] = washer
        if pattern:
            wheel["crossings"] = dict(zip(("left", "right"), pattern, strict=True))
        yield order_for(edition, rim, hub, wheel)


def order_for(edition: Edition, rim: Rim, hub: Hub, wheel: Document) -> Document:
    """A whole order for the lightest rider, with a use that these parts are made for."""
    use: Document = {
        "class": 1,
        "rider_kg": 20,
        "bike_kg": 3,
        "luggage_kg": 0,
        "brake": rim.brake,
        "tyre_width_mm": max(30, rim.tyre_min_mm or 0),
        "tyre_system": "tubeless",
        f"{hub.position}_axle": hub.axles[0],
    }
    if hub.rotor_mount != "none":
        use["rotor_mount"] = hub.rotor_mount
    if hub.position == "rear":
        driver = edition.drivers[hub.drivers[0]]
        wheel["driver"] = driver.code
        use["cassette"] = {"spline": driver.spline, "smallest_sprocket": 16}
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
